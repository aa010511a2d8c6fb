"""No rest at the end, or too short a one."""

from collections.abc import Iterator, Sequence

from guide.plan.advice.facts import MINUTE_MS, held_ms, poses
from guide.plan.advice.view import Advice, ClassView
from guide.sequence.poses.pose import Base, Does, Pose, Strength
from guide.sequence.steps import Step, StepKind
from guide.units import clock

NAME = "no rest"

REASON = (
    "The rest at the end is where the practice sinks in, and people who are sent off without it are dizzy or sharp. "
    "About a minute for each ten is usual, and five for each thirty is better."
)

#: About a minute of rest for each ten, and from a class of ten minutes on. Source: public texts of the trade name 1 min
#: for 10, and 5 min for 30 as the usual rule. A little less is near enough (common practice, no source).
PART = 10
FROM_MS = 10 * MINUTE_MS
NEAR_ENOUGH = 0.85

#: The rest lies in this last part of the class; what comes after is waking up (common practice, no source).
LAST_PART = 0.65


def advise(view: ClassView) -> Iterator[Advice]:
    length_ms = view.timeline.length_ms
    known = poses(view)
    if length_ms < FROM_MS or not view.steps.steps or not any(map(_is_work, view.steps.steps, known)):
        return
    first, rest_ms = _longest_rest(view, known)
    wanted_ms = length_ms // PART
    if rest_ms >= wanted_ms * NEAR_ENOUGH:
        return
    minutes = f"{clock(length_ms)} of practice ask for about {clock(wanted_ms)}"
    number = len(view.steps.steps) - 1 if first is None else first
    what = "there is no rest at the end" if first is None else f"the rest at the end lasts {clock(rest_ms)}"
    fix = "a `rest:` before the last words" if first is None else "make it longer"
    yield Advice(view.step(number).place, NAME, f"{what}; {minutes}", fix, (number,))


def _longest_rest(view: ClassView, known: Sequence[Pose | None]) -> tuple[int | None, int]:
    """The longest unbroken rest of the last part of the class, words in between included: where, and how long."""
    from_ms = view.timeline.length_ms * LAST_PART
    best: tuple[int | None, int] = (None, 0)
    first, rest_ms = None, 0
    for number, step in enumerate(view.steps.steps):
        if not _is_rest(step, known[number]):
            first, rest_ms = None, 0
            continue
        if step.kind is not StepKind.TALK:
            first = number if first is None else first
            rest_ms += held_ms(view.span(number))
        if rest_ms > best[1] and view.span(number).end_ms > from_ms:
            best = first, rest_ms
    return best


def _is_rest(step: Step, pose: Pose | None) -> bool:
    if step.kind is StepKind.POSE:
        return pose is not None and Does.REST in pose.does
    return step.kind in (StepKind.REST, StepKind.SILENCE, StepKind.TALK)


def _is_work(step: Step, pose: Pose | None) -> bool:
    """Whether there is something to rest from: sitting quietly is rest enough by itself."""
    if pose is None:
        return step.kind in (StepKind.MOVE, StepKind.BREATHING, StepKind.POSE)
    return pose.strength is not Strength.GENTLE or pose.base not in (Base.SEATED, Base.SUPINE, Base.PRONE)
