"""What a class that is led and one that is rehearsed have in common: since when it runs, what was told, its notes."""

import threading

from guide.live import steady_clock
from guide.live.journal import Journal
from guide.live.notebook import Notebook
from guide.live.record import Event, Record

#: Who has asked for the end is asked once more, for so long.
ASKS_S = 10.0

ASKS = "once more to end"


class Running:
    """A class under way. Moments are in seconds of the steady clock, and kept in ms from the beginning.

    `record` and `journal` are written as it goes; where that fails, it is told, and the class goes on without.
    """

    def __init__(self, record: Record | None, journal: Journal | None = None) -> None:
        self._lock = threading.RLock()
        self._notebook = Notebook(record, journal, self.tell)
        self._told, self._tells = "", 0
        self._shown_tells = 0
        self._told_s = 0.0
        self._asked_to_end_s: float | None = None
        self._begin_now()

    def _begin_now(self) -> None:
        self._began_s = self._ticked_s = self._told_s = steady_clock.now_s()

    def tell(self, what: str) -> None:
        """Show something to the teacher that no order of hers led to."""
        with self._lock:
            self._tell(what)

    @property
    def unshown(self) -> str:
        """What was told after the last scene was looked at: of the end, that something could not be written."""
        return self._told if self._tells > self._shown_tells else ""

    def _is_to_end(self) -> bool:
        """Whether the end was asked for twice; the first time it is asked for, that is asked back."""
        asked_s, now_s = self._asked_to_end_s, steady_clock.now_s()
        if asked_s is not None and now_s - asked_s < ASKS_S:
            return True
        self._asked_to_end_s = now_s
        self._tell(ASKS)
        return False

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
        self._notebook.add(event)
