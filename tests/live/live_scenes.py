"""Scenes made by hand."""

from dataclasses import replace

from guide.live.scene import Scene
from guide.plan.moment import Moment, Phase

HELD = Moment(
    step=3,
    title="warrior two",
    side="left",
    section="Standing",
    breath=3,
    breaths=5,
    phase=Phase.IN,
    fullness=0.6,
    words="",
    hold_left_ms=23_200,
    next_title="triangle",
    next_side="left",
    at_ms=100_000,
    left_ms=490_000,
)


def scene(told: str = "", *, tells: int = 0, paused: bool = False, lost: bool = False, **more: object) -> Scene:
    """The third breath of five in warrior two, with `more` of it otherwise."""
    return Scene("Lakeside morning", replace(HELD, **more), told, tells, paused, lost, False)  # type: ignore[arg-type]
