"""What of a taught class a draft recovers: poses that were named, how long they were kept, and what was done on both
sides; and what it has that was never said."""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from itertools import takewhile
from pathlib import Path

from class_texts import expand
from taught import Taught

from guide.draft.breath_pace import Breathing, kept_breaths
from guide.draft.events import UNNAMED, Kind
from guide.draft.grouping import Again, Node, Sided, events_of
from guide.plan.timeline import Timeline
from guide.review.captions.transcript import folded
from guide.sequence.poses.shipped_library import shipped
from guide.sequence.reader import read_text
from guide.sequence.steps import Side, StepKind, Steps

Span = tuple[int, int]

#: The pair of a step, its side, and when it really was.
Paired = tuple[str, Side, Span]


@dataclass(frozen=True, slots=True)
class Recovered:
    """How many of all there are a draft has."""

    found: int
    all: int

    def __add__(self, other: "Recovered") -> "Recovered":
        return Recovered(self.found + other.found, self.all + other.all)

    @property
    def share(self) -> float:
        return self.found / self.all if self.all else 1.0

    def __str__(self) -> str:
        return f"{self.found}/{self.all} ({self.share:.0%})"


def steps_of(draft: str) -> Steps:
    """The steps of a draft; it must read back without a fault."""
    return expand(read_text(draft, "draft.yaml", Path()))


def kept_poses(steps: Steps) -> list[str]:
    """The poses that are kept, in order; the same one on and on counts once."""
    found: list[str] = []
    for step in steps.steps:
        if step.kind in (StepKind.POSE, StepKind.REST) and step.known and found[-1:] != [step.known]:
            found.append(step.known)
    return found


def named_poses(steps: Steps, timeline: Timeline, said: Collection[int]) -> list[str]:
    """The poses that are kept and whose name is in the words of their step or of the one before, in order.

    Only the cues whose numbers are in `said` count.
    """
    found: list[str] = []
    before = ""
    for step, span in zip(steps.steps, timeline.spans, strict=True):
        cues = [(number, cue) for number, cue in enumerate(timeline.cues) if number in said]
        here = [cue.words for _, cue in cues if span.start_ms <= cue.start_ms < span.end_ms]
        words = f" {' '.join(folded(' '.join(here)))} "
        kept = step.kind in (StepKind.POSE, StepKind.REST)
        if kept and step.known and found[-1:] != [step.known] and _named(step.known, before + words):
            found.append(step.known)
        before = words
    return found


def _named(known: str, words: str) -> bool:
    pose = shipped().find(known)
    assert pose is not None
    return any(f" {' '.join(folded(name))} " in words for name in (pose.name, *pose.also, pose.sanskrit) if name)


def poses_recovered(wanted: list[str], draft: Steps) -> Recovered:
    """Poses that are in the draft in the order in which they were taught (the longest common subsequence)."""
    return Recovered(longest_common(wanted, kept_poses(draft)), len(wanted))


def longest_common(one: Sequence[str], other: Sequence[str]) -> int:
    """How many of one are in the other in the same order."""
    row = [0] * (len(other) + 1)
    for each in one:
        last, row = row, [0]
        for number, found in enumerate(other):
            row.append(last[number] + 1 if each == found else max(last[number + 1], row[number]))
    return row[-1]


def poses_kept(steps: Steps, nodes: Sequence[Node]) -> Recovered:
    """Poses that a draft claims and that were taught, in the order in which they were (the longest common subsequence).

    A pose that nobody named where it is, and that the draft marks as told by what was done alone, is a question and no
    claim.
    """
    claimed: list[str] = []
    for event in (event for node in nodes for event in events_of(node)):
        named = event.kind is Kind.HOLD and event.sure > UNNAMED
        if named and event.pose is not None and claimed[-1:] != [event.pose]:
            claimed.append(event.pose)
    return Recovered(longest_common(kept_poses(steps), claimed), len(claimed))


def never_named(draft: Steps, timeline: Timeline, said: Collection[int]) -> list[str]:
    """The poses that are kept in the draft though no cue that was really said has one of their names."""
    words = " ".join(" ".join(folded(cue.words)) for number, cue in enumerate(timeline.cues) if number in said)
    return [known for known in kept_poses(draft) if not _named(known, f" {words} ")]


