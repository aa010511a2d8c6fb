"""What a class that is led and one that is rehearsed have in common: since when it runs, what was told, its record."""

import threading

from guide.live import steady_clock
from guide.live.record import Event, Record
from guide.problem import MachineTrouble


class Running:
    """A class under way. Moments are in seconds of the steady clock, and kept in ms from the beginning.

    `record` is written as it goes; where that fails, it is told, and the class goes on without.
    """

    def __init__(self, record: Record | None) -> None:
        self._lock = threading.RLock()
        self._record = record
        self._told, self._tells = "", 0
        self._told_s = 0.0
        self._begin_now()

    def _begin_now(self) -> None:
        self._began_s = self._ticked_s = self._told_s = steady_clock.now_s()

    def _tell(self, what: str) -> None:
        """Show something to the teacher; nothing where there is nothing to say."""
        if what:
            self._told, self._told_s = what, steady_clock.now_s()
            self._tells += 1

    def _real_ms(self, at_s: float | None = None) -> int:
        return int(((steady_clock.now_s() if at_s is None else at_s) - self._began_s) * 1000)

    def _slept_since(self) -> float | None:
        """When the machine fell asleep, where it has slept since this was asked before."""
        before_s, self._ticked_s = self._ticked_s, steady_clock.now_s()
        return before_s if self._ticked_s - before_s > steady_clock.SLEPT_S else None

    def _write(self, event: Event) -> None:
        if self._record is None:
            return
        try:
            self._record.add(event)
        except MachineTrouble as trouble:
            self._record = None
            self._tell(str(trouble))

    def _close(self) -> None:
        if self._record is not None:
            self._record.close()
