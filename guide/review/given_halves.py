"""The halves of a breath that a plan gives, in a class as it was taught: nobody says anything in them."""

from collections.abc import Sequence
from dataclasses import replace

from guide.plan.timeline import Timeline
from guide.review.comparison import Known
from guide.sequence.steps import Step


def with_given(steps: Sequence[Step], timeline: Timeline, known: Sequence[Known | None]) -> list[Known | None]:
    """What is known of the steps, with each given half as long as planned before the step that it is given to.

    It is as sure as that one is; the step before it ends where it begins.
    """
    made = list(known)
    for number, step in enumerate(steps):
        after = made[number + 1] if step.given and number + 1 < len(made) else None
        one, before = made[number], made[number - 1] if number else None
        if one is None or after is None or before is None:
            continue
        span = timeline.spans[number]
        start_ms = max(after.start_ms - (span.end_ms - span.start_ms), before.start_ms)
        made[number] = replace(one, start_ms=start_ms, length_ms=after.start_ms - start_ms, sure=after.sure)
        made[number - 1] = replace(before, length_ms=start_ms - before.start_ms)
    return made
