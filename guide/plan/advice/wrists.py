"""Long weight on the wrists."""

from collections.abc import Iterator
from dataclasses import dataclass, field

from guide.plan.advice.facts import MINUTE_MS, poses, quoted
from guide.plan.advice.view import Advice, ClassView
from guide.plan.timeline import Span
from guide.sequence.poses.pose import Strength
from guide.sequence.steps import Step, StepKind
from guide.units import clock

NAME = "wrists"

REASON = (
    "Wrists tire before anything else does, and tell of it the next day. A pose on the forearms, the knees or the feet "
    "in between is enough."
)

#: So long without a break is long (common practice, no source): three dogs of five breaths each. On hands and knees
#: the knees carry half, so a gentle pose counts half.
LONG_MS = 2 * MINUTE_MS


@dataclass(slots=True)
class _Run:
    """Steps on the hands without a break; `counted_ms` is their time as it counts, twice."""

    numbers: list[int] = field(default_factory=list)
    counted_ms: int = 0
    share: int = 2

    def add(self, number: int, span: Span) -> None:
        start_ms = span.start_ms if self.numbers else span.hold_ms
        self.counted_ms += self.share * (span.held_ms - start_ms)
        self.numbers.append(number)


def advise(view: ClassView) -> Iterator[Advice]:
    run = _Run()
    for number, (step, pose) in enumerate(zip(view.steps.steps, poses(view), strict=True)):
        if pose is not None and pose.on_wrists:
            run.share = 1 if pose.strength is Strength.GENTLE else 2
            run.add(number, view.span(number))
        elif run.numbers and _stays(step):
            run.add(number, view.span(number))
        elif run.numbers:
            yield from _told(view, run)
            run = _Run()
    yield from _told(view, run)


def _stays(step: Step) -> bool:
    """Whether people stay on their hands in a step that names no pose."""
    return step.kind is StepKind.SILENCE or (step.kind is StepKind.MOVE and step.pose is None)


def _told(view: ClassView, run: _Run) -> Iterator[Advice]:
    if run.counted_ms > 2 * LONG_MS:
        first, last = view.span(run.numbers[0]), view.span(run.numbers[-1])
        step = view.step(run.numbers[0])
        lasts = clock(last.held_ms - first.hold_ms)
        what = f"from {quoted(step)} on, the wrists carry weight for {lasts} without a break"
        yield Advice(step.place, NAME, what, "put child's pose or standing between", tuple(run.numbers))
