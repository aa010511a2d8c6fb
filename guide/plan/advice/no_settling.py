"""A class that begins with a jump."""

from collections.abc import Iterator

from guide.plan.advice.facts import MINUTE_MS, held_ms, poses
from guide.plan.advice.view import Advice, ClassView
from guide.sequence.poses.pose import Pose, Strength
from guide.sequence.steps import Step, StepKind

NAME = "no settling"

REASON = (
    "People bring the day with them. Some breaths of something still, sitting, lying or standing, let them arrive "
    "before they are asked to move."
)

#: Something still for so long (common practice, no source): three or four breaths.
STILL_MS = 20_000

#: A shorter practice is done in the middle of something else (common practice, no source).
FROM_MS = 5 * MINUTE_MS


def advise(view: ClassView) -> Iterator[Advice]:
    if view.timeline.length_ms < FROM_MS:
        return
    still_ms = 0
    for number, pose in enumerate(poses(view)):
        step = view.step(number)
        if step.kind is StepKind.TALK:
            still_ms += view.span(number).end_ms - view.span(number).start_ms
        elif _is_still(step, pose):
            still_ms += held_ms(view.span(number))
            if still_ms >= STILL_MS:
                return
        if _moves(step, pose):
            what, fix = "the class moves before anyone has arrived", "begin with some breaths of something still"
            yield Advice(step.place, NAME, what, fix, (number,))
            return


def _is_still(step: Step, pose: Pose | None) -> bool:
    if step.kind is StepKind.POSE:
        return pose is None or pose.strength is Strength.GENTLE
    return step.kind in (StepKind.REST, StepKind.SILENCE, StepKind.BREATHING)


def _moves(step: Step, pose: Pose | None) -> bool:
    """Whether a step moves, or is held with an effort."""
    return step.kind is StepKind.MOVE or (pose is not None and pose.strength is not Strength.GENTLE)
