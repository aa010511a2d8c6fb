"""Promise 8: a class fills its slot to the second, or says by how much it does not; what gives stays in its room."""

from collections.abc import Iterator
from fractions import Fraction

from guide.plan.checks.breach import NEAR_MS, Breach, moment
from guide.plan.checks.evidence import Evidence, Seen
from guide.problem import Place
from guide.sequence.steps import InBreaths, InTime, Pace, PaceRoom
from guide.units import clock

#: What a hold is counted in, its least and its most.
Range = tuple[str, int, int]


def check(evidence: Evidence) -> Iterator[Breach]:
    yield from _slot(evidence)
    for seen in evidence.seen:
        yield from _bounds(seen)
    if evidence.timeline.ease is None:
        return
    if not -1 <= evidence.timeline.ease <= 1:
        yield Breach(8, None, f"the ease {evidence.timeline.ease} is not between -1 and 1")
    yield from _equal(evidence)


def _slot(evidence: Evidence) -> Iterator[Breach]:
    slot_ms, length_ms = evidence.steps.slot_ms, evidence.timeline.length_ms
    if slot_ms is None or abs(slot_ms - length_ms) < NEAR_MS or not evidence.seen:
        return
    said = f"than its slot of {clock(slot_ms)}"
    if not any(said in note.what for note in evidence.timeline.notes):
        what = f"the class lasts {moment(length_ms)}, its slot is {moment(slot_ms)}, and no note says so"
        yield Breach(8, None, what)


def _bounds(seen: Seen) -> Iterator[Breach]:
    """No hold is set below its least or above its most, and no part of a breath leaves the room of its pace."""
    step = seen.step
    match step.hold:
        case InBreaths(least, usual, most) if not least <= usual <= most:
            what = f"“{step.title}” should be held {usual} breaths, the file allows {least} to {most}"
            yield Breach(8, step.place, what)
        case InTime(least_ms, usual_ms, most_ms) if not least_ms <= usual_ms <= most_ms:
            what = f"“{step.title}” should last {usual_ms} ms, the file allows {least_ms} to {most_ms} ms"
            yield Breach(8, step.place, what)
    if step.pace_room is not None:
        ends = zip(_parts(step.pace), _parts(step.pace_room.quickest), _parts(step.pace_room.slowest), strict=True)
        if any(not min(one, other) <= part <= max(one, other) for part, one, other in ends):
            yield Breach(8, step.place, f"the pace of “{step.title}” is quicker or slower than the file allows")


def _parts(pace: Pace) -> tuple[Fraction, ...]:
    return pace.inhale_ms, pace.full_ms, pace.exhale_ms, pace.empty_ms


def _equal(evidence: Evidence) -> Iterator[Breach]:
    """What is written at one place with one range is set alike, on both sides and in every round."""
    holds: dict[tuple[Place, Range], int] = {}
    paces: dict[tuple[Place, PaceRoom], Pace] = {}
    for seen in evidence.seen:
        step, found = seen.step, _set_to(seen)
        if found is not None:
            range_of, usual = found
            first = holds.setdefault((step.place, range_of), usual)
            if first != usual:
                what = f"“{step.title}” is set to {usual} {range_of[0]} here, to {first} where it comes first"
                yield Breach(8, step.place, what)
        if step.pace_room is not None and paces.setdefault((step.place, step.pace_room), step.pace) != step.pace:
            yield Breach(8, step.place, f"“{step.title}” has another pace here than where it comes first")


def _set_to(seen: Seen) -> tuple[Range, int] | None:
    """The range of a hold, and what it is set to."""
    match seen.step.hold:
        case InBreaths(least, usual, most):
            return ("breaths", least, most), usual
        case InTime(least_ms, usual_ms, most_ms):
            return ("ms", least_ms, most_ms), usual_ms
    return None
