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
    # The half that the plan gives between them is not the file's.
    written = [(number, step) for number, step in enumerate(view.steps.steps) if not step.given]
    for (before, first), (number, second) in pairwise(written):
        moves = first.kind is StepKind.MOVE and second.kind is StepKind.MOVE
        if moves and second.breath is not None and first.breath is second.breath:
            half = second.breath.value
            what = f"an {half} follows an {half}"
            other = "exhale" if half == "inhale" else "inhale"
            yield Advice(second.place, NAME, what, f"put a move with `{other}:` between them", (before, number))
