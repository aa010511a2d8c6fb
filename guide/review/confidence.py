"""The confidence in the real start of a step, and what that rests on."""

from bisect import bisect_left
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import Enum
from math import erf, sqrt

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


@dataclass(frozen=True, slots=True)
class Pin:
    """At `at`, on a line along which a class may grow late, it is known when something began, to about `off_ms`."""

    at: float
    off_ms: float


def confidence(at: float, pins: Sequence[Pin], spread: float = SPREAD) -> float:
    """The probability that a start at `at`, on the line of `pins`, was found to within `RIGHT_MS`.

    The pin that holds it best tells: those around it are often off together.
    """
    return min(erf(RIGHT_MS * sqrt(max(_held(at, pins, spread)) / 2)), MOST)


def precision(at: float, pins: Sequence[Pin], spread: float = SPREAD) -> float:
    """How far off something drawn straight through the pins is at `at`, as one over its square in ms²; 0 where nothing
    holds it."""
    return sum(_held(at, pins, spread))


def _held(at: float, pins: Sequence[Pin], spread: float) -> tuple[float, float]:
    """The same by the pin on either side that holds it best: the less is known of one, and the further off it is, the
    less it does."""
    after = bisect_left(pins, at, key=lambda pin: pin.at)
    before, behind = pins[max(after - LOOKED_AT, 0) : after], pins[after : after + LOOKED_AT]
    return _best(at, before, spread), _best(at, behind, spread)


def _best(at: float, pins: Iterable[Pin], spread: float) -> float:
    return max((1 / (pin.off_ms**2 + spread**2 * abs(at - pin.at) * 1e6) for pin in pins), default=0.0)
