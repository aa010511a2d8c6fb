"""A change from one base to another that nobody is led through."""

import re
from collections.abc import Iterator
from itertools import pairwise

from guide.plan.advice.facts import is_own, named, poses, quoted
from guide.plan.advice.grounds import grounds
from guide.plan.advice.view import Advice, ClassView
from guide.sequence.poses.pose import Base, Pose
from guide.sequence.steps import Step, StepKind

NAME = "no way"

REASON = (
    "From standing to lying down is a way of many small steps, and people take it as they are led. The name of the "
    "next pose is not enough; the library's words say how to be in it, not how to come from here."
)

#: On these people are low down; from one to the other is far where the body turns over (common practice, no source).
FLOOR = {Base.KNEELING, Base.SUPINE, Base.PRONE, Base.SEATED}
_TURNING = {
    frozenset(pair)
    for pair in (
        (Base.KNEELING, Base.SUPINE),
        (Base.ALL_FOURS, Base.SUPINE),
        (Base.PRONE, Base.SUPINE),
        (Base.PRONE, Base.SEATED),
        (Base.ARM_BALANCE, Base.SUPINE),
        (Base.ARM_BALANCE, Base.PRONE),
    )
}

_GETTING_UP = re.compile(
    r"\b(?:stand|step|rise|come|coming|roll|walk|get|climb|jump|hop|lift|push|press|bring|up|lunge|swing)\w*\b",
    re.IGNORECASE,
)

#: Words of the library by which people who are low down find a next place there.
_PLACING = re.compile(r"\b(?:lie|lay|sit|kneel|roll|come|turn)\b", re.IGNORECASE)

#: Words of the library that nobody can follow who stands.
_BEGINS_LOW = re.compile(r"From (?:hands and knees|kneeling|sitting)\b")

#: What nobody can do who lies.
_BOWING = re.compile(r"\b(?:swan|fold|dive|bow|hinge) (?:\w+ ){0,2}(?:forward|over|down)\b", re.IGNORECASE)


def advise(view: ClassView) -> Iterator[Advice]:
    known = poses(view)
    for number, (before, after) in enumerate(pairwise(grounds(view))):
        step, here = view.step(number), known[number]
        if before.base is None or before.by is None:
            continue
        if step.kind is StepKind.MOVE and here is None and _bows_lying(step, before.base, after.base):
            goal = Base.STANDING
        elif named(step) and here and not before.led and _is_far(view, before.base, known[before.by], here, step):
            goal = here.base
        else:
            continue
        what = f"from {before.base.value} to {goal.value} with no words for the way"
        entry = "" if step.kind is StepKind.MOVE else f"in the `enter` of {quoted(step)}, or "
        fix = f"lead people there {entry}by a move or a `say` before it"
        yield Advice(step.place, NAME, what, fix, (before.by, number))


def _bows_lying(step: Step, before: Base, after: Base | None) -> bool:
    lies = before is after and before in (Base.PRONE, Base.SUPINE)
    return lies and any(_BOWING.search(words.text) for words in step.words)


def _is_far(view: ClassView, base: Base, pose: Pose | None, here: Pose, step: Step) -> bool:
    """Whether a step takes people far from a base, and the pose in which they are there, without words of the file."""
    if step.kind is StepKind.MOVE or any(_is_on_a_chair(each) for each in (pose, here) if each):
        return False
    own = [words.text for words in step.entry if is_own(words)]
    if here.base is Base.STANDING:
        return _is_low(base, pose) and not any(map(_GETTING_UP.search, own))
    if pose is None or own:
        return False
    before = _ground(view, pose) if base is pose.base else base
    after = _ground(view, here)
    if before is Base.STANDING:
        return after in FLOOR - {Base.KNEELING} or any(_BEGINS_LOW.match(words.text) for words in step.entry)
    placed = any(_PLACING.search(words.text) for words in step.entry)
    # To sit with long legs after lying on the belly, the legs have to come round.
    return frozenset((before, after)) in _TURNING and (not placed or (before, after) == (Base.PRONE, Base.SEATED))


def _is_low(base: Base, pose: Pose | None) -> bool:
    """Whether people sit, lie or kneel on the floor; from a lunge with one foot in front they stand up as they are."""
    return base in FLOOR and not (base is Base.KNEELING and (pose is None or pose.sides))


def _is_on_a_chair(pose: Pose) -> bool:
    return any("chair" in text.lower() for text in (pose.name, *pose.enter)) and pose.name != "chair"


def _ground(view: ClassView, pose: Pose, depth: int = 3) -> Base:
    """What carries people before they turn upside down; for any other pose, its base."""
    before = [found for name in pose.after if (found := view.library.find(name)) is not None]
    if pose.base is not Base.INVERTED or not before or not depth:
        return pose.base
    level = next((each for each in before if each.base is not Base.INVERTED), before[0])
    return _ground(view, level, depth - 1)
