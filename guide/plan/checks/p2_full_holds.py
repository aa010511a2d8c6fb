"""Promise 2: no cue of a step before the hold before it is over; entry words have just the time they need."""

from collections.abc import Iterator
from itertools import chain, pairwise

from guide.plan.checks.breach import Breach, moment, quoted
from guide.plan.checks.evidence import Evidence, Seen
from guide.plan.checks.p4_moves import before_in_run
from guide.sequence.steps import StepKind


def check(evidence: Evidence) -> Iterator[Breach]:
    for before, seen in pairwise(evidence.seen):
        if before_in_run(evidence, seen) is None:
            yield from _early(before, seen)
    for seen in evidence.seen:
        if seen.step.kind is not StepKind.MOVE:
            yield from _entry(evidence, seen)


def _early(before: Seen, seen: Seen) -> Iterator[Breach]:
    """The hold before is over when the plan says so, and not before the file says so."""
    over_ms = max(before.span.held_ms, before.span.hold_ms + before.asked_ms)
    for cue in chain(seen.entry, seen.carried, seen.said, seen.counts):
        if cue.start_ms < over_ms:
            what = f"{quoted(cue.words)} begins at {moment(cue.start_ms)}"
            yield Breach(2, cue.place, f"{what}, before “{before.step.title}” is over at {moment(over_ms)}")


def _entry(evidence: Evidence, seen: Seen) -> Iterator[Breach]:
    span, step = seen.span, seen.step
    given_ms = span.hold_ms - span.start_ms - seen.lead_ms
    needed_ms = max(_given_ms(evidence, evidence.seen[number]) for number in seen.twins)
    if step.laid is not None:
        needed_ms = step.laid.entry_ms
    if given_ms != needed_ms:
        what = f"the entry words of “{step.title}” have {given_ms} ms, they need {needed_ms} ms"
        yield Breach(2, step.place, what)
    if seen.entry:
        taken_ms = seen.entry[-1].end_ms - seen.entry[0].start_ms
        if taken_ms != (own_ms := evidence.entry_ms(seen)):
            what = f"the entry words of “{step.title}” take {taken_ms} ms, they need {own_ms} ms"
            yield Breach(2, step.place, what)
        too_early = seen.entry[0].start_ms < span.start_ms + seen.lead_ms
        if step.kind is StepKind.TALK and (too_early or seen.entry[-1].end_ms > span.hold_ms):
            what = f"the entry words of “{step.title}” lie from {moment(seen.entry[0].start_ms)}"
            both = f"{moment(seen.entry[-1].end_ms)}, their time from {moment(span.start_ms + seen.lead_ms)}"
            yield Breach(2, step.place, f"{what} to {both} to {moment(span.hold_ms)}")


def _given_ms(evidence: Evidence, seen: Seen) -> int:
    """What the entry words of one step take, or what an earlier plan has given them."""
    return evidence.entry_ms(seen) if seen.step.laid is None else seen.step.laid.entry_ms
