"""The time axis of the picture: how milliseconds lie on it, and where its ticks are."""

from dataclasses import dataclass

from guide.units import clock

#: Steps between two ticks in seconds: what people divide minutes and hours into.
STEPS_S = (1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 10_800, 21_600, 43_200, 86_400)

#: Ticks are at least so far apart, so that the longest of their words, such as `12:30:00`, fit between them.
LEAST_PX = 62.0


@dataclass(frozen=True, slots=True)
class Axis:
    """Times from `first_ms` to `last_ms`, laid evenly from `left_px` over `wide_px`."""

    first_ms: int
    last_ms: int
    left_px: float
    wide_px: float

    @property
    def px_per_ms(self) -> float:
        """How wide a millisecond is drawn."""
        return self.wide_px / (self.last_ms - self.first_ms)

    @property
    def right_px(self) -> float:
        """Where the axis ends."""
        return self.left_px + self.wide_px

    def at_px(self, ms: int) -> float:
        """Where a moment lies, in hundredths of the picture's units."""
        return round(self.left_px + (ms - self.first_ms) * self.px_per_ms, 2)


@dataclass(frozen=True, slots=True)
class Tick:
    """A moment of the axis and its words."""

    x_px: float
    words: str


def ticks(axis: Axis, least_px: float = LEAST_PX) -> tuple[Tick, ...]:
    """As many ticks at round times as have room for their words, at least `least_px` apart."""
    step_ms = _step_ms(axis, least_px)
    first_ms = -(-axis.first_ms // step_ms) * step_ms
    return tuple(Tick(axis.at_px(ms), _told(ms)) for ms in range(first_ms, axis.last_ms + 1, step_ms))


def _step_ms(axis: Axis, least_px: float) -> int:
    for step_s in STEPS_S:
        if step_s * 1000 * axis.px_per_ms >= least_px:
            return step_s * 1000
    longest_ms = STEPS_S[-1] * 1000
    return longest_ms * (int(least_px / (longest_ms * axis.px_per_ms)) + 1)


def _told(ms: int) -> str:
    return clock(ms) if ms >= 0 else f"−{clock(-ms)}"
