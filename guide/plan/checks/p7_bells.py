"""Promise 7: nothing masks the first half second of a cue. Bells have a time alone; the voice turns all down."""

from bisect import bisect_left
from collections.abc import Iterator
from itertools import pairwise

from guide.plan.checks.breach import Breach, moment, quoted
from guide.plan.checks.evidence import Evidence
from guide.plan.checks.opening_bells import openings
from guide.plan.timeline import RingRole

BELLS = (RingRole.CLASS, RingRole.SECTION, RingRole.STEP)


def check(evidence: Evidence) -> Iterator[Breach]:
    yield from _turned_down(evidence)
    yield from _alone(evidence)
    yield from _between_rings(evidence)
    yield from _closing_bells(evidence)
    for opening in openings(evidence):
        if opening.number < len(evidence.seen):
            span = evidence.timeline.spans[opening.number]
            if opening.is_hurried_by(span):
                what = f"“{span.title}” begins at {moment(span.start_ms)}, before the bells are done"
                yield Breach(7, span.place, f"{what} at {moment(opening.until_ms)}")


def _turned_down(evidence: Evidence) -> Iterator[Breach]:
    dips = sorted(evidence.timeline.dips, key=lambda dip: dip.start_ms)
    number = 0
    for cue in sorted(evidence.timeline.cues, key=lambda cue: cue.start_ms):
        while number + 1 < len(dips) and dips[number + 1].start_ms <= cue.start_ms:
            number += 1
        if not dips or not dips[number].start_ms <= cue.start_ms or cue.end_ms > dips[number].end_ms:
            what = f"the bells and chimes are not turned down under {quoted(cue.words)} at {moment(cue.start_ms)}"
            yield Breach(7, cue.place, what)


def _alone(evidence: Evidence) -> Iterator[Breach]:
    """No cue begins while a bell that opens or closes something has its time alone."""
    cues = evidence.timeline.cues
    starts_ms = [cue.start_ms for cue in cues]
    for ring in evidence.timeline.rings:
        if ring.role not in BELLS:
            continue
        next_cue = bisect_left(starts_ms, ring.start_ms)
        if next_cue < len(cues) and starts_ms[next_cue] < ring.start_ms + evidence.lead_ms(ring.sound):
            cue = cues[next_cue]
            what = f"{quoted(cue.words)} begins {cue.start_ms - ring.start_ms} ms after the {ring.role.value} bell"
            yield Breach(7, cue.place, f"{what} at {moment(ring.start_ms)}")


def _between_rings(evidence: Evidence) -> Iterator[Breach]:
    for ring, other in pairwise(evidence.timeline.rings):
        gap_ms = other.start_ms - ring.start_ms
        if ring.role in BELLS and gap_ms < evidence.lead_ms(ring.sound):
            what = f"the {other.role.value} ring at {moment(other.start_ms)} comes {gap_ms} ms"
            yield Breach(7, None, f"{what} after the {ring.role.value} bell")


def _closing_bells(evidence: Evidence) -> Iterator[Breach]:
    """The bell that closes a step has its time before the next step begins."""
    for seen in evidence.seen:
        step, given_ms = seen.step, seen.span.end_ms - seen.span.held_ms
        if step.bell.at_end and given_ms != (lead_ms := evidence.lead_ms(step.bell_sound)):
            yield Breach(7, step.place, f"the bell after “{step.title}” has {given_ms} ms, it needs {lead_ms} ms")
