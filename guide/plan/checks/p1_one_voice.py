"""Promise 1: one voice. No two cues overlap; at least 250 ms of quiet lie between them.

Between two numbers of a count of seconds it is 100 ms: a second has no room for more.
"""

from collections.abc import Iterator
from itertools import pairwise

from guide.plan.checks.breach import GAP_MS, NUMBER_GAP_MS, Breach, moment, quoted
from guide.plan.checks.evidence import Evidence
from guide.plan.checks.slots import counts_seconds
from guide.plan.timeline import Cue
from guide.sequence.steps import CueKind, StepKind


def check(evidence: Evidence) -> Iterator[Breach]:
    for one, other in pairwise(sorted(evidence.timeline.cues, key=lambda cue: cue.start_ms)):
        quiet_ms = other.start_ms - one.start_ms - one.length_ms
        if quiet_ms >= _least_ms(evidence, one, other):
            continue
        both = f"{quoted(one.words)} and {quoted(other.words)} at {moment(other.start_ms)}"
        what = f"overlap by {-quiet_ms} ms" if quiet_ms < 0 else f"have only {quiet_ms} ms between them"
        yield Breach(1, other.place, f"{both} {what}")


def _least_ms(evidence: Evidence, one: Cue, other: Cue) -> int:
    if one.step != other.step or one.kind is not CueKind.COUNT or other.kind is not CueKind.COUNT:
        return GAP_MS
    step = evidence.seen[one.step].step
    return NUMBER_GAP_MS if counts_seconds(step) or step.kind is StepKind.BREATHING else GAP_MS
