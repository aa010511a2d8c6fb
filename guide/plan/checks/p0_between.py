"""Still promise 0: between two steps lie only the bells of the class and of its sections; the end is the end."""

from collections.abc import Iterator

from guide.plan.checks.breach import Breach, moment
from guide.plan.checks.evidence import Evidence
from guide.plan.checks.opening_bells import openings


def check(evidence: Evidence) -> Iterator[Breach]:
    timeline = evidence.timeline
    for opening in openings(evidence):
        if opening.number == len(timeline.spans):
            if timeline.length_ms != opening.until_ms:
                what = f"the plan is {moment(timeline.length_ms)} long, the class ends at {moment(opening.until_ms)}"
                yield Breach(0, None, what)
            continue
        span = timeline.spans[opening.number]
        if span.start_ms != opening.until_ms and not opening.is_hurried_by(span):
            what = f"“{span.title}” begins at {moment(span.start_ms)}, it should follow at {moment(opening.until_ms)}"
            yield Breach(0, span.place, what)
