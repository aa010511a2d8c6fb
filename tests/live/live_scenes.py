"""Scenes made by hand, and at random."""

from dataclasses import replace

from hypothesis import strategies as st

from guide.live.scene import Check, ReadingScene, Ready, Scene
from guide.plan.moment import Moment, Phase

HELD = Moment(
    step=3,
    title="warrior two",
    action="warrior two",
    side="left",
    section="Standing",
    breath=3,
    breaths=5,
    phase=Phase.IN,
    fullness=0.6,
    words="",
    words_said=0.0,
    next_words="Bend the left knee toward a right angle, knee over heel.",
    next_words_ms=6_000,
    begins_ms=0,
    hold_ms=40_000,
    hold_left_ms=23_200,
    step_left_ms=23_200,
    next_title="exhale",
    next_side="left",
    next_pose="triangle",
    next_pose_side="left",
    section_ms=300_000,
    section_left_ms=180_000,
    at_ms=100_000,
    left_ms=490_000,
)


def scene(told: str = "", *, tells: int = 0, paused: bool = False, lost: bool = False, **more: object) -> Scene:
    """The third breath of five in warrior two, with `more` of it otherwise."""
    return Scene("Lakeside morning", replace(HELD, **more), told, tells, paused, lost, False)  # type: ignore[arg-type]


NAMES = st.text(max_size=40) | st.sampled_from(
    ["warrior two", "utthita trikoṇāsana", "三角", "x" * 80, "turn your palms out and lift your arms past your ears"]
)
TIMES_MS = st.integers(0, 7_200_000)
SCENES = st.builds(
    lambda told, flags, more: scene(told, paused=flags[0], lost=flags[1], **more),
    NAMES,
    st.tuples(st.booleans(), st.booleans()),
    st.fixed_dictionaries(
        dict.fromkeys(("title", "action", "section", "words", "next_words", "next_title", "next_pose"), NAMES)
        | dict.fromkeys(("side", "next_pose_side"), st.sampled_from(["", "left", "right"]))
        | dict.fromkeys(("breath", "breaths"), st.integers(0, 150))
        | dict.fromkeys(("fullness", "words_said"), st.floats(0, 1))
        | dict.fromkeys(("hold_ms", "hold_left_ms", "section_ms", "section_left_ms", "at_ms", "left_ms"), TIMES_MS)
        | {"phase": st.sampled_from(Phase), "begins_ms": st.just(0) | st.integers(0, 600_000)}
    ),
)
CHECKS = st.builds(Check, st.sampled_from(["device", "disk", "clock", "words", "end"]), st.booleans(), NAMES)
READIES = st.builds(Ready, NAMES, st.lists(CHECKS, max_size=8).map(tuple), TIMES_MS)


KEYS = "space: record, stop, keep · p: hear · r: again · right: next · left: back · f: flow · q: end"


def reading(**more: object) -> ReadingScene:
    """The 12th of 40 lines, which is being recorded, with `more` of it otherwise."""
    made = ReadingScene(
        title="Lakeside morning",
        section="Standing",
        words="Exhale, bend your left knee, hips low.",
        number=12,
        lines=40,
        recorded=11,
        is_recorded=False,
        room_ms=4_700,
        phase="recording",
        counts=0,
        at_ms=2_300,
        level_dbfs=-24,
        told=(),
        keys=KEYS,
        sound_lost=False,
        is_over=False,
    )
    return replace(made, **more)  # type: ignore[arg-type]


READINGS = st.builds(
    lambda words, told, numbers, flags: reading(
        words=words,
        section=words,
        told=tuple(told),
        level_dbfs=-numbers[0],
        at_ms=numbers[1],
        room_ms=numbers[1],
        counts=numbers[2],
        sound_lost=flags,
        is_recorded=flags,
    ),
    NAMES,
    st.lists(NAMES, max_size=5),
    st.tuples(st.integers(0, 120), TIMES_MS, st.integers(0, 3)),
    st.booleans(),
)
