"""The confidence in the real start of a step, and what that rests on."""

from bisect import bisect_left
from collections.abc import Iterable, Sequence
from enum import Enum
from math import erf, inf, sqrt

from guide.review.aligning.taut_string import Window

#: A start is right when it lies so near to the true one.
RIGHT_MS = 2000

#: The spread of the lengths of steps beside the plan, as a share: people hold a pose a fifth longer or shorter (no
#: source; the taught classes of the tests have as much).
SPREAD = 0.2

#: Nothing is surer: words may have been taken for others.
MOST = 0.99

#: So many heard cues on either side are looked at.
LOOKED_AT = 12


class Basis(Enum):
    """What the start of a step rests on."""

    OPENING = "opening"
    """The words that open it."""
    LATER = "later"
    """Words said later in it."""
    AROUND = "around"
    """The steps around it."""
    VOICE = "voice"
    """A voice that began to speak, where the plan lets one expect it."""
    PRESSED = "pressed"
    """A key that was pressed when it began."""
    SHARED = "shared"
    """The keys around it: the moves of one breath after the other share the time between two presses."""
    LED = "led"
    """The record of the class that the program led."""
    NOTHING = "nothing"
    """Nothing tells of it."""


def confidence(at: float, windows: Sequence[Window]) -> float:
    """The probability that a start at `at`, on the line of `windows`, was found to within `RIGHT_MS`.

    On either side the nearest windows hold it: the wider a window is and the further off, the less.
    """
    after = bisect_left(windows, at, key=lambda window: window.at)
    before = _variance(at, windows[max(after - LOOKED_AT, 0) : after])
    behind = _variance(at, windows[after : after + LOOKED_AT])
    if min(before, behind) == inf:
        return 0.0
    precision = 1 / before + 1 / behind
    return min(erf(RIGHT_MS * sqrt(precision / 2)), MOST)


def _variance(at: float, windows: Iterable[Window]) -> float:
    """How far off the start may be, squared, in ms², by the window that holds it best."""
    return min((_held_by(at, window) for window in windows), default=inf)


def _held_by(at: float, window: Window) -> float:
    width_ms = window.high - window.low
    return 300**2 + width_ms**2 / 12 + SPREAD**2 * abs(at - window.at) * 1e6
