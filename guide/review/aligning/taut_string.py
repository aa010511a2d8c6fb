"""The taut string: the path through windows whose slopes are smallest."""

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Window:
    """At `at` the string passes between `low` and `high`, which may both be infinite."""

    at: float
    low: float
    high: float


def taut_string(windows: Sequence[Window]) -> list[float]:
    """Where a string that is free at both ends passes each window when it is drawn tight.

    `at` rises from window to window. Of all paths through the windows it is the one whose squared slopes, each times
    its length, have the smallest sum.

    Source: the taut string, from memory (Barlow et al. 1972, Statistical Inference under Order Restrictions).
    """
    start = _level(windows)
    if start is None:
        return [0.0] * len(windows)
    bends = [start]
    while (bend := _bend(windows, bends[-1])) is not None:
        bends.append(bend)
    return _heights(windows, bends)


Bend = tuple[int, float]


def _level(windows: Sequence[Window]) -> Bend | None:
    """Where the level beginning of the string ends: the window it is held by, and its height there."""
    low, high = Window(0, float("-inf"), 0), Window(0, 0, float("inf"))
    low_at = high_at = -1
    for number, window in enumerate(windows):
        if window.low > high.high:
            return high_at, high.high
        if window.high < low.low:
            return low_at, low.low
        if window.low > low.low:
            low, low_at = window, number
        if window.high < high.high:
            high, high_at = window, number
    if low_at < 0 or high_at < 0:
        return None if low_at == high_at else (max(low_at, high_at), low.low if low_at >= 0 else high.high)
    return max(low_at, high_at), (low.low + high.high) / 2


def _bend(windows: Sequence[Window], start: Bend) -> Bend | None:
    """The next window that the string is bent by, seen from a bend; None where it runs level to the end."""
    number, height = start
    steepest, flattest = float("inf"), float("-inf")
    up, down = start, start
    for place in range(number + 1, len(windows)):
        window = windows[place]
        length = window.at - windows[number].at
        low, high = (window.low - height) / length, (window.high - height) / length
        if low > steepest:
            return up
        if high < flattest:
            return down
        if low >= flattest:
            flattest, down = low, (place, window.low)
        if high <= steepest:
            steepest, up = high, (place, window.high)
    if flattest > 0:
        return down
    return up if steepest < 0 else None


def _heights(windows: Sequence[Window], bends: Sequence[Bend]) -> list[float]:
    """The height at every window, on straight lines between the bends and level before and after them."""
    heights, after = [], 0
    for number, window in enumerate(windows):
        while after < len(bends) and bends[after][0] < number:
            after += 1
        if after == 0 or after == len(bends):
            heights.append(bends[min(after, len(bends) - 1)][1])
            continue
        (first, low), (last, high) = bends[after - 1], bends[after]
        share = (window.at - windows[first].at) / (windows[last].at - windows[first].at)
        heights.append(low + share * (high - low))
    return heights
