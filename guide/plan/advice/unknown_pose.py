"""A pose that the library does not know."""

from collections.abc import Iterator

from guide.plan.advice.facts import named, quoted, unsilenced
from guide.plan.advice.view import Advice, ClassView
from guide.sequence.poses.names import folded

NAME = "unknown pose"

REASON = (
    "Of a pose that the library does not know there are no words, no cautions and no advice. Often its name is only "
    "spelt in a way of its own."
)


def advise(view: ClassView) -> Iterator[Advice]:
    seen: set[str] = set()
    for number in unsilenced(view, NAME):
        step = view.step(number)
        name = named(step)
        if name is None or step.known is not None or folded(name) in seen:
            continue
        seen.add(folded(name))
        near = view.library.nearest(name)
        fix = f"did you mean “{near}”? or describe it under `poses:`" if near else "describe it under `poses:`"
        yield Advice(step.place, NAME, f"the library does not know {quoted(step)}", fix, (number,))
