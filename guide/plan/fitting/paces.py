"""The paces of a class, how far they give, and what the words of its holds need at one pace or another."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import takewhile

from guide.plan.grid import Grid
from guide.plan.rules import GAP_MS, QUIET_FROM_BREATHS
from guide.plan.shape import grown_breaths, limit_of_breaths_ms, together, words_end_ms
from guide.sequence.steps import InBreaths, InTime, Pace, PaceRoom, Step

#: A pace gives in so many steps from its usual to its slowest, and as many to its quickest.
NOTCHES = 16


@dataclass(frozen=True, slots=True)
class Breathed:
    """A pace, how far it gives, which may be no way at all, and the steps that breathe so."""

    numbers: tuple[int, ...]
    pace: Pace
    room: PaceRoom

    @property
    def gives(self) -> bool:
        return self.room.quickest != self.room.slowest

    def at(self, ease: Fraction) -> Pace:
        """The pace at an ease from -1, the quickest, to 1, the slowest."""
        if not ease or not self.gives:
            return self.pace
        end = self.room.slowest if ease > 0 else self.room.quickest
        return Pace(*(own + abs(ease) * (far - own) for own, far in zip(_parts(self.pace), _parts(end), strict=True)))


def _parts(pace: Pace) -> tuple[Fraction, Fraction, Fraction, Fraction]:
    return pace.inhale_ms, pace.full_ms, pace.exhale_ms, pace.empty_ms


def paces_of(steps: Sequence[Step]) -> tuple[tuple[Breathed, ...], list[int]]:
    """All paces, and for each step the number of its own."""
    seen: dict[tuple[int, int], int] = {}
    known: dict[tuple[Pace, PaceRoom], int] = {}
    pace_of: list[int] = []
    for step in steps:
        # Telling paces apart by identity first: comparing twelve fractions a step takes most of the time otherwise.
        same = id(step.pace), id(step.pace_room)
        if same not in seen:
            room = step.pace_room or PaceRoom(step.pace, step.pace)
            seen[same] = known.setdefault((step.pace, room), len(known))
        pace_of.append(seen[same])
    numbers: dict[int, list[int]] = defaultdict(list)
    for number, pace in enumerate(pace_of):
        numbers[pace].append(number)
    return tuple(Breathed(tuple(numbers[n]), pace, room) for n, (pace, room) in enumerate(known)), pace_of


class Said:
    """The words of the holds of a class, and what they need at one pace or another."""

    def __init__(self, steps: Sequence[Step], word_ms: Mapping[str, int], pace_of: Sequence[int]) -> None:
        self.steps = steps
        self.word_ms = word_ms
        self.pace_of = pace_of
        self.twins = together(steps)
        self.ends_ms: dict[tuple[int, Pace], int] = {}

    def end_ms(self, number: int, pace: Pace) -> int:
        """How early in its hold the words of a step and its twins can have ended at a pace; 0 where nothing is said."""
        if not any(one.words for one in self._twins(number)):
            return 0
        if (number, pace) not in self.ends_ms:
            self.ends_ms[number, pace] = words_end_ms(self._at(number, pace), self.word_ms)
        return self.ends_ms[number, pace]

    def without_growth(self, breathed: Breathed) -> Breathed:
        """The pace without those parts of its room at which a hold would grow by more breaths or fewer than at ease.

        What a quicker pace wins is not worth a breath more, and a slower class would be a shorter one.
        """
        risky = [number for number in breathed.numbers if self._may_grow(number, breathed)]

        def growth(ease: Fraction) -> list[int]:
            pace = breathed.at(ease)
            return [grown_breaths(self._at(number, pace), self.word_ms) for number in risky]

        if not risky:
            return breathed
        at_ease = growth(Fraction(0))
        quickest, slowest = (
            breathed.at(max(takewhile(lambda ease: growth(ease) == at_ease, notches), key=abs))
            for notches in ([Fraction(way * notch, NOTCHES) for notch in range(NOTCHES + 1)] for way in (-1, 1))
        )
        return replace(breathed, room=PaceRoom(quickest, slowest))

    def _may_grow(self, number: int, breathed: Breathed) -> bool:
        hold = self.steps[number].hold
        if isinstance(hold, InTime):
            said = any(one.words for one in self._twins(number))
            rigid = hold.least_ms == hold.most_ms
            return said and (rigid or not self.lengths(number, (hold.least_ms, hold.most_ms), breathed))
        if hold is None:
            return False
        # Slower, every beat that served still does, so that words need the most breaths at the quickest.
        quickest = breathed.room.quickest
        return limit_of_breaths_ms(Grid(quickest), hold.most) < self.end_ms(number, quickest)

    def lengths(self, number: int, bounds: tuple[int, int], breathed: Breathed) -> list[tuple[int, int]]:
        """The ranges of lengths in ms, within the bounds, in which its words fit at every pace that it may have.

        There may be two with a gap between them, as a hold of three whole breaths leaves its last one quiet.
        """
        least_ms, most_ms = bounds
        quickest, slowest = Grid(breathed.room.quickest), Grid(breathed.room.slowest)
        # After words at a time of the clock the next beat may come later at a quicker pace: no end is surely the worst.
        notches = range(-NOTCHES, NOTCHES + 1) if breathed.gives else (0,)
        end_ms = max(self.end_ms(number, breathed.at(Fraction(notch, NOTCHES))) for notch in notches)
        if not end_ms:
            return [bounds]
        last_ms = quickest.breath_ms(QUIET_FROM_BREATHS) - 1
        short_ms, long_ms = end_ms + GAP_MS, end_ms + slowest.breath_ms(1)
        ranges = [(short_ms, most_ms)]
        if long_ms > last_ms:
            ranges = [(short_ms, last_ms), (max(long_ms, slowest.breath_ms(QUIET_FROM_BREATHS) + 1), most_ms)]
        inside = [(max(least_ms, from_ms), min(most_ms, to_ms)) for from_ms, to_ms in ranges]
        return [(from_ms, to_ms) for from_ms, to_ms in inside if from_ms <= to_ms]

    def breaths(self, number: int, hold: InBreaths, pace: Pace) -> int:
        """The fewest breaths, from the least to the most of the hold, in which its words have room at a pace."""
        end_ms, grid, breaths = self.end_ms(number, pace), Grid(pace), hold.least
        while breaths < hold.most and end_ms and limit_of_breaths_ms(grid, breaths) < end_ms:
            breaths += 1
        return breaths

    def _twins(self, number: int) -> Sequence[Step]:
        return self.twins[self.steps[number].pair or number]

    def _at(self, number: int, pace: Pace) -> list[Step]:
        return [replace(one, pace=pace) for one in self._twins(number)]
