"""Where the breaths of a hold lie: breath k at round(k · period) from the origin, never at a sum of rounded periods."""

from fractions import Fraction
from math import lcm

from guide.sequence.steps import Breath, Pace


class Grid:
    """The breath grid of a pace, in whole milliseconds from the moment that the hold begins.

    Works in integers over the common denominator of the pace, which gives the same result as exact fractions rounded
    half up, at a tenth of the cost.
    """

    __slots__ = ("_denominator", "_exhale", "_parts", "_period")

    def __init__(self, pace: Pace) -> None:
        parts = (pace.inhale_ms, pace.full_ms, pace.exhale_ms, pace.empty_ms)
        self._denominator = lcm(*(part.denominator for part in parts))
        self._parts = tuple(part.numerator * (self._denominator // part.denominator) for part in parts)
        self._period = sum(self._parts)
        self._exhale = self._parts[0] + self._parts[1]

    def _ms(self, numerator: int) -> int:
        return (2 * numerator + self._denominator) // (2 * self._denominator)

    @property
    def period_ms(self) -> Fraction:
        """How long a breath lasts, exactly."""
        return Fraction(self._period, self._denominator)

    def breath_ms(self, number: int) -> int:
        """Where breath `number`, counted from 0, begins."""
        return self._ms(number * self._period)

    def exhale_ms(self, number: int) -> int:
        """Where the exhale of breath `number` begins."""
        return self._ms(number * self._period + self._exhale)

    def part_ms(self, number: int, part: int) -> int:
        """Where part 0 to 3 (inhale, full, exhale, empty) of breath `number` begins."""
        return self._ms(number * self._period + sum(self._parts[:part]))

    def has_part(self, part: int) -> bool:
        """Whether this part of the breath lasts any time: 0 inhale, 1 full, 2 exhale, 3 empty."""
        return self._parts[part] > 0

    def whole_breaths(self, length_ms: int) -> int:
        """How many whole breaths lie in `length_ms`."""
        return length_ms * self._denominator // self._period

    def breath_at(self, offset_ms: int) -> int:
        """The number of the breath under way at `offset_ms`."""
        number = offset_ms * self._denominator // self._period
        return number + 1 if self.breath_ms(number + 1) <= offset_ms else number

    def move_ms(self, breath: Breath) -> int:
        """The length of one inhale with the pause after it, or of one exhale with its pause."""
        return self._ms(self._exhale if breath is Breath.INHALE else self._period - self._exhale)
