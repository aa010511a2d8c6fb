"""All that a class may take on to grow from its shortest to its longest, one small step after the other.

A link of the chain is one breath more in a hold (in every step of it), or a pace slower by a sixteenth of its room. The
links stand in the order of the ease at which they fall due, and a class of any length takes the first so many of them.
So a longer class never has fewer breaths in a hold, or a quicker pace.
"""

from bisect import bisect_right
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache

from guide.plan.fitting.paces import NOTCHES, Breathed
from guide.plan.fitting.room import Counted, Room
from guide.plan.fitting.turns import turns
from guide.plan.grid import Grid
from guide.plan.rules import SETTLE_MS
from guide.plan.shape import grown_breaths, together
from guide.sequence.steps import Breath, InBreaths, Step, StepKind


@dataclass(frozen=True, slots=True)
class Level:
    """How far a class has grown: the breaths of each counted hold, and the ease of each pace, by their numbers."""

    breaths: tuple[int, ...]
    paces: tuple[Fraction, ...]


class Load:
    """What a pace carries: the time that breaths and moves take at it, in ms, without rounding breaths to whole ms.

    `rigid` is the number of breaths in holds that have no room, with those that holds grow by for words, 0 where
    the pace has no room; `moves` counts the moves by their breath and by what their words need.
    """

    def __init__(self, breathed: Breathed, rigid: int, moves: Mapping[tuple[Breath, int], int]) -> None:
        self.breathed = breathed
        self.rigid = rigid
        self.moves = moves
        self.period_ms = cache(self._period_ms)
        self.moves_ms = cache(self._moves_ms)

    def _period_ms(self, ease: Fraction) -> Fraction:
        return self.breathed.at(ease).period_ms

    def _moves_ms(self, ease: Fraction) -> int:
        grid = Grid(self.breathed.at(ease))
        breath_ms = {breath: grid.move_ms(breath) for breath in Breath}
        return sum(count * max(breath_ms[breath], need) for (breath, need), count in self.moves.items())

    def length_ms(self, breaths: Fraction | int, ease: Fraction) -> Fraction:
        """With so many breaths in the holds that give."""
        return (breaths + self.rigid) * self.period_ms(ease) + self.moves_ms(ease)


def loads(room: Room, steps: Sequence[Step], word_ms: Mapping[str, int]) -> list[Load]:
    """One load for each pace of the room."""
    giving = {number: one for one in room.counted for number in one.numbers}
    resting = {number for one in room.timed for number in one.numbers}
    twins = together(steps)

    def rigid_breaths(number: int) -> int:
        hold = steps[number].hold
        breaths = hold.usual if isinstance(hold, InBreaths) and number not in giving else 0
        return (
            breaths
            if number in resting
            else breaths + _grown(twins[steps[number].pair or number], giving.get(number), word_ms)
        )

    return [
        Load(
            breathed,
            sum(map(rigid_breaths, breathed.numbers)) if breathed.gives else 0,
            Counter(_moves(breathed.numbers, steps, twins, word_ms)),
        )
        for breathed in room.paces
    ]


def _grown(group: Sequence[Step], giving: Counted | None, word_ms: Mapping[str, int]) -> int:
    """By how many breaths a hold grows for its words, at every pace that it may have; `giving` is what it gives."""
    hold = group[0].hold
    if hold is None or not any(step.words for step in group) or (giving and giving.least < giving.most):
        return 0
    if giving is not None and isinstance(hold, InBreaths):
        group = [replace(step, hold=replace(hold, usual=giving.most)) for step in group]
    return grown_breaths(group, word_ms)


def _moves(
    numbers: Iterable[int],
    steps: Sequence[Step],
    twins: Mapping[object, Sequence[Step]],
    word_ms: Mapping[str, int],
) -> Iterable[tuple[Breath, int]]:
    for number in numbers:
        step = steps[number]
        if step.kind is StepKind.MOVE and step.breath is not None:
            said = [word_ms[words.text] for one in twins[step.pair or number] for words in one.words]
            yield step.breath, max(said, default=-SETTLE_MS) + SETTLE_MS


