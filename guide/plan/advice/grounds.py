"""What carries people from step to step, as far as poses and words tell."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from guide.plan.advice.facts import is_own, poses
from guide.plan.advice.view import ClassView
from guide.sequence.poses.pose import Base, Pose
from guide.sequence.steps import Step, StepKind

#: Words that bring people to a base.
_ARRIVING = re.compile(
    r"(?P<STANDING>\b(?:stand|standing|to your feet|(?:front|top) of (?:your|the) mat|roll up|mountain)\b)"
    r"|(?P<SUPINE>\b(?:on|onto|to) your backs?\b|\blie (?:back|down)\b(?! on your (?:belly|front)))"
    r"|(?P<PRONE>\b(?:on|onto|to) your (?:belly|front|stomach|tummy)\b)"
    r"|(?P<ALL_FOURS>\b(?:all fours|hands and knees|table ?top)\b)"
    r"|(?P<KNEELING>\b(?:kneel|kneeling|(?:on|onto|to) (?:your|the|both) (?:knees|heels|shins))\b)"
    r"|(?P<SEATED>\b(?:sit|sitting|seated|to (?:a|your) seat)\b)",
    re.IGNORECASE,
)

#: Words that may bring people to another base and do not say to which.
_MOVING = re.compile(
    r"\b(?:step|rise|come|coming|roll|walk|get|climb|jump|hop|push|press|lunge|swing|turn over|shift|rock|move|"
    r"go|find|make|take|lie|lower down|all the way|plank|dog|down to)\b",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Ground:
    """What carries people after a step.

    - `base` is None where that is not sure.
    - `by` is the step that brought them there.
    - `led` tells that the file has said something since.
    """

    base: Base | None = None
    by: int | None = None
    led: bool = False


def grounds(view: ClassView) -> Iterator[Ground]:
    """What carries people before the first step, and after each."""
    ground = Ground()
    yield ground
    for number, (step, pose) in enumerate(zip(view.steps.steps, poses(view), strict=True)):
        ground = _after(ground, number, step, pose)
        yield ground


def _after(ground: Ground, number: int, step: Step, pose: Pose | None) -> Ground:
    match step.kind:
        case StepKind.SILENCE | StepKind.BREATHING:
            return ground
        case StepKind.POSE | StepKind.REST | StepKind.MOVE if pose is not None:
            return Ground(pose.base, number)
        case StepKind.POSE | StepKind.REST:
            return Ground()
    said = step.words if step.kind is StepKind.MOVE else step.entry
    text = " ".join(words.text for words in said)
    arrived = {each.lastgroup for each in _ARRIVING.finditer(text) if each.lastgroup}
    own = any(map(is_own, said))
    if len(arrived) == 1 and "chair" not in text.lower():
        return Ground(Base[arrived.pop()], number if own else ground.by)
    return Ground() if own and (arrived or _MOVING.search(text)) else Ground(ground.base, ground.by, ground.led or own)
