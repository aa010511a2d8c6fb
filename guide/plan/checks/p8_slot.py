"""Promise 8: a class that does not fill its slot says by how much."""

from collections.abc import Iterator

from guide.plan.checks.breach import Breach, moment
from guide.plan.checks.evidence import Evidence
from guide.units import clock


def check(evidence: Evidence) -> Iterator[Breach]:
    slot_ms, length_ms = evidence.steps.slot_ms, evidence.timeline.length_ms
    if slot_ms is None or slot_ms == length_ms or not evidence.seen:
        return
    said = f"its slot of {clock(slot_ms)}"
    if not any(said in note.what for note in evidence.timeline.notes):
        what = f"the class lasts {moment(length_ms)}, its slot is {moment(slot_ms)}, and no note says so"
        yield Breach(8, None, what)
