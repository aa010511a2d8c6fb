"""Steps that come again found in a plan and put together: rounds, and both sides, in whatever order they are nested."""

from collections.abc import Hashable, Iterator, Sequence
from dataclasses import dataclass
from enum import Enum

from guide.sequence.steps import Side

#: Rounds of more steps than this are shown one by one.
MOST_STEPS = 300

#: Fewer steps that are done alike, and written in two places, are no rounds of one thing.
LEAST_STEPS = 4


class ComesAgain(Enum):
    """How steps come again."""

    ROUNDS = "rounds"
    SIDES = "sides"
    BETWEEN = "between"
    """Once, after the first side."""


@dataclass(frozen=True, slots=True)
class ShownStep:
    """A step: where it is written, what is done in it, its side, and the number of its span each time it comes."""

    key: Hashable
    done: Hashable
    side: Side | None
    numbers: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Folded:
    """Steps that come so many times; `key` and `done` are as for one, `side` is theirs where they have but one."""

    again: ComesAgain
    times: int
    parts: "tuple[Part, ...]"
    side: Side | None

    @property
    def key(self) -> Hashable:
        """Where its steps are written."""
        return (self.again, self.times, *(part.key for part in self.parts))

    @property
    def done(self) -> Hashable:
        """What is done in its steps."""
        return (self.again, self.times, *(part.done for part in self.parts))


Part = ShownStep | Folded


def fold(parts: Sequence[Part]) -> tuple[Part, ...]:
    """Parts with all that is written once and comes again put together, the shortest first, until nothing more does.

    A round that was written out beside others of the same steps, such as a first one done slowly, is put to those.
    """
    found, size = tuple(_with_between(parts)), 1
    while size <= min(len(found) // 2, MOST_STEPS):
        folded = tuple(_folded(found, size))
        size = size + 1 if len(folded) == len(found) else 1
        found = folded
    return _with_rounds_beside(found)


def _with_rounds_beside(parts: Sequence[Part]) -> tuple[Part, ...]:
    found, at = list(parts), 0
    while at < len(found):
        rounds = found[at]
        if isinstance(rounds, Folded) and rounds.again is ComesAgain.ROUNDS and len(rounds.parts) >= LEAST_STEPS:
            size = len(rounds.parts)
            before, after = found[max(0, at - size) : at], found[at + 1 : at + 1 + size]
            if _are_done_alike(before, rounds.parts):
                found[at - size : at + 1] = [_one_more(before, rounds.parts, rounds.times)]
                at -= size
            elif _are_done_alike(rounds.parts, after):
                found[at : at + 1 + size] = [_one_more(rounds.parts, after, rounds.times)]
        at += 1
    return tuple(found)


def _with_between(parts: Sequence[Part]) -> Iterator[Part]:
    """Two sides put together that have something of no side between them, which stands behind them."""
    at = 0
    while at < len(parts):
        size, gap = next(_sides_apart(parts, at), (0, 0))
        if not size:
            yield parts[at]
            at += 1
            continue
        first, second = fold(parts[at : at + size]), fold(parts[at + size + gap : at + 2 * size + gap])
        yield _together([*first, *second], len(first), 2)
        yield Folded(ComesAgain.BETWEEN, 1, fold(parts[at + size : at + size + gap]), None)
        at += 2 * size + gap


def _sides_apart(parts: Sequence[Part], at: int) -> Iterator[tuple[int, int]]:
    """How many parts a first side has that begins there, and how many lie between it and the second."""
    size = next((size for size, part in enumerate(parts[at:]) if part.side is not parts[at].side), len(parts) - at)
    gap = next((gap for gap, part in enumerate(parts[at + size :]) if part.side is not None), 0)
    first, second = parts[at : at + size], parts[at + size + gap : at + 2 * size + gap]
    if gap and _are_written_alike(first, second) and _are_two_sides(first, second):
        yield size, gap


def _one_more(first: Sequence[Part], second: Sequence[Part], times: int) -> Folded:
    joined = tuple(_joined(each) for each in zip(first, second, strict=True))
    return Folded(ComesAgain.ROUNDS, times + 1, joined, joined[0].side)


def _are_done_on_each(first: Sequence[Part], second: Sequence[Part]) -> bool:
    """Whether the same is done, however it is written."""
    return [part.done for part in first] == [part.done for part in second]


def _are_done_alike(some: Sequence[Part], others: Sequence[Part]) -> bool:
    return _are_done_on_each(some, others) and _same_sides(some, others)


def _folded(parts: Sequence[Part], size: int) -> Iterator[Part]:
    """The parts with runs of `size` that come again put together."""
    at = 0
    while at < len(parts):
        times = _times(parts, at, size)
        yield _together(parts[at : at + size * times], size, times) if times > 1 else parts[at]
        at += size * times if times > 1 else 1


def _times(parts: Sequence[Part], at: int, size: int) -> int:
    """How many times the run there comes alike; twice where the second time is the other side."""
    first, times = parts[at : at + size], 1
    while _are_alike(first, parts[at + size * times : at + size * (times + 1)]):
        times += 1
    if times == 1:
        second = parts[at + size : at + 2 * size]
        return 2 if _are_two_sides(first, second) and _are_done_on_each(first, second) else 1
    return times


def _are_written_alike(some: Sequence[Part], others: Sequence[Part]) -> bool:
    return len(some) == len(others) and all(one.key == other.key for one, other in zip(some, others, strict=True))


def _are_alike(some: Sequence[Part], others: Sequence[Part]) -> bool:
    return _are_written_alike(some, others) and _same_sides(some, others)


def _are_two_sides(some: Sequence[Part], others: Sequence[Part]) -> bool:
    one, other = _side(some), _side(others)
    return one is not None and other is one.other


def _same_sides(some: Sequence[Part], others: Sequence[Part]) -> bool:
    return [part.side for part in some] == [part.side for part in others]


def _side(parts: Sequence[Part]) -> Side | None:
    """The one side of parts; None where one has none, or they differ."""
    sides = {part.side for part in parts}
    return sides.pop() if len(sides) == 1 else None


def _together(parts: Sequence[Part], size: int, times: int) -> Folded:
    passes = [parts[start : start + size] for start in range(0, size * times, size)]
    sides = list(dict.fromkeys(map(_side, passes)))
    again = ComesAgain.ROUNDS if len(sides) == 1 else ComesAgain.SIDES
    joined = tuple(_joined(each) for each in zip(*passes, strict=True))
    return Folded(again, times, joined, sides[0] if again is ComesAgain.ROUNDS else None)


def _joined(same: Sequence[Part]) -> Part:
    """One part in place of the same one each time that it comes; its side is that of the first."""
    first = same[0]
    if isinstance(first, Folded):
        inner = zip(*(each.parts for each in same if isinstance(each, Folded)), strict=True)
        return Folded(first.again, first.times, tuple(map(_joined, inner)), first.side)
    return ShownStep(
        first.key, first.done, first.side, tuple(number for each in each_shown(same) for number in each.numbers)
    )


def each_shown(parts: Sequence[Part]) -> Iterator[ShownStep]:
    """All steps in parts, in order."""
    for part in parts:
        if isinstance(part, Folded):
            yield from each_shown(part.parts)
        else:
            yield part
