"""Two inhales, or two exhales, one after the other."""

from collections.abc import Iterator
from itertools import pairwise

from guide.plan.advice.view import Advice, ClassView
from guide.sequence.steps import StepKind

NAME = "breath twice"

REASON = (
    "Nobody breathes in twice without breathing out between. Where two like moves meet, the plan gives the missing "
    "half of the breath without words; with words of your own people know what it is for."
)


def advise(view: ClassView) -> Iterator[Advice]:
    written = [number for number, step in enumerate(view.steps.steps) if not step.given]
    for number, following in pairwise(written):
        first, second = view.step(number), view.step(following)
        moves = first.kind is StepKind.MOVE and second.kind is StepKind.MOVE
        if moves and second.breath is not None and first.breath is second.breath:
            half = second.breath
            what = f"an {half.value} follows an {half.value}"
            fix = f"put a move with `{half.other.value}:` between them"
            yield Advice(second.place, NAME, what, fix, (number, following))
