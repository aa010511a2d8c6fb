"""A change from one base to another that nobody is led through."""

import re
from collections.abc import Iterator

from guide.plan.advice.facts import is_own, named, poses, quoted
from guide.plan.advice.view import Advice, ClassView
from guide.sequence.poses.pose import Base, Pose
from guide.sequence.steps import Step, StepKind

NAME = "no way"

REASON = (
    "From standing to lying down is a way of many small steps, and people take it as they are led. The name of the "
    "next pose is not enough; the library's words say how to be in it, not how to come from here."
)

#: Changes of base that take more than a shift (common practice, no source), each way round.
FAR = {
    frozenset(pair)
    for pair in (
        (Base.STANDING, Base.SUPINE),
        (Base.STANDING, Base.PRONE),
        (Base.STANDING, Base.SEATED),
        (Base.KNEELING, Base.SUPINE),
        (Base.ALL_FOURS, Base.SUPINE),
        (Base.PRONE, Base.SUPINE),
        (Base.PRONE, Base.SEATED),
        (Base.ARM_BALANCE, Base.SUPINE),
        (Base.ARM_BALANCE, Base.PRONE),
    )
}

#: From here people have to get up, and words of how to stand are no way to it.
FLOOR = {Base.KNEELING, Base.SUPINE, Base.PRONE, Base.SEATED}

_GETTING_UP = re.compile(
    r"\b(?:stand|step|rise|come|coming|roll|walk|get|climb|jump|hop|lift|push|press|bring|up|lunge|swing)\w*\b",
    re.IGNORECASE,
)


def advise(view: ClassView) -> Iterator[Advice]:
    known = poses(view)
    last: int | None = None
    led = False
    for number, step in enumerate(view.steps.steps):
        stands_up = last is not None and _is_on_the_floor(known[last]) and _stands(known[number])
        leads = _leads_up if stands_up and step.kind is StepKind.POSE else _leads
        led = led or leads(step, known[number])
        if named(step) is None:
            continue
        here, before = known[number], None if last is None else known[last]
        if last is not None and here and before and not led and _is_far(view, before, here):
            what = f"from {before.base.value} to {here.base.value} with no words for the way"
            fix = f"lead people there in the `enter` of {quoted(step)}, or by a move or a `say` before it"
            yield Advice(step.place, NAME, what, fix, (last, number))
        last, led = number, False


def _is_far(view: ClassView, before: Pose, here: Pose) -> bool:
    if _is_on_the_floor(before) and _stands(here):
        return True
    return frozenset((_ground(view, before), _ground(view, here))) in FAR


def _stands(pose: Pose | None) -> bool:
    return pose is not None and pose.base is Base.STANDING


def _is_on_the_floor(pose: Pose | None) -> bool:
    """Whether people sit, lie or kneel on the floor; from a lunge with one foot in front they stand up as they are, and
    from a chair as well."""
    if pose is None or pose.base not in FLOOR or (pose.base is Base.KNEELING and pose.sides):
        return False
    return not any("chair" in text.lower() for text in (pose.name, *pose.enter))


def _ground(view: ClassView, pose: Pose, depth: int = 3) -> Base:
    """What carries people before they turn upside down; for any other pose, its base."""
    before = [found for name in pose.after if (found := view.library.find(name)) is not None]
    if pose.base is not Base.INVERTED or not before or not depth:
        return pose.base
    level = next((each for each in before if each.base is not Base.INVERTED), before[0])
    return _ground(view, level, depth - 1)


def _leads_up(step: Step, pose: Pose | None) -> bool:
    """Whether the words of the file on the way into a standing pose say how to get up."""
    return any(is_own(words) and _GETTING_UP.search(words.text) for words in step.entry)


def _leads(step: Step, pose: Pose | None) -> bool:
    """Whether a step takes people somewhere: a move, words in a time of their own, a free rest, words of the file on
    the way into a hold."""
    match step.kind:
        case StepKind.MOVE:
            return True
        case StepKind.REST if pose is None:
            return True
        case StepKind.SILENCE:
            return False
    return any(map(is_own, step.entry))
