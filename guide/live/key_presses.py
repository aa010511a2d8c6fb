"""Which of the keys that a terminal sends are presses, and which a key that is held down.

A terminal does not tell them apart, but the times do. A key held down comes again after 250 ms on the Linux console and
then every 92 ms; under X11 after 660 and 40 ms, on Windows after 500 and 33 ms, on macOS after 250 to 500 and 30 to
90 ms (all from memory, as they come; each can be changed). So the second coming of a key may be either, and only what
follows tells.
"""

from dataclasses import dataclass

#: Sooner than this after it came last, a key is being held down. Also how long a doubtful one is kept back.
REPEATS_S = 0.12

#: Later than `REPEATS_S` and sooner than this it was pressed again: no system begins to repeat so soon.
FIRST_REPEAT_S = 0.2

#: Later than this it was pressed again: a key held down would have come before.
LAST_REPEAT_S = 0.75


@dataclass(slots=True)
class _Coming:
    """The key that came last, when it did, whether it is being held down, and whether it still is to be given out."""

    key: str
    last_s: float
    held: bool = False
    doubtful: bool = False


class Presses:
    """Takes keys as they come, gives out each press once.

    Moments are in seconds of any steady clock. Give all that has been read to `pressed`, then ask `due`; what both give
    out is to be done in that order. Several keys read at once all came at the moment of reading.
    """

    def __init__(self) -> None:
        self._before: _Coming | None = None

    def pressed(self, key: str, now_s: float) -> tuple[str, ...]:
        """What is to be done now that a key has come: nothing, this key, or one kept back before it and then this."""
        before = self._before
        if before is None or before.key != key:
            given = self._let_go()
            self._before = _Coming(key, now_s)
            return (*given, key)
        gap_s = now_s - before.last_s
        before.last_s = now_s
        if gap_s < REPEATS_S:
            before.held, before.doubtful = True, False
            return ()
        given = self._let_go()
        # What comes over a network may stumble: after a key was held, a gap has to be as long as the first one.
        before.doubtful = (REPEATS_S if before.held else FIRST_REPEAT_S) <= gap_s < LAST_REPEAT_S
        before.held = False
        return given if before.doubtful else (*given, key)

    def due(self, now_s: float) -> tuple[str, ...]:
        """The key that was kept back, once it is clear that it was pressed; to be asked every 50 ms or so."""
        before = self._before
        return self._let_go() if before is not None and now_s - before.last_s >= REPEATS_S else ()

    def _let_go(self) -> tuple[str, ...]:
        if self._before is None or not self._before.doubtful:
            return ()
        self._before.doubtful = False
        return (self._before.key,)
