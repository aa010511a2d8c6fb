"""What in a class can give, and how far: holds counted in breaths, holds by the clock, and paces.

Steps written at one place move together: that covers both sides, all rounds, and a block that is called twice.
"""

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from guide.plan.fitting.springs import Spring, bounded
from guide.plan.grid import Grid
from guide.plan.rules import GAP_MS, QUIET_FROM_BREATHS
from guide.plan.shape import limit_of_breaths_ms, together, words_end_ms
from guide.sequence.steps import InBreaths, InTime, Pace, PaceRoom, Step, StepKind, Steps

#: The part of the slot that the closing rest has where the file does not say: about a minute for each ten (common
#: practice; teachers also say five for each thirty).
USUAL_SHARE = Fraction(1, 10)

#: A rest that cannot be this part as long as the longest is not the one that closes the class.
LEAST_OF_LONGEST = Fraction(1, 2)


@dataclass(frozen=True, slots=True)
class Counted:
    """A hold in breaths with room, at every step that is written at its place.

    `least` is what the file and the words ask for, `usual` is the file's, or `least` where that is more; where the words
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
class Breathed:
    """A pace, with its room if it has any, and the steps that breathe so."""

    numbers: tuple[int, ...]
    pace: Pace
    room: PaceRoom | None

    def at(self, ease: Fraction) -> Pace:
        """The pace at an ease from -1, the quickest, to 1, the slowest."""
        if self.room is None or not ease:
            return self.pace
        end = self.room.slowest if ease > 0 else self.room.quickest
        return Pace(*(own + abs(ease) * (far - own) for own, far in zip(_parts(self.pace), _parts(end), strict=True)))


@dataclass(frozen=True, slots=True)
class Room:
    """All that can give. `paces` are all the paces of the class, those without room too.

    `closing` is the number in `timed` of the one that takes what is left over: the closing rest, or else the last.
    """

    counted: tuple[Counted, ...]
    timed: tuple[Timed, ...]
    paces: tuple[Breathed, ...]
    closing: int | None


def _parts(pace: Pace) -> tuple[Fraction, Fraction, Fraction, Fraction]:
    return pace.inhale_ms, pace.full_ms, pace.exhale_ms, pace.empty_ms


def room_of(steps: Steps, slot_ms: int, word_ms: Mapping[str, int]) -> Room:
    """What can give in a class that should last `slot_ms`."""
    paces, pace_of = _paces(steps.steps)
    ends = _WordsEnd(steps.steps, word_ms)
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
        is_closing = closing in numbers
        made = _timed([steps.steps[number] for number in numbers], tuple(numbers), slot_ms, is_closing, ends)
        if made is not None:
            taker = len(in_time) if is_closing or closing is None or taker is None else taker
            in_time.append(made)
    in_breaths = (_counted(steps.steps, numbers, pace_of, ends) for numbers in counted.values())
    return Room(tuple(in_breaths), tuple(in_time), paces, taker)


def _paces(steps: Sequence[Step]) -> tuple[tuple[Breathed, ...], list[int]]:
    """All paces, and for each step the number of its own."""
    seen: dict[tuple[int, int], int] = {}
    known: dict[tuple[Pace, PaceRoom | None], int] = {}
    pace_of: list[int] = []
    for step in steps:
        # Telling paces apart by identity first: comparing twelve fractions a step takes most of the time otherwise.
        same = id(step.pace), id(step.pace_room)
        if same not in seen:
            room = step.pace_room
            rigid = room is None or room.quickest == room.slowest
            seen[same] = known.setdefault((step.pace, None if rigid else room), len(known))
        pace_of.append(seen[same])
    numbers: dict[int, list[int]] = defaultdict(list)
    for number, pace in enumerate(pace_of):
        numbers[pace].append(number)
    return tuple(Breathed(tuple(numbers[n]), pace, room) for n, (pace, room) in enumerate(known)), pace_of


class _WordsEnd:
    """How early the words of a step and its twins can have ended, at the quickest and at the slowest of its pace."""

    def __init__(self, steps: Sequence[Step], word_ms: Mapping[str, int]) -> None:
        self.twins = together(steps)
        self.word_ms = word_ms
        self.steps = steps

    def quickest_ms(self, number: int) -> tuple[Grid, int]:
        room = self.steps[number].pace_room
        return self._at(number, None if room is None else room.quickest)

    def slowest_ms(self, number: int) -> tuple[Grid, int]:
        room = self.steps[number].pace_room
        return self._at(number, None if room is None else room.slowest)

    def _at(self, number: int, pace: Pace | None) -> tuple[Grid, int]:
        step = self.steps[number]
        group = [one for one in self.twins[step.pair or number] if one.words]
        if pace is not None:
            group = [replace(one, pace=pace) for one in group]
        return Grid(pace or step.pace), words_end_ms(group, self.word_ms) if group else 0


def _counted(steps: Sequence[Step], numbers: list[int], pace_of: Sequence[int], ends: _WordsEnd) -> Counted:
    hold = steps[numbers[0]].hold
    assert isinstance(hold, InBreaths)
    # At the quickest pace words need the most breaths: slower, every beat that served still does.
    needed = max(_needed_breaths(*ends.quickest_ms(number), hold) for number in numbers)
    on_pace = Counter(pace_of[number] for number in numbers)
    return Counted(tuple(numbers), needed, max(hold.usual, needed), hold.most, on_pace)


def _needed_breaths(grid: Grid, end_ms: int, hold: InBreaths) -> int:
    """The fewest breaths in which words that end at `end_ms` have room, from the least to the most of the hold."""
    breaths = hold.least
    while breaths < hold.most and end_ms and limit_of_breaths_ms(grid, breaths) < end_ms:
        breaths += 1
    return breaths


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
    group: Sequence[Step], numbers: tuple[int, ...], slot_ms: int, is_closing: bool, ends: _WordsEnd
) -> Timed | None:
    step = group[0]
    assert isinstance(step.hold, InTime)
    share = USUAL_SHARE if is_closing and step.share is None else step.share
    usual_ms = Fraction(step.hold.usual_ms)
    natural_ms = usual_ms if share is None else share * slot_ms
    bounds = step.hold.least_ms, step.hold.most_ms
    for number in numbers:
        found = list(_lengths_for_words(bounds, ends.quickest_ms(number)[0], *ends.slowest_ms(number)))
        if not found:
            return None
        bounds = min(found, key=lambda one: abs(usual_ms - _within(usual_ms, one)))
    return Timed(numbers, bounds[0], _within(natural_ms, bounds), bounds[1])


def _within(ms: Fraction, bounds: tuple[int, int]) -> Fraction:
    return min(max(ms, Fraction(bounds[0])), Fraction(bounds[1]))


def _lengths_for_words(
    bounds: tuple[int, int], quickest: Grid, slowest: Grid, end_ms: int
) -> Iterator[tuple[int, int]]:
    """The ranges of lengths, of those within the bounds, in which words that end at `end_ms` have room.

    There may be two with a gap between them, as a hold of three whole breaths leaves its last one quiet.
    """
    least_ms, most_ms = bounds
    quiet_from_ms = quickest.breath_ms(QUIET_FROM_BREATHS) - 1
    if not end_ms:
        yield bounds
        return
    short, long = end_ms + GAP_MS, end_ms + slowest.breath_ms(1)
    if long <= quiet_from_ms:
        ranges = [(short, most_ms)]
    else:
        ranges = [(short, quiet_from_ms), (max(long, slowest.breath_ms(QUIET_FROM_BREATHS) + 1), most_ms)]
    for from_ms, to_ms in ranges:
        if max(least_ms, from_ms) <= min(most_ms, to_ms):
            yield max(least_ms, from_ms), min(most_ms, to_ms)
