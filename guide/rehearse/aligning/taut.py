"""The straightest way through doors: a string drawn tight."""

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Door:
    """At `at` the string passes between `low` and `high`, which may both be infinite."""

    at: float
    low: float
    high: float


def drawn_tight(doors: Sequence[Door]) -> list[float]:
    """Where a string that is free at both ends passes each door when it is drawn tight.

    `at` rises from door to door. Of all ways through the doors it is the one whose squared slopes, each times its
    length, have the smallest sum.

    Source: the taut string, from memory (Barlow et al. 1972, Statistical Inference under Order Restrictions).
    """
    start = _level(doors)
    if start is None:
        return [0.0] * len(doors)
    bends = [start]
    while (bend := _bend(doors, bends[-1])) is not None:
        bends.append(bend)
    return _heights(doors, bends)


Bend = tuple[int, float]


def _level(doors: Sequence[Door]) -> Bend | None:
    """Where the level beginning of the string ends: the door it is held by, and its height there."""
    low, high = Door(0, float("-inf"), 0), Door(0, 0, float("inf"))
    low_at = high_at = -1
    for number, door in enumerate(doors):
        if door.low > high.high:
            return high_at, high.high
        if door.high < low.low:
            return low_at, low.low
        if door.low > low.low:
            low, low_at = door, number
        if door.high < high.high:
            high, high_at = door, number
    if low_at < 0 or high_at < 0:
        return None if low_at == high_at else (max(low_at, high_at), low.low if low_at >= 0 else high.high)
    return max(low_at, high_at), (low.low + high.high) / 2


def _bend(doors: Sequence[Door], start: Bend) -> Bend | None:
    """The next door that the string is bent by, seen from a bend; None where it runs level to the end."""
    number, height = start
    steepest, flattest = float("inf"), float("-inf")
    up, down = start, start
    for place in range(number + 1, len(doors)):
        door = doors[place]
        length = door.at - doors[number].at
        low, high = (door.low - height) / length, (door.high - height) / length
        if low > steepest:
            return up
        if high < flattest:
            return down
        if low >= flattest:
            flattest, down = low, (place, door.low)
        if high <= steepest:
            steepest, up = high, (place, door.high)
    if flattest > 0:
        return down
    return up if steepest < 0 else None


def _heights(doors: Sequence[Door], bends: Sequence[Bend]) -> list[float]:
    """The height at every door, on straight lines between the bends and level before and after them."""
    heights, after = [], 0
    for number, door in enumerate(doors):
        while after < len(bends) and bends[after][0] < number:
            after += 1
        if after == 0 or after == len(bends):
            heights.append(bends[min(after, len(bends) - 1)][1])
            continue
        (first, low), (last, high) = bends[after - 1], bends[after]
        share = (door.at - doors[first].at) / (doors[last].at - doors[first].at)
        heights.append(low + share * (high - low))
    return heights
