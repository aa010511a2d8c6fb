"""The two sides of what is under way: from which step to which each of them reaches."""

from collections.abc import Sequence

from guide.sequence.steps import Step


def this_side(steps: Sequence[Step], number: int) -> range | None:
    """The steps of this side of a step, in one piece; None for a step without sides."""
    if steps[number].side is None:
        return None
    kind = _kind(steps, number)
    first = last = number
    while first > 0 and _kind(steps, first - 1) == kind:
        first -= 1
    while last + 1 < len(steps) and _kind(steps, last + 1) == kind:
        last += 1
    return range(first, last + 1)


def other_side(steps: Sequence[Step], number: int) -> range | None:
    """The other side of the same thing; None where there is one side only, or none.

    Where nothing says which two sides are one, they are the runs that follow each other and are written at the same
    places, or have poses of one name: first and second, third and fourth.
    """
    run = this_side(steps, number)
    if run is None:
        return None
    twin = _twin(steps, number)
    if twin is not None:
        return this_side(steps, twin)
    before, after = _beside(steps, run, run.start - 1), _beside(steps, run, run.stop)
    earlier, edge = 0, before
    while edge is not None:
        earlier, edge = earlier + 1, _beside(steps, edge, edge.start - 1)
    return before if earlier % 2 else after or before


def _kind(steps: Sequence[Step], number: int) -> tuple[object, int | None]:
    """What all steps of one side have in common: the side, and how far away the other one is."""
    twin = _twin(steps, number)
    return steps[number].side, None if twin is None else twin - number


def _twin(steps: Sequence[Step], number: int) -> int | None:
    pair = steps[number].pair
    if pair is None:
        return None
    return next((other for other, step in enumerate(steps) if step.pair == pair and other != number), None)


def _beside(steps: Sequence[Step], run: range, number: int) -> range | None:
    """The run next to this one that a step belongs to, if it is the same thing on the other side."""
    if not 0 <= number < len(steps) or steps[number].side in (None, steps[run.start].side):
        return None
    beside = this_side(steps, number)
    return beside if beside is not None and _things(steps, run) & _things(steps, beside) else None


def _things(steps: Sequence[Step], run: range) -> set[object]:
    """Where the steps are written, and what is held in them."""
    held = {steps[each].title for each in run if steps[each].hold is not None}
    return held | {steps[each].place for each in run}