def unmarked(nodes: Sequence[Node]) -> frozenset[str]:
    """The poses of a draft that are not marked as doubtful wherever they are."""
    events = [event for node in nodes for event in events_of(node)]
    return frozenset(event.pose for event in events if event.pose is not None and event.sure >= 0.999)


def holds_off(steps: Steps, timeline: Timeline, taught: Taught, nodes: Sequence[Node], pace: Breathing) -> list[float]:
    """By how many breaths each drafted hold is longer than the same pose was really kept, at the pace of the draft."""
    breath_ms = pace.inhale_ms + pace.exhale_ms
    kept = list(_kept_spans(steps, timeline, taught))
    found: list[float] = []
    for event in (event for node in nodes for event in events_of(node) if event.kind is Kind.HOLD):
        for known, (start_ms, end_ms) in kept:
            if known == event.pose and event.kept_ms < end_ms and start_ms < event.end_ms:
                found.append(kept_breaths(event, pace) - (end_ms - start_ms) / breath_ms)
                break
    return found


def _kept_spans(steps: Steps, timeline: Timeline, taught: Taught) -> Iterator[tuple[str, Span]]:
    """The poses with the real times from when the words that lead in were over until the hold was."""
    ends = [*taught.starts_ms[1:], taught.end_ms]
    for step, span, start_ms, end_ms in zip(steps.steps, timeline.spans, taught.starts_ms, ends, strict=True):
        if step.kind is StepKind.POSE and step.known:
            factor = (end_ms - start_ms) / max(span.end_ms - span.start_ms, 1)
            begun_ms, over_ms = (
                start_ms + round((each - span.start_ms) * factor) for each in (span.hold_ms, span.held_ms)
            )
            yield step.known, (begun_ms, over_ms)


def sides_recovered(steps: Steps, timeline: Timeline, taught: Taught, nodes: Sequence[Node]) -> Recovered:
    """Things done on both sides whose two passes the draft has where they really were."""
    wanted = _passes(steps, timeline, taught)
    drafted = [pair for node in nodes for pair in _drafted(node)]
    found = sum(any(_meet(one, here) and _meet(other, there) for here, there in drafted) for one, other in wanted)
    return Recovered(found, len(wanted))


def _drafted(node: Node) -> list[tuple[Span, Span]]:
    if isinstance(node, Again):
        return [pair for each in node.passes for part in each for pair in _drafted(part)]
    return [(_span(node.one), _span(node.other))] if isinstance(node, Sided) else []


def _span(nodes: tuple[Node, ...]) -> Span:
    events = [event for node in nodes for event in events_of(node)]
    return events[0].start_ms, events[-1].end_ms


def _passes(steps: Steps, timeline: Timeline, taught: Taught) -> list[tuple[Span, Span]]:
    """The real times of the first and the second pass of everything that was done on both sides."""
    found: list[tuple[Span, Span]] = []
    ends = [*taught.starts_ms[1:], taught.end_ms]
    paired = [
        (step.pair, step.side, (start_ms, end_ms))
        for step, start_ms, end_ms in zip(steps.steps, taught.starts_ms, ends, strict=True)
        if step.pair is not None and step.side is not None
    ]
    while paired:
        first = _while_side(paired, paired[0][1])
        second = _while_of(paired[len(first) :], paired[0][1].other, {pair for pair, _, _ in first})
        found.append(((first[0][2][0], first[-1][2][1]), (second[0][2][0], second[-1][2][1])))
        del paired[: len(first) + len(second)]
    return found


def _while_side(paired: list[Paired], side: Side) -> list[Paired]:
    return list(takewhile(lambda each: each[1] is side, paired))


def _while_of(paired: list[Paired], side: Side, pairs: set[str]) -> list[Paired]:
    return list(takewhile(lambda each: each[0] in pairs and each[1] is side, paired))


def _meet(one: Span, other: Span) -> bool:
    """Whether two spans are the same for the most part."""
    both = min(one[1], other[1]) - max(one[0], other[0])
    return both * 2 > max(one[1] - one[0], other[1] - other[0])
