"""A pose that the library does not know."""

from collections.abc import Iterator

from guide.plan.advice.facts import quoted, unsilenced
from guide.plan.advice.view import Advice, ClassView
from guide.sequence.poses.names import folded
from guide.sequence.steps import StepKind

NAME = "unknown pose"

REASON = (
    "Of a pose that the library does not know there are no words, no cautions and no advice. Often its name is only "
    "spelt in a way of its own."
)

_NAMING = (StepKind.POSE, StepKind.REST, StepKind.MOVE)


def advise(view: ClassView) -> Iterator[Advice]:
    seen: set[str] = set()
    for number in unsilenced(view, NAME):
        step = view.step(number)
        if step.kind not in _NAMING or step.pose is None or step.known is not None or folded(step.pose) in seen:
            continue
        seen.add(folded(step.pose))
        near = view.library.nearest(step.pose)
        fix = f"did you mean “{near}”? or describe it under `poses:`" if near else "describe it under `poses:`"
        yield Advice(step.place, NAME, f"the library does not know {quoted(step)}", fix, (number,))