@dataclass(frozen=True, slots=True)
class Chain:
    """The links by the ease at which each is due, and the length of the class after each number of them.

    A link below `len(room.counted)` is a breath more in that hold; one above, a notch of a pace, which begins at
    `first_notch`. `grown_ms[k]` is how much longer than at its shortest a class is that has taken k links, holds by the
    clock left aside.
    """

    room: Room
    loads: tuple[Load, ...]
    first_notch: tuple[int, ...]
    links: tuple[int, ...]
    dues: tuple[float, ...]
    grown_ms: tuple[Fraction, ...]

    def links_at(self, ease: Fraction) -> int:
        """How many links are due at an ease."""
        return bisect_right(self.dues, ease)

    def level(self, links: int) -> Level:
        """What the class is like after so many links."""
        taken = Counter(self.links[:links])
        first = len(self.room.counted)
        return Level(
            tuple(one.least + taken[number] for number, one in enumerate(self.room.counted)),
            tuple(Fraction(notch + taken[first + number], NOTCHES) for number, notch in enumerate(self.first_notch)),
        )

    @property
    def has_notches(self) -> bool:
        """Whether a pace is among what gives."""
        return any(link >= len(self.room.counted) for link in self.links)

    def paced(self, level: Level) -> Callable[[Fraction], Fraction]:
        """What gives, as `grown_ms`, the length of a class with the breaths of this level and all paces at one ease."""
        breaths: Counter[int] = Counter()
        for one, count in zip(self.room.counted, level.breaths, strict=True):
            breaths.update({pace: steps * count for pace, steps in one.on_pace.items()})
        shortest_ms = _even_ms(self.room, self.loads, -NOTCHES)

        def grown_ms(ease: Fraction) -> Fraction:
            lengths = (load.length_ms(breaths[number], ease) for number, load in enumerate(self.loads))
            return sum(lengths, Fraction(0)) - shortest_ms

        return grown_ms

    def even_ms(self, notch: int) -> Fraction:
        """As `grown_ms`, but at the ease `notch / NOTCHES`, and as if breaths could be cut."""
        return _even_ms(self.room, self.loads, notch) - _even_ms(self.room, self.loads, -NOTCHES)


def _even_ms(room: Room, carried: Sequence[Load], notch: int) -> Fraction:
    ease = Fraction(notch, NOTCHES)
    lengths = (load.length_ms(_even_breaths(room, number, notch), ease) for number, load in enumerate(carried))
    return sum(lengths, Fraction(0))


def _even_breaths(room: Room, pace: int, notch: int) -> Fraction:
    """The breaths at a pace, in the holds that give, if breaths could be cut."""
    sixteenths = sum(
        one.on_pace[pace]
        * (NOTCHES * one.usual + notch * (one.most - one.usual if notch > 0 else one.usual - one.least))
        for one in room.counted
        if pace in one.on_pace
    )
    return Fraction(sixteenths, NOTCHES)


def chain_of(room: Room, steps: Sequence[Step], word_ms: Mapping[str, int]) -> Chain:
    """The chain of a class: first what leads from its shortest to its usual length, then to its longest."""
    carried = loads(room, steps, word_ms)
    tighter, wider = (_parts(room, carried, end) for end in (-1, 1))
    order = [(turn.due - 1, turn.part) for turn in turns(tighter)] + [(turn.due, turn.part) for turn in turns(wider)]
    links = tuple(part for _, part in order)
    first_notch = tuple(-count for _, count in tighter[len(room.counted) :])
    grown_ms = tuple(_grown_ms(room, carried, first_notch, links))
    return Chain(room, tuple(carried), first_notch, links, tuple(due for due, _ in order), grown_ms)


def _parts(room: Room, carried: Sequence[Load], end: int) -> list[tuple[float, int]]:
    """The size in ms of one link, and how many there are from the usual to this end, for every hold and every pace."""
    usual = Fraction(0)
    holds = [
        (
            float(sum(count * carried[pace].period_ms(usual) for pace, count in one.on_pace.items())),
            one.most - one.usual if end > 0 else one.usual - one.least,
        )
        for one in room.counted
    ]
    paces = []
    for number, load in enumerate(carried):
        breaths = _even_breaths(room, number, 0)
        room_ms = abs(load.length_ms(breaths, Fraction(end)) - load.length_ms(breaths, usual))
        paces.append((float(room_ms / NOTCHES), NOTCHES if room_ms else 0))
    return holds + paces


def _grown_ms(
    room: Room, carried: Sequence[Load], first_notch: Sequence[int], links: Iterable[int]
) -> Iterator[Fraction]:
    notches = list(first_notch)
    breaths = [_even_breaths(room, number, -NOTCHES) for number in range(len(carried))]
    grown = Fraction(0)
    yield grown
    for link in links:
        if link < len(room.counted):
            for pace, count in room.counted[link].on_pace.items():
                grown += count * carried[pace].period_ms(Fraction(notches[pace], NOTCHES))
                breaths[pace] += count
        else:
            pace = link - len(room.counted)
            before, after = (Fraction(notches[pace] + more, NOTCHES) for more in (0, 1))
            grown += carried[pace].length_ms(breaths[pace], after) - carried[pace].length_ms(breaths[pace], before)
            notches[pace] += 1
        yield grown
