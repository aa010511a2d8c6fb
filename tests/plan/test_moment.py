"""What is under way at a moment, beside the timeline looked through from end to end."""

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from plan_texts import fitted, steps_of

from guide.plan.moment import Phase, moment, step_at
from guide.plan.timeline import RingRole, Timeline
from guide.sequence.steps import CueKind, StepKind

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
        enter: none
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
        later = next((cue for cue in timeline.cues if cue.start_ms > ms and cue.kind is not CueKind.COUNT), None)
        assert (now.next_words, now.next_words_ms) == ((later.words, later.start_ms - ms) if later else ("", 0))
        assert now.left_ms == max(0, timeline.length_ms - ms)
        assert now.begins_ms == (0 if span.kind is StepKind.TALK else max(0, span.hold_ms - ms))
        assert now.step_left_ms == max(0, span.end_ms - ms)
        sections = [timeline.chapters[span.section]] if span.section is not None else []
        assert [now.section_ms] == ([each.end_ms - each.start_ms for each in sections] or [0])
        assert 0 <= now.section_left_ms <= now.section_ms
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
    # The exhale after the hold has an inhale before it that the plan gives.
    assert (entering.words, entering.next_title) == ("Tree, right side.", "inhale")


def test_the_countdown_into_a_hold_goes_down_to_its_first_breath_and_the_breaths_that_are_left_to_its_last() -> None:
    timeline = made(POSES.format(inhale="Step out."))
    hold_ms = timeline.spans[2].hold_ms
    for ms, begins_ms, left in (
        (hold_ms - 900, 900, 4),
        (hold_ms - 1, 1, 4),
        (hold_ms, 0, 4),
        (hold_ms + 8000, 0, 3),
        (timeline.spans[2].held_ms - 1, 0, 1),
    ):
        now = moment(timeline, ms)
        assert (now.begins_ms, now.breaths_left, now.hold_ms) == (begins_ms, left, 32_000)


def test_a_move_without_a_name_tells_what_to_do_and_what_comes_next_is_a_pose() -> None:
    timeline = made(POSES.format(inhale="Step out. Look ahead."))
    now = moment(timeline, timeline.spans[1].hold_ms)
    assert (now.title, now.action, now.next_title, now.next_pose, now.next_pose_side) == (
        *("inhale", "step out"),
        *("tree", "tree", "right"),
    )
    # Past the move between the two sides, which has no name.
    held = moment(timeline, timeline.spans[2].hold_ms)
    assert (held.action, held.next_title, held.next_pose, held.next_pose_side) == ("tree", "inhale", "tree", "left")
    last = moment(timeline, timeline.spans[-1].hold_ms)
    assert (last.action, last.next_title, last.next_pose) == ("step back", "", "")


@pytest.mark.parametrize(
    ("words", "action"),
    [
        ("Breathe out, roll them back and down.", "roll them back and down"),
        ("Inhaling is easy here.", "Inhaling is easy here"),
        ("EXHALE: fold", "fold"),
        ("Inhale.", "inhale"),
        ("Arms up, inhale.", "Arms up"),
        ("Einatmen und hoch!", "Einatmen und hoch"),
    ],
)
def test_what_a_move_asks_for_is_its_first_sentence_without_the_breath(words: str, action: str) -> None:
    timeline = made(POSES.format(inhale="Step out."))
    said = tuple(replace(cue, words=words) if cue.step == 1 else cue for cue in timeline.cues)
    assert moment(replace(timeline, cues=said), timeline.spans[1].hold_ms).action == action


def test_a_move_is_told_by_its_words_though_a_pose_is_named_and_words_alone_by_their_first_sentence() -> None:
    timeline = made(
        "title: T\nclass:\n  - inhale: Reach up.\n    pose: upward salute\n"
        "  - pose: mountain\n    enter: none\n    say: Stand.\n"
        "  - pose: child's pose\n  - say: Come to sit. Take your time.\n"
    )
    actions = [moment(timeline, span.hold_ms).action for span in timeline.spans if span.kind is not StepKind.POSE]
    assert actions[0] == "reach up"
    assert actions[-2:] == ["out of mountain", "Come to sit"]


def test_the_words_are_followed_as_they_are_said() -> None:
    timeline = made(POSES.format(inhale="Step out."))
    cue = timeline.cues[0]
    half = moment(timeline, cue.start_ms + cue.length_ms // 2)
    assert (half.words, half.words_said, half.next_words) == (cue.words, 0.5, timeline.cues[1].words)
    assert moment(timeline, timeline.cues[-1].start_ms).next_words == ""


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
