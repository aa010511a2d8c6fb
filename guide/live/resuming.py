"""What orders made of a class, as what can be kept of it, and the class again from that."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import TypeVar

from guide.live.course import Course, renewed_from_start
from guide.live.journal import Bookmark, StepChange
from guide.sequence.steps import InBreaths, InTime, Pace, Step

Number = TypeVar("Number", int, Fraction)


def changes_of(course: Course, planned: Sequence[Step]) -> tuple[StepChange, ...]:
    """The steps that are held or paced otherwise than they were `planned`."""
    pairs = enumerate(zip(course.steps.steps, planned, strict=True))
    return tuple(_change(number, now) for number, (now, was) in pairs if (now.hold, now.pace) != (was.hold, was.pace))


def in_plan(kept: Bookmark, names: Sequence[str]) -> Bookmark:
    """What was kept, with the numbers that its steps have in a plan whose steps are called `names`.

    Raises:
        LookupError: a step of it has no name, as in older journals, or is not in this plan.
    """
    numbers = {name: number for number, name in enumerate(names)}

    def now(number: int) -> int:
        return numbers[kept.names[number]]

    return replace(
        kept,
        step=now(kept.step),
        changes=tuple(replace(change, step=now(change.step)) for change in kept.changes),
        few=tuple(map(now, kept.few)),
        names=tuple(names),
    )


def changed(course: Course, changes: Sequence[StepChange], few: Sequence[int]) -> Course:
    """A course that has not begun, as orders had made it.

    Raises:
        ValueError, IndexError: what was kept does not belong to this course.
        BrokenPromise, KeyError: as `replanned` raises them.
    """
    steps = list(course.steps.steps)
    for change in changes:
        steps[change.step] = _with(steps[change.step], change)
    if not all(0 <= number < len(steps) for number in few):
        raise ValueError("few words for a step that is not there")
    return renewed_from_start(course, steps, frozenset(few))


def _change(number: int, step: Step) -> StepChange:
    breaths = ms = ""
    match step.hold:
        case InBreaths(least, usual, most):
            breaths = f"{least} {usual} {most}"
        case InTime(least_ms, usual_ms, most_ms):
            ms = f"{least_ms} {usual_ms} {most_ms}"
    pace = step.pace
    return StepChange(number, breaths, ms, f"{pace.inhale_ms} {pace.full_ms} {pace.exhale_ms} {pace.empty_ms}")


def _with(step: Step, change: StepChange) -> Step:
    hold: InBreaths | InTime | None = None
    if change.breaths:
        least, usual, most = _numbers(change.breaths, 3, int)
        halves = isinstance(step.hold, InBreaths) and step.hold.and_a_half
        hold = InBreaths(least, usual, most, and_a_half=halves)
    elif change.ms:
        hold = InTime(*_numbers(change.ms, 3, int))
    if type(hold) is not type(step.hold):
        raise ValueError(f"step {change.step} is not held like that")
    return replace(step, hold=hold, pace=Pace(*_numbers(change.pace, 4, Fraction)), pace_room=None)


def _numbers(text: str, count: int, number: Callable[[str], Number]) -> list[Number]:
    numbers = [number(each) for each in text.split()]
    if len(numbers) != count or min(numbers) < 0:
        raise ValueError(f"`{text}` is not {count} numbers")
    return numbers
