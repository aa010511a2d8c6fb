"""How a device takes sound, told by its pulls alone, beside a steady clock."""

from math import inf

from guide.units import RATE_HZ

#: No device keeps more than this ahead of what is heard: one that takes more plays nothing.
MOST_AHEAD_S = 1.5

#: The clocks of devices differ by some 70 frames in a million; this is far more, and far less than a wrong pace.
DRIFT = 0.001

#: What is missing is looked for over so long: a pull that only comes late is made up for within it.
WINDOW_S = 3.0

#: Less than this is the drift of the clocks.
LEAST_DRY_S = 0.01


class DeviceTiming:
    """What a device has taken since it was opened; moments are in seconds of a steady clock.

    `dry_s` is how long it had nothing to play, in all: a device that runs dry plays silence, and asks that much later
    for everything after it. `ahead_s` is how much it had before it when it last asked.
    """

    def __init__(self) -> None:
        self.dry_s = 0.0
        self.ahead_s = 0.0
        self._began_s: float | None = None
        self._took_s = self._turns_s = self._taken_s = 0.0
        self._late_s = inf
        self._was_late_s: float | None = None

    def took(self, frames: int, now_s: float) -> None:
        """The device asks for so many frames."""
        if self._began_s is None:
            self._began_s = self._took_s = now_s
            self._turns_s = now_s + WINDOW_S
        self._late_s = min(self._late_s, now_s - self._began_s - self._taken_s)
        played_s = (now_s - self._took_s) * (1 + DRIFT)
        self.ahead_s = max(0.0, self.ahead_s - played_s) + frames / RATE_HZ
        self._taken_s += frames / RATE_HZ
        self._took_s = now_s
        if now_s >= self._turns_s:
            self._turn(now_s)

    def _turn(self, now_s: float) -> None:
        if self._was_late_s is not None and self._late_s - self._was_late_s > LEAST_DRY_S:
            self.dry_s += self._late_s - self._was_late_s
        self._was_late_s, self._late_s, self._turns_s = self._late_s, inf, now_s + WINDOW_S

    @property
    def is_too_fast(self) -> bool:
        """Whether it takes sound faster than anybody can hear it."""
        return self.ahead_s > MOST_AHEAD_S
