"""A prop that is needed in the middle of the class, and was never announced."""

from collections.abc import Iterator

from guide.plan.advice.facts import poses, quoted
from guide.plan.advice.props import announced, announced_in, fetched, needed_in
from guide.plan.advice.view import Advice, ClassView
from guide.sequence.steps import StepKind

NAME = "unannounced prop"

REASON = (
    "Who hears of a strap in the twentieth minute gets up and looks for one while the others wait, or does without. A "
    "word at the beginning, or in `about:`, and it lies beside the mat."
)


#: What every room has: to be told when it is time to go there is enough.
AT_HAND = {"wall"}


def advise(view: ClassView) -> Iterator[Advice]:
    had = announced(f"{view.class_file.title} {view.class_file.about}")
    begun = False
    for number, pose in enumerate(poses(view)):
        step = view.step(number)
        needs = needed_in(step, pose) if step.kind is not StepKind.TALK else fetched(view, number)
        for prop in sorted(needs - had - AT_HAND) if begun else ():
            who = "the class" if step.kind is StepKind.TALK else quoted(step)
            what = f"{who} needs a {prop}, and nothing before speaks of one"
            yield Advice(step.place, NAME, what, "ask for it in the first words, or in `about:`", (number,))
        had |= needs | announced_in(view, number)
        begun |= step.kind in (StepKind.POSE, StepKind.MOVE) or pose is not None
