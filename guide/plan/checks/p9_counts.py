"""Promise 9, the numbers: what is counted aloud is right, on its breath, and left to a chime only for want of room."""

from bisect import bisect_left
from collections.abc import Iterator
from dataclasses import dataclass

from guide.plan.checks.breach import GAP_MS, Breach, moment, quoted
from guide.plan.checks.evidence import Evidence, Seen
from guide.plan.timeline import Cue, RingRole
from guide.sequence.steps import Count, InBreaths, StepKind


@dataclass(frozen=True, slots=True)
class Slot:
    """A part of a breath that begins at `start_ms` of the class and is counted with `text`, or else by a ring."""

    start_ms: int
    text: str
    role: RingRole


def check(evidence: Evidence) -> Iterator[Breach]:
    for seen in evidence.seen:
        if seen.counts or seen.step.count is Count.VOICE:
            wanted = slots(seen)
            yield from _right(seen, wanted)
            yield from _left_out(evidence, seen, wanted)


def slots(seen: Seen) -> list[Slot]:
    """Every part of a breath that is counted aloud in a step, in order."""
    if seen.step.count is not Count.VOICE or not seen.is_held or not isinstance(seen.step.hold, InBreaths):
        return []
    grid, hold_ms = seen.grid, seen.span.hold_ms
    if seen.step.kind is not StepKind.BREATHING:
        return [
            Slot(hold_ms + grid.inhale_ms(breath), str(breath + 1), RingRole.INHALE)
            for breath in range(seen.span.breaths)
        ]
    parts = (
        (0, grid.full, "In", RingRole.INHALE),
        (grid.full, grid.exhale, "Hold", RingRole.PAUSE),
        (grid.exhale, grid.empty, "Out", RingRole.EXHALE),
        (grid.empty, grid.period, "Hold", RingRole.PAUSE),
    )
    return [
        Slot(hold_ms + grid.nearest_ms(breath, into), text, role)
        for breath in range(seen.span.breaths)
        for into, end, text, role in parts
        if end > into
    ]


def _right(seen: Seen, wanted: list[Slot]) -> Iterator[Breach]:
    due = {(slot.start_ms + GAP_MS, slot.text) for slot in wanted}
    for cue in seen.counts:
        if (cue.start_ms, cue.words) not in due:
            what = f"{quoted(cue.words)} at {moment(cue.start_ms)} counts no breath of “{seen.step.title}”"
            yield Breach(9, cue.place, what)
        elif cue.place != seen.step.place:
            yield Breach(9, cue.place, f"{quoted(cue.words)} at {moment(cue.start_ms)} names a place of another step")


def _left_out(evidence: Evidence, seen: Seen, wanted: list[Slot]) -> Iterator[Breach]:
    counted_ms = {cue.start_ms for cue in seen.counts}
    others = sorted((*seen.said, *seen.counts), key=lambda cue: cue.start_ms)
    settled_ms = None if seen.step.laid is None else seen.span.hold_ms + seen.step.laid.until_ms
    for slot in wanted:
        if settled_ms is not None and slot.start_ms < settled_ms:
            continue
        start_ms, length_ms = slot.start_ms + GAP_MS, evidence.word_ms.get(slot.text)
        if start_ms in counted_ms or length_ms is None:
            continue
        if start_ms + length_ms <= seen.span.held_ms - GAP_MS and _is_free(others, start_ms, start_ms + length_ms):
            what = f"{quoted(slot.text)} is not counted at {moment(start_ms)}, though there is room for it"
            yield Breach(9, seen.step.place, what)


def _is_free(others: list[Cue], start_ms: int, end_ms: int) -> bool:
    """Whether words from `start_ms` to `end_ms` would keep their distance from all others, sorted by start."""
    after = bisect_left(others, start_ms, key=lambda cue: cue.start_ms)
    if after < len(others) and others[after].start_ms < end_ms + GAP_MS:
        return False
    return after == 0 or others[after - 1].end_ms + GAP_MS <= start_ms
