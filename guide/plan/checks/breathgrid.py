"""Where each part of each breath of a pace begins, in whole milliseconds after its hold."""

from dataclasses import dataclass
from math import lcm

from guide.sequence.steps import AtBreath, AtTime, Breath, Pace


@dataclass(frozen=True, slots=True)
class BreathGrid:
    """A pace in whole ticks, `ticks` of them a millisecond, so that no fraction is worked out twice.

    `full`, `exhale` and `empty` are where these parts begin, counted from their breath.
    """

    ticks: int
    period: int
    full: int
    exhale: int
    empty: int
    period_text: str

    def nearest_ms(self, breath: int, into: int = 0) -> int:
        """The whole millisecond nearest to `into` ticks after breath number `breath` (from 0) begins; halves go up."""
        return (2 * (breath * self.period + into) + self.ticks) // (2 * self.ticks)

    def inhale_ms(self, breath: int) -> int:
        """When an inhale begins, in ms from the start of the hold; breaths count from 0."""
        return self.nearest_ms(breath)

    def exhale_ms(self, breath: int) -> int:
        """When an exhale begins, in ms from the start of the hold; breaths count from 0."""
        return self.nearest_ms(breath, self.exhale)

    def breaths_in(self, ms: int) -> int:
        """How many whole breaths fit into `ms`; also the number of the breath under way at `ms`."""
        return ms * self.ticks // self.period

    def breath_under_way(self, ms: int) -> int:
        """The number, from 0, of the breath under way at `ms`, counted by the whole ms on which breaths begin."""
        breath = self.breaths_in(ms)
        return breath + 1 if self.inhale_ms(breath + 1) <= ms else breath

    def starts(self, breaths: int, into: int = 0) -> list[int]:
        """Where one part of each of the first `breaths` breaths begins."""
        first, double = 2 * into + self.ticks, 2 * self.ticks
        return [n // double for n in range(first, first + 2 * breaths * self.period, 2 * self.period)]

    def next_exhale(self, from_ms: int, least_breath: int = 0) -> tuple[int, int]:
        """The first exhale at or after `from_ms` that is in breath `least_breath` or later: its start, its breath."""
        breath = max(least_breath, (from_ms * self.ticks - self.exhale) // self.period)
        while self.exhale_ms(breath) < from_ms:
            breath += 1
        return self.exhale_ms(breath), breath

    def next_half(self, from_ms: int) -> int:
        """The first start of an inhale or an exhale at or after `from_ms`."""
        breath = max(0, self.breaths_in(from_ms))
        while self.inhale_ms(breath) < from_ms:
            breath += 1
        return min(self.inhale_ms(breath), self.next_exhale(from_ms)[0])

    def is_exhale(self, ms: int) -> bool:
        """Whether an exhale begins at this moment of the hold."""
        return ms >= 0 and self.next_exhale(ms)[0] == ms

    def is_half(self, ms: int) -> bool:
        """Whether an inhale or an exhale begins at this moment of the hold."""
        return ms >= 0 and self.next_half(ms) == ms

    def last_half(self, until_ms: int) -> int:
        """The last start of an inhale or an exhale up to `until_ms`; below 0 if there is none in the hold."""
        breath = self.breaths_in(until_ms) + 1
        while self.inhale_ms(breath) > until_ms:
            breath -= 1
        return max(self.inhale_ms(breath), self.last_exhale(until_ms))

    def last_exhale(self, until_ms: int) -> int:
        """The last start of an exhale up to `until_ms`; below 0 if there is none in the hold."""
        breath = self.breaths_in(until_ms) + 1
        while self.exhale_ms(breath) > until_ms:
            breath -= 1
        return self.exhale_ms(breath) if breath >= 0 else -1

    def asked_ms(self, at: AtBreath | AtTime) -> int:
        """Where in the hold the file asks a cue to be; 0 for the last breath, which only a `WordRoom` can tell."""
        if isinstance(at, AtTime):
            return at.ms
        if at.number is None:
            return 0
        return self.nearest_ms(at.number - 1, self.exhale if at.breath is Breath.EXHALE else 0)

    def breath_of(self, at: AtBreath | AtTime) -> int:
        """The number, from 0, of the breath that such a place lies in."""
        if isinstance(at, AtTime):
            return self.breaths_in(at.ms)
        return 0 if at.number is None else at.number - 1


def breath_grid(pace: Pace) -> BreathGrid:
    """The grid of a pace, whose four parts are exact fractions of a millisecond."""
    parts = (pace.inhale_ms, pace.full_ms, pace.exhale_ms, pace.empty_ms)
    ticks = lcm(*(part.denominator for part in parts))
    inhale, full, exhale, empty = (part.numerator * (ticks // part.denominator) for part in parts)
    return BreathGrid(
        ticks=ticks,
        period=inhale + full + exhale + empty,
        full=inhale,
        exhale=inhale + full,
        empty=inhale + full + exhale,
        period_text=str(sum(parts)),
    )
