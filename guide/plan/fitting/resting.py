"""The holds by the clock take what whole breaths leave over, so that the class ends on the second."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from guide.plan.fitting.room import Room, Timed
from guide.plan.fitting.springs import spread
from guide.plan.shape import shapes
from guide.sequence.steps import InTime, Step
from guide.units import whole_ms

SECOND_MS = 1000


def shared_out(room: Room, total_ms: int) -> list[int]:
    """How long each of the holds by the clock is, in ms, so that all their steps together last `total_ms`.

    All give with one ease, in whole seconds; the closing one takes the rest, to the millisecond. Where they cannot fill
    the total they are as near to it as their bounds let them.
    """
    even_ms = spread([one.spring() for one in room.timed], total_ms).lengths
    each_ms = [length_ms / len(one.numbers) for length_ms, one in zip(even_ms, room.timed, strict=True)]
    for unit_ms in (SECOND_MS, 1):
        lengths_ms = [_in_units(one, ms, unit_ms) for one, ms in zip(room.timed, each_ms, strict=True)]
        if room.closing is not None:
            closing = room.timed[room.closing]
            others_ms = taken_ms(room, lengths_ms) - len(closing.numbers) * lengths_ms[room.closing]
            left_ms = (total_ms - others_ms) // len(closing.numbers)
            lengths_ms[room.closing] = min(max(left_ms, closing.least_ms), closing.most_ms)
            if lengths_ms[room.closing] == left_ms:
                break
    return lengths_ms


def taken_ms(room: Room, lengths_ms: Sequence[int]) -> int:
    """What all the steps held by the clock take with these lengths."""
    return sum(len(one.numbers) * ms for one, ms in zip(room.timed, lengths_ms, strict=True))


def _in_units(one: Timed, ms: Fraction, unit_ms: int) -> int:
    return min(max(whole_ms(ms / unit_ms) * unit_ms, one.least_ms), one.most_ms)


def rested(steps: Sequence[Step], room: Room, lengths_ms: Sequence[int]) -> list[Step]:
    """The steps with the holds by the clock as long as this."""
    made = list(steps)
    for one, length_ms in zip(room.timed, lengths_ms, strict=True):
        for number in one.numbers:
            hold = made[number].hold
            assert isinstance(hold, InTime)
            made[number] = replace(made[number], hold=replace(hold, usual_ms=length_ms))
    return made


def roomy(
    steps: Sequence[Step], room: Room, word_ms: Mapping[str, int], sound_ms: Mapping[str, int]
) -> tuple[Room, int]:
    """The room without those lengths at which a hold by the clock would grow for its words, and what all of them take.

    `room_of` has left out such lengths already, where it could tell without placing the words.
    """
    numbers = [number for one in room.timed for number in one.numbers]
    made = dict(zip(numbers, shapes([steps[number] for number in numbers], word_ms, sound_ms), strict=True))
    timed = tuple(
        _without_growth(steps, one, max(made[number].held_ms for number in one.numbers)) for one in room.timed
    )
    return replace(room, timed=timed), sum(shape.held_ms for shape in made.values())


def _without_growth(steps: Sequence[Step], one: Timed, held_ms: int) -> Timed:
    hold = steps[one.numbers[0]].hold
    assert isinstance(hold, InTime)
    if hold.usual_ms == held_ms or held_ms > one.most_ms:
        return one
    return replace(one, least_ms=held_ms, natural_ms=max(one.natural_ms, Fraction(held_ms)))
