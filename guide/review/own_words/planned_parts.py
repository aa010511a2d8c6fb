"""The parts of a plan that are looked for in what was said, and the words that tell of each."""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

from guide.plan.timeline import Timeline
from guide.review.aligning.word_likeness import sounded, stem
from guide.review.captions.transcript import folded
from guide.sequence.poses.shipped_library import shipped
from guide.sequence.steps import StepKind, Steps

#: A word of a name counts as so many of the words that the plan has for a pose.
NAME = 4

#: What is said where the second side begins, whatever is done on it.
SECOND_SIDE = ("other", "second", "side", "same", "change", "switch", "swap", "again", "opposite", "sides")


@dataclass(frozen=True, slots=True)
class PlannedPart:
    """A step that is looked for, `first`, with those up to before `end` that follow it closely: moves of one breath
    after the other (`is_moved`), and the way out of a pose. `words` tell of it, each as often as it counts; `pose` is
    that of the library, "" for none."""

    first: int
    end: int
    planned_ms: int
    words: Mapping[str, float]
    is_second: bool
    pose: str = ""
    is_moved: bool = False


def planned_parts(steps: Steps, timeline: Timeline) -> tuple[PlannedPart, ...]:
    """The parts of a class in order."""
    edges = [*_firsts(timeline), len(timeline.spans)]
    starts = [*(span.start_ms for span in timeline.spans), timeline.spans[-1].end_ms]
    return tuple(
        PlannedPart(
            first,
            end,
            starts[end] - starts[first],
            _words(timeline, first, end),
            steps.steps[first].pass_number == 2,
            _pose(timeline, first),
            timeline.spans[first].kind is StepKind.MOVE,
        )
        for first, end in pairwise(edges)
    )


def _pose(timeline: Timeline, number: int) -> str:
    pose = shipped().find(timeline.spans[number].pose or "")
    return pose.name if pose else ""


def _firsts(timeline: Timeline) -> Iterator[int]:
    for number in range(len(timeline.spans)):
        if not number or not (_is_way_out(timeline, number) or _goes_on(timeline, number)):
            yield number


def _is_way_out(timeline: Timeline, number: int) -> bool:
    span = timeline.spans[number]
    return span.kind is StepKind.TALK and span.place.line == timeline.spans[number - 1].place.line


def _goes_on(timeline: Timeline, number: int) -> bool:
    span, before = timeline.spans[number], timeline.spans[number - 1]
    return span.kind is before.kind is StepKind.MOVE and span.side is before.side


def _words(timeline: Timeline, first: int, end: int) -> Mapping[str, float]:
    found: Counter[str] = Counter()
    for cue in timeline.cues:
        if first <= cue.step < end:
            found.update(spelt(word) for word in folded(cue.words))
    for number in range(first, end):
        span = timeline.spans[number]
        pose = shipped().find(span.pose) if span.pose else None
        for name in {span.pose or "", *((pose.name, pose.sanskrit, *pose.also) if pose else ())}:
            found.update({spelt(word): NAME for word in folded(name)})
    return found


def spelt(word: str) -> str:
    """The word as it sounds, without the endings of its forms."""
    return stem(sounded(word))
