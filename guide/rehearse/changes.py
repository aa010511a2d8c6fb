"""The changes of a class: what goes by between two presses of a key in a rehearsal."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum

from guide.sequence.steps import Step, StepKind, Steps


class Moves(Enum):
    """Whether moves of one breath that follow each other are one change, or one each."""

    TOGETHER = "together"
    EACH = "each"


@dataclass(frozen=True, slots=True)
class Change:
    """The steps from `first` to `last`, both among them, which go by together."""

    first: int
    last: int


def changes(steps: Steps, moves: Moves) -> tuple[Change, ...]:
    """Every change in order: together they are all steps.

    Moves go together as long as they are of one section and one side; a round more is another change. A half of a
    breath that the plan gives goes with the step that it is given to.
    """
    made: list[Change] = []
    for number in range(len(steps.steps)):
        is_missed = made and steps.steps[made[-1].last].given
        if is_missed or (made and moves is Moves.TOGETHER and _goes_on(steps.steps, made[-1], number)):
            made[-1] = Change(made[-1].first, number)
        else:
            made.append(Change(number, number))
    return tuple(made)


def _goes_on(steps: tuple[Step, ...], change: Change, number: int) -> bool:
    """Whether a step is one more move of a change."""
    before, step = steps[change.last], steps[number]
    if before.kind is not StepKind.MOVE or step.kind is not StepKind.MOVE:
        return False
    is_round_more = step.place in {steps[each].place for each in range(change.first, number)}
    return not is_round_more and (before.section, before.side) == (step.section, step.side)


def within(change: Change) -> Iterator[int]:
    """The numbers of its steps."""
    yield from range(change.first, change.last + 1)
