"""A deep pose with nothing before it that leads to it."""

from collections.abc import Iterator

from guide.plan.advice.facts import poses, quoted
from guide.plan.advice.view import Advice, ClassView
from guide.sequence.poses.pose import Does, Pose, Strength
from guide.sequence.steps import StepKind

NAME = "unprepared"

REASON = (
    "A deep pose asks for warm muscles and for the shape in small first. The library names poses that lead to it, and "
    "one of them at least should have come before."
)

#: Poses that ask for range, where a moderate one is deep as well (common practice, no source).
DEEP = {Does.FOLD, Does.BACKBEND, Does.TWIST, Does.SIDE_BEND, Does.HIP_OPENING}

_MOST_NAMED = 3


def advise(view: ClassView) -> Iterator[Advice]:
    came: set[str] = set()
    told: set[str] = set()
    for number, pose in enumerate(poses(view)):
        if pose is None:
            continue
        step = view.step(number)
        # A move passes through its pose in a breath, as a salutation does; what is held is what has to be prepared.
        if step.kind is StepKind.POSE and NAME not in step.let_be and pose.name not in told and _is_deep(pose):
            leading = _leading(view, pose)
            if leading and not came & {*leading, pose.name}:
                told.add(pose.name)
                what = f"nothing before {quoted(step)} leads to it"
                yield Advice(step.place, NAME, what, f"first {_either(leading)}", (number,))
        came.add(pose.name)


def _is_deep(pose: Pose) -> bool:
    if pose.strength is Strength.MODERATE:
        return bool(DEEP & set(pose.does))
    return pose.strength is Strength.STRONG


def _leading(view: ClassView, pose: Pose) -> list[str]:
    found = (view.library.find(name) for name in pose.after)
    return [each.name for each in found if each is not None]


def _either(names: list[str]) -> str:
    """`cobra, locust or bridge`, a few of them."""
    few = names[:_MOST_NAMED]
    return f"{', '.join(few[:-1])} or {few[-1]}" if len(few) > 1 else few[0]
