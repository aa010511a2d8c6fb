"""Promise 10: in and out come by turns from a hold or a move to the end of its run; a half that is given says so."""

from collections.abc import Iterator
from itertools import pairwise

from guide.plan.checks.breach import Breach, moment
from guide.plan.checks.evidence import Evidence, Seen
from guide.plan.checks.opening_bells import openings
from guide.sequence.steps import Breath, InBreaths, StepKind


def check(evidence: Evidence) -> Iterator[Breach]:
    belled = {opening.number for opening in openings(evidence) if opening.bells}
    begins = [None if seen.number in belled else _begins_on(seen) for seen in evidence.seen]
    ends = [_ends_on(seen) for seen in evidence.seen]
    for before, seen in pairwise(evidence.seen):
        half = begins[seen.number]
        if half is not None and half is ends[before.number]:
            what = f"one {half.value} follows another at {moment(seen.span.hold_ms)}, with nothing between them"
            yield Breach(10, seen.step.place, what)
    for seen in evidence.seen:
        if seen.step.given:
            after = seen.number + 1
            around = {ends[seen.number - 1] if seen.number else None, *begins[after : after + 1]}
            yield from _given(evidence, seen, around)


def _given(evidence: Evidence, seen: Seen, around: set[Breath | None]) -> Iterator[Breach]:
    """What is given lies between two like halves, has nothing of its own to say, and is told to the teacher."""
    title = seen.step.title
    if len(around) != 1 or seen.step.breath is None or around & {None, seen.step.breath}:
        yield Breach(10, seen.step.place, f"the {title} given at {moment(seen.span.hold_ms)} is missed by nobody")
    if seen.carried or seen.step.words:
        yield Breach(10, seen.step.place, f"the {title} given at {moment(seen.span.hold_ms)} has words")
    if not evidence.has_note(seen.step.place, f"an {title} without words is given"):
        yield Breach(10, seen.step.place, f"the {title} at {moment(seen.span.hold_ms)} is given, and no note says so")


def _begins_on(seen: Seen) -> Breath | None:
    """The half that a step begins with at once; None where words or a bell come first, or nobody is told."""
    if seen.step.kind is StepKind.MOVE:
        return seen.step.breath
    if seen.entry or seen.step.bell.at_start or not _is_breathed(seen):
        return None
    return Breath.INHALE


def _ends_on(seen: Seen) -> Breath | None:
    if seen.step.kind is StepKind.MOVE:
        return seen.step.breath
    if seen.step.bell.at_end or not _is_breathed(seen):
        return None
    halves = isinstance(seen.step.hold, InBreaths) and seen.step.hold.and_a_half
    return Breath.INHALE if halves else Breath.EXHALE


def _is_breathed(seen: Seen) -> bool:
    return isinstance(seen.step.hold, InBreaths) and seen.step.kind is not StepKind.SILENCE
