"""Scenes made by hand, and at random."""

from dataclasses import replace

from hypothesis import strategies as st

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


NAMES = st.text(max_size=40) | st.sampled_from(["warrior two", "utthita trikoṇāsana", "三角", "x" * 80])
SCENES = st.builds(
    lambda told, title, side, section, breath, breaths, phase, full, left, after, flags: scene(
        told,
        paused=flags[0],
        lost=flags[1],
        title=title,
        side=side,
        section=section,
        breath=breath,
        breaths=breaths,
        phase=phase,
        fullness=full,
        hold_left_ms=left,
        next_title=after,
    ),
    NAMES,
    NAMES,
    st.sampled_from(["", "left", "right"]),
    NAMES,
    st.integers(0, 150),
    st.integers(0, 150),
    st.sampled_from(Phase),
    st.floats(0, 1),
    st.integers(0, 7_200_000),
    NAMES,
    st.tuples(st.booleans(), st.booleans()),
)
