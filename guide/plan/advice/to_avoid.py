"""Poses with a caution for what the class is to avoid."""

from collections.abc import Iterator, Sequence

from guide.plan.advice.facts import poses, quoted, sentence, sided, unsilenced
from guide.plan.advice.view import Advice, ClassView
from guide.sequence.poses.pose import Condition, Pose
from guide.sequence.steps import Step, StepKind

NAME = "to avoid"

REASON = (
    "The class says under `for: avoid:` whom it is for, and the library has a caution of the trade for this pose. A "
    "qualified teacher or a doctor who knows the person goes before it."
)

#: Who should not hold the breath, of the conditions that a class can name (trade handbooks, from memory).
NO_PAUSES = (
    Condition.PREGNANCY,
    Condition.BLOOD_PRESSURE,
    Condition.GLAUCOMA,
    Condition.HEART,
    Condition.EPILEPSY,
    Condition.SURGERY,
)


def advise(view: ClassView) -> Iterator[Advice]:
    known = poses(view) if view.class_file.avoid else []
    seen: set[tuple[str, Condition]] = set()
    for number in unsilenced(view, NAME) if known else ():
        step, pose = view.step(number), known[number]
        if step.kind is StepKind.BREATHING:
            yield from _pauses(step, number, view.class_file.avoid)
        for condition in view.class_file.avoid if pose else ():
            if pose and condition in pose.cautions and (pose.name, condition) not in seen:
                seen.add((pose.name, condition))
                what = f"{quoted(step)}, {condition.value}: {pose.cautions[condition].rstrip('.')}"
                yield Advice(step.place, NAME, what, _fix(pose, step), (number,))


def _fix(pose: Pose, step: Step) -> str:
    if pose.easier is None:
        return "or leave it out"
    return f"the library's easier way: {sentence(sided(pose.easier.say, step))}"


def _pauses(step: Step, number: int, avoid: Sequence[Condition]) -> Iterator[Advice]:
    if max(step.pace.full_ms, step.pace.empty_ms):
        for condition in NO_PAUSES:
            if condition in avoid:
                what = f"{quoted(step)}, {condition.value}: do not hold the breath"
                yield Advice(step.place, NAME, what, "breathe the pattern without its pauses", (number,))
