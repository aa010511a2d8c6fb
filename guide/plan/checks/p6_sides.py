"""Promise 6: both sides last the same to the millisecond, in their entry, their hold and altogether."""

from collections.abc import Iterator

from guide.plan.checks.breach import Breach
from guide.plan.checks.evidence import Evidence, Seen


def check(evidence: Evidence) -> Iterator[Breach]:
    for seen in evidence.seen:
        first = evidence.seen[seen.twins[0]]
        if first is seen:
            continue
        for part, one_ms, other_ms in zip(PARTS, _lengths(first), _lengths(seen), strict=True):
            if one_ms != other_ms:
                what = f"{part} of “{first.step.title}” lasts {one_ms} ms on one side and {other_ms} ms on the other"
                yield Breach(6, seen.step.place, what)


PARTS = ("the entry", "the hold", "the whole")


def _lengths(seen: Seen) -> tuple[int, int, int]:
    span = seen.span
    return (span.hold_ms - span.start_ms, span.held_ms - span.hold_ms, span.end_ms - span.start_ms)
