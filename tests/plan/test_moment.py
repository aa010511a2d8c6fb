"""What is under way at a moment, beside the timeline looked through from end to end."""

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from plan_texts import fitted, steps_of

from guide.plan.moment import Phase, moment, step_at
from guide.plan.timeline import RingRole, Timeline
from guide.sequence.steps import StepKind

SEQUENCES = Path(__file__).parents[2] / "sequences"

POSES = """title: T
class:
  - section: Standing
  - pose: mountain
    hold: 5 breaths
    say: Stand.
  - both sides:
      - inhale: {inhale}
      - pose: tree
        hold: 4 breaths
        say: Now balance.
      - exhale: Step back.
"""


def made(text: str) -> Timeline:
    return fitted(steps_of(text, SEQUENCES))[1]


@cache
def shipped(path: Path) -> Timeline:
    return made(path.read_text(encoding="utf-8"))


each_shipped = pytest.mark.parametrize("path", sorted(SEQUENCES.glob("*.yaml")), ids=lambda path: path.stem)


@each_shipped
def test_step_words_and_what_is_left_are_those_of_a_plain_scan(path: Path) -> None:
    timeline = shipped(path)
    for ms in range(-700, timeline.length_ms + 2000, 311):
        now = moment(timeline, ms)
        number = next((n for n, span in enumerate(timeline.spans) if ms < span.end_ms), len(timeline.spans) - 1)
        span, after = timeline.spans[number], [*timeline.spans[number + 1 :], None][0]
        assert (now.step, now.title, now.at_ms) == (number, span.title, ms)
        assert now.side == (span.side.value if span.side else "")
        assert (now.next_title, now.next_side) == (
            after.title if after else "",
            after.side.value if after and after.side else "",
        )
        assert [now.words] == ([cue.words for cue in timeline.cues if cue.start_ms <= ms < cue.end_ms] or [""])
        assert now.left_ms == max(0, timeline.length_ms - ms)
        assert 0.0 <= now.fullness <= 1.0


@each_shipped
def test_a_breath_begins_with_its_chime_and_the_last_is_the_one_that_was_asked_for(path: Path) -> None:
    timeline = shipped(path)
    numbers: dict[int, list[int]] = {}
    for ring in timeline.rings:
        now = moment(timeline, ring.start_ms)
        if ring.role is RingRole.INHALE:
            assert (now.phase, now.fullness) == (Phase.IN, 0.0)
            numbers.setdefault(now.step, []).append(now.breath)
        elif ring.role is RingRole.EXHALE:
            assert (now.phase, now.fullness) == (Phase.OUT, 1.0)
    for number, breaths in numbers.items():
        span = timeline.spans[number]
        assert breaths == ([0] if span.kind is StepKind.MOVE else sorted(set(breaths)))
        if span.breaths:
            assert moment(timeline, span.held_ms - 1).breath == span.breaths


def test_where_a_breath_is() -> None:
    timeline = made(POSES.format(inhale="Step out."))
    hold_ms = timeline.spans[2].hold_ms
    for into_ms, breath, phase, fullness in (
        (0, 1, Phase.IN, 0.0),
        (2000, 1, Phase.IN, 0.5),
        (4000, 1, Phase.OUT, 1.0),
        (7000, 1, Phase.OUT, 0.25),
        (8000, 2, Phase.IN, 0.0),
    ):
        now = moment(timeline, hold_ms + into_ms)
        assert (now.title, now.side, now.breath, now.phase, now.fullness) == ("tree", "right", breath, phase, fullness)
        assert (now.section, now.breaths) == ("Standing", 4)
    entering = moment(timeline, timeline.spans[2].start_ms)
    assert entering.breath == 0 and entering.hold_left_ms == timeline.spans[2].held_ms - hold_ms
    assert (entering.words, entering.next_title) == ("Tree, right side.", "exhale")


def test_after_a_long_inhale_the_lungs_stay_full() -> None:
    timeline = made(POSES.format(inhale="Step out " + "and stretch as far as you can " * 3))
    move = timeline.spans[1]
    assert move.held_ms - move.hold_ms > 5000
    for into_ms, phase, fullness in ((3000, Phase.IN, 0.75), (4000, Phase.FULL, 1.0), (5000, Phase.FULL, 1.0)):
        now = moment(timeline, move.hold_ms + into_ms)
        assert (now.breath, now.phase, now.fullness) == (0, phase, fullness)


def test_a_plan_that_does_not_tell_its_pace_tells_no_breath() -> None:
    timeline = made(POSES.format(inhale="Step out."))
    bare = replace(timeline, spans=tuple(replace(span, pace=None, breath=None) for span in timeline.spans))
    now = moment(bare, timeline.spans[2].hold_ms + 2000)
    assert (now.title, now.breath, now.breaths, now.phase, now.fullness) == ("tree", 0, 4, Phase.EMPTY, 0.0)


def test_a_timeline_without_steps_has_no_moments() -> None:
    with pytest.raises(ValueError, match="without steps"):
        step_at(Timeline("T", 0, (), (), (), (), (), (), ()), 0)
