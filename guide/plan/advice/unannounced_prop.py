"""A prop that is needed in the middle of the class, and was never announced."""

from collections.abc import Iterator

from guide.plan.advice.facts import poses, quoted
from guide.plan.advice.props import announced, announced_in, needed_in
from guide.plan.advice.view import Advice, ClassView
from guide.sequence.steps import StepKind

NAME = "unannounced prop"

REASON = (
    "Who hears of a strap in the twentieth minute gets up and looks for one while the others wait, or does without. A "
    "word at the beginning, or in `about:`, and it lies beside the mat."
)


def advise(view: ClassView) -> Iterator[Advice]:
    had = announced(f"{view.class_file.title} {view.class_file.about}")
    begun = False
    for number, pose in enumerate(poses(view)):
        step = view.step(number)
        needs = needed_in(step, pose) if step.kind is not StepKind.TALK else set()
        for prop in sorted(needs - had) if begun else ():
            what = f"{quoted(step)} needs a {prop}, and nothing before speaks of one"
            yield Advice(step.place, NAME, what, "ask for it in the first words, or in `about:`", (number,))
        had |= needs | announced_in(view, number)
        begun |= step.kind in (StepKind.POSE, StepKind.MOVE) or pose is not None
