"""What in a class can give, and how far: holds counted in breaths, holds by the clock, and paces.

Steps written at one place move together: that covers both sides, all rounds, and a block that is called twice.
"""

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from guide.plan.fitting.paces import Breathed, Said, paces_of
from guide.plan.fitting.springs import Spring, bounded
from guide.sequence.steps import InBreaths, InTime, Step, StepKind, Steps

#: The part of the slot that the closing rest has where the file does not say: about a minute for each ten (common
#: practice; teachers also say five for each thirty).
USUAL_SHARE = Fraction(1, 10)

#: A rest that cannot be this part as long as the longest is not the one that closes the class.
LEAST_OF_LONGEST = Fraction(1, 2)


@dataclass(frozen=True, slots=True)
class Counted:
    """A hold in breaths with room, at every step that is written at its place.

    `least` is what the file and the words ask for, `usual` is the file's, or `least` where that is more; where words
    ask for more than `most`, all are `most`. `on_pace` says how many of the steps breathe at which pace, by its number
    in the room.
    """

    numbers: tuple[int, ...]
    least: int
    usual: int
    most: int
    on_pace: Mapping[int, int]


@dataclass(frozen=True, slots=True)
class Timed:
    """A hold by the clock with room, at every step that is written at its place; `natural_ms` is within its bounds."""

    numbers: tuple[int, ...]
    least_ms: int
    natural_ms: Fraction
    most_ms: int

    def spring(self) -> Spring:
        """All its steps together."""
        count = len(self.numbers)
        return bounded(count * self.natural_ms, count * self.least_ms, count * self.most_ms)


@dataclass(frozen=True, slots=True)
class Room:
    """All that can give. `paces` are all the paces of the class, those without room too.

    `closing` is the number in `timed` of the one that takes what is left over: the closing rest, or else the last.
    """

    counted: tuple[Counted, ...]
    timed: tuple[Timed, ...]
    paces: tuple[Breathed, ...]
    closing: int | None


def room_of(steps: Steps, slot_ms: int, word_ms: Mapping[str, int]) -> Room:
    """What can give in a class that should last `slot_ms`."""
    paces, pace_of = paces_of(steps.steps)
    words = Said(steps.steps, word_ms, pace_of)
    paces = tuple(words.without_growth(one) if one.gives else one for one in paces)
    counted: dict[object, list[int]] = defaultdict(list)
    timed: dict[object, list[int]] = defaultdict(list)
    for number, step in enumerate(steps.steps):
        match step.hold:
            case InBreaths(least, _, most) if least < most:
                counted[step.place, least, most].append(number)
            case InTime(least_ms, _, most_ms) if least_ms < most_ms:
                timed[step.place, least_ms, most_ms].append(number)
    closing = _closing(steps.steps)
    in_time: list[Timed] = []
    taker: int | None = None
    for numbers in timed.values():
        made = _timed(numbers, slot_ms, closing in numbers, words, paces)
        if made is not None:
            taker = len(in_time) if closing in numbers or closing is None or taker is None else taker
            in_time.append(made)
    in_breaths = (_counted(numbers, words, paces) for numbers in counted.values())
    return Room(tuple(in_breaths), tuple(in_time), paces, taker)


def _counted(numbers: Sequence[int], words: Said, paces: Sequence[Breathed]) -> Counted:
    hold = words.steps[numbers[0]].hold
    assert isinstance(hold, InBreaths)
    on_pace = Counter(words.pace_of[number] for number in numbers)
    needed = max(words.breaths(number, hold, paces[words.pace_of[number]].room.quickest) for number in numbers)
    return Counted(tuple(numbers), needed, max(hold.usual, needed), hold.most, on_pace)


def _closing(steps: Sequence[Step]) -> int | None:
    """The closing rest: the last of the long rests by the clock with room, or a pose by the clock that ends the class.

    It does not depend on the slot, so that a longer one never makes another rest the closing one.
    """
    most_ms = {
        number: step.hold.most_ms
        for number, step in enumerate(steps)
        if isinstance(step.hold, InTime) and step.hold.least_ms < step.hold.most_ms
    }
    rests = [number for number in most_ms if steps[number].kind is StepKind.REST]
    if rests:
        longest_ms = max(most_ms[number] for number in rests)
        return next(number for number in reversed(rests) if most_ms[number] >= LEAST_OF_LONGEST * longest_ms)
    last = max((number for number, step in enumerate(steps) if step.hold is not None), default=None)
    return last if last in most_ms and last is not None and steps[last].kind is StepKind.POSE else None


def _timed(
    numbers: Sequence[int], slot_ms: int, is_closing: bool, words: Said, paces: Sequence[Breathed]
) -> Timed | None:
    """A hold by the clock with the lengths at which its words fit; None where there are none, so that it grows."""
    step = words.steps[numbers[0]]
    assert isinstance(step.hold, InTime)
    share = USUAL_SHARE if is_closing and step.share is None else step.share
    usual_ms = Fraction(step.hold.usual_ms)
    natural_ms = usual_ms if share is None else share * slot_ms
    bounds = step.hold.least_ms, step.hold.most_ms
    for number in numbers:
        found = words.lengths(number, bounds, paces[words.pace_of[number]])
        if not found:
            return None
        bounds = min(found, key=lambda one: abs(usual_ms - _within(usual_ms, one)))
    return Timed(tuple(numbers), bounds[0], _within(natural_ms, bounds), bounds[1])


def _within(ms: Fraction, bounds: tuple[int, int]) -> Fraction:
    return min(max(ms, Fraction(bounds[0])), Fraction(bounds[1]))
