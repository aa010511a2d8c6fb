"""Promise 1: one voice. No two cues overlap; at least 250 ms of quiet lie between them."""

from collections.abc import Iterator
from itertools import pairwise

from guide.plan.checks.breach import GAP_MS, Breach, moment, quoted
from guide.plan.checks.evidence import Evidence


def check(evidence: Evidence) -> Iterator[Breach]:
    for one, other in pairwise(sorted(evidence.timeline.cues, key=lambda cue: cue.start_ms)):
        quiet_ms = other.start_ms - one.start_ms - one.length_ms
        if quiet_ms >= GAP_MS:
            continue
        both = f"{quoted(one.words)} and {quoted(other.words)} at {moment(other.start_ms)}"
        what = f"overlap by {-quiet_ms} ms" if quiet_ms < 0 else f"have only {quiet_ms} ms between them"
        yield Breach(1, other.place, f"{both} {what}")
