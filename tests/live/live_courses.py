"""Courses made from the text of a class, with estimated lengths of its words."""

import sys
from collections import Counter
from pathlib import Path

from class_texts import expand

from guide.live.course import LEAD_MS, Course, begin
from guide.live.orders import Order
from guide.plan.breath_counting import counted
from guide.plan.estimate import EstimatedLengths
from guide.plan.fitting.fit import fit
from guide.plan.scheduler import plan
from guide.plan.timeline import Timeline
from guide.sequence.reader import read_text
from guide.sequence.steps import CueKind, Steps

#: The orders that go elsewhere in the class as it is planned; all others change the plan and stay where they are.
JUMPS = (Order.NEXT, Order.AGAIN, Order.PREVIOUS, Order.SIDE_AGAIN, Order.OTHER_SIDE, Order.REST)

# The random classes of the planner's own tests.
sys.path.append(str(Path(__file__).parents[1] / "plan"))

SEQUENCES = Path(__file__).parents[2] / "sequences"


class SoundLengths(dict[str, int]):
    """Every bell lasts two seconds."""

    def __missing__(self, name: str) -> int:
        return 2000


def course_of(steps: Steps) -> Course:
    word_ms, sound_ms = EstimatedLengths(0.75), SoundLengths()
    fitted = fit(steps, word_ms, sound_ms)
    counted(fitted.steps, word_ms, sound_ms)
    return begin(fitted.steps, word_ms, sound_ms, plan(fitted.steps, word_ms, sound_ms))


def course(entries: str, head: str = "") -> Course:
    return course_of(expand(read_text(f"title: T\n{head}class:\n{entries}", "class.yaml", SEQUENCES)))


def shipped(name: str) -> Course:
    path = SEQUENCES / f"{name}.yaml"
    return course_of(expand(read_text(path.read_text(encoding="utf-8"), path.name, SEQUENCES)))


def assert_heard_once(before: Course, after: Course, at_ms: int) -> None:
    """What an order at a moment must leave alone: all that has begun, and the step under way begins as it did."""
    number = before.number_at(at_ms)
    assert _entry(before.timeline, number) == _entry(after.timeline, number), "the step under way begins as it did"
    assert_begun_kept(before, after, at_ms)


def assert_begun_kept(before: Course, after: Course, at_ms: int) -> None:
    """What other lengths of words must leave alone: all that has begun; every word is heard once or left out."""
    number, settled_ms = before.number_at(at_ms), at_ms + LEAD_MS
    old, new = before.timeline, after.timeline
    assert old.spans[:number] == new.spans[:number], "the past is as it was"
    assert old.spans[number].start_ms == new.spans[number].start_ms
    assert _begun(old, settled_ms) == _begun(new, settled_ms), "what has begun stays, and nothing comes too soon"
    for step in range(len(new.spans)):
        led = after.led(step)
        written = Counter(words.text for words in (*led.entry, *led.words))
        said = Counter(cue.words for cue in new.cues if cue.step == step and cue.kind is not CueKind.COUNT)
        left_out = Counter(one.words for one in new.dropped if one.step == step and one.kind is not CueKind.COUNT)
        assert said + left_out == written, "each word is said once, or listed as left out"


def _entry(timeline: Timeline, number: int) -> tuple[int, int]:
    return timeline.spans[number].start_ms, timeline.spans[number].hold_ms


def _begun(timeline: Timeline, before_ms: int) -> list[object]:
    return [one for one in (*timeline.cues, *timeline.rings) if one.start_ms < before_ms]
