"""The loudspeaker kept going: a device that has gone is opened again as soon as it can be."""

import threading
import time

import numpy as np
from numpy.typing import NDArray

from guide.live.speakers import opened
from guide.live.speakers.base import Loudspeaker, Pull
from guide.priority import come_first
from guide.problem import GuideError, MachineTrouble

#: A device that has not asked for sound for so long is gone, whatever it says (one stalls without a word).
STALLED_S = 1.0

#: A sound server may take so long to wake for the first time.
WAKES_S = 4.0

#: So often a device that is gone is tried again.
RETRY_S = 0.5

#: An output that has not opened in this time hangs, with its sound server; it is left alone, and another one tried.
HANGS_S = 8.0


class ReconnectingSpeaker:
    """One output, held open; it asks `source` for sound, and plays silence until there is one.

    `asked` is the name of an output; None takes the first that opens.
    """

    def __init__(self, asked: str | None = None) -> None:
        self.source: Pull | None = None
        self.is_lost = False
        self._asked = asked
        self._output: Loudspeaker | None = None
        self._opening: _Opening | None = None
        self._opened: _Opening | None = None
        self._pulled_s = self._tried_s = 0.0

    def open(self) -> None:
        """Open the output, so that it is warm when the class begins.

        Raises:
            UnusableChoice: there is no such output.
            MachineTrouble: there is no sound to be had.
        """
        self._pulled_s = time.monotonic() + WAKES_S
        opening = _Opening(self._pull, self._asked)
        self._output, self._opened = opening.result(), opening
        self._pulled_s = time.monotonic() + WAKES_S

    def _pull(self, frames: int) -> NDArray[np.float32]:
        self._pulled_s = time.monotonic()
        return np.zeros((frames, 2), np.float32) if self.source is None else self.source(frames)

    def keep(self) -> None:
        """Look after the output, without ever waiting for it; called a few times a second."""
        now_s = time.monotonic()
        if self._opening is not None:
            self._take(self._opening)
        elif self._output is None or not self._output.alive or now_s - self._pulled_s > STALLED_S:
            if now_s - self._tried_s < RETRY_S:
                return
            self._tried_s = now_s
            self._let_go()
            self.is_lost = True
            self._opening = _Opening(self._pull, self._asked)

    def _take(self, opening: "_Opening") -> None:
        """The output that was being opened, if it is open by now."""
        if opening.is_hung:
            opening.abandon()
        elif not opening.is_done:
            return
        else:
            try:
                self._output, self._opened = opening.result(), opening
                self._pulled_s = time.monotonic()
                self.is_lost = False
            except MachineTrouble:
                pass
        self._opening = None

    def _let_go(self) -> None:
        """Close an output that is gone; closing one may hang as well, so that is not waited for."""
        if self._opened is not None:
            # One that has only stalled may wake, and would take frames of the class with it.
            self._opened.refuse()
            self._opened = None
        if self._output is not None:
            threading.Thread(target=self._output.stop, daemon=True, name="closing the output").start()
            self._output = None

    def stop(self) -> None:
        """Close the output, once what it has been given is heard."""
        self.source = None
        if self._opening is not None:
            self._opening.abandon()
        if self._output is not None and not self.is_lost:
            time.sleep(self._output.latency_ms / 1000)
            self._output.stop()
        self._output = None


class _Opening:
    """An output being opened in a thread of its own, since a sound server that is stuck never answers."""

    def __init__(self, pull: Pull, asked: str | None) -> None:
        self._began_s = time.monotonic()
        self._found: Loudspeaker | GuideError | None = None
        self._is_wanted = True
        self._lock = threading.Lock()
        self._source = pull
        self._thread = threading.Thread(target=self._open, args=(asked,), daemon=True, name="opening an output")
        self._thread.start()

    def _pull(self, frames: int) -> NDArray[np.float32]:
        """What the class sounds like; nothing for an output that is not wanted any more, lest frames be lost in it."""
        return self._source(frames) if self._is_wanted else np.zeros((frames, 2), np.float32)

    def _open(self, asked: str | None) -> None:
        # The threads and the programs that an output starts have the priority of this one.
        come_first()
        found: Loudspeaker | GuideError
        try:
            found = opened(self._pull, asked)
        except GuideError as error:
            found = error
        with self._lock:
            self._found = found
            if self._is_wanted or isinstance(found, GuideError):
                return
        found.stop()

    @property
    def is_done(self) -> bool:
        return self._found is not None

    @property
    def is_hung(self) -> bool:
        return not self.is_done and time.monotonic() - self._began_s > HANGS_S

    def result(self) -> Loudspeaker:
        """The output, which is waited for as long as it is not hung. Raises what `opened` raises."""
        self._thread.join(HANGS_S)
        if self._found is None:
            self.abandon()
            raise MachineTrouble(f"no sound: the sound server has not answered for {HANGS_S:g} s (restart it)")
        if isinstance(self._found, GuideError):
            raise self._found
        return self._found

    def refuse(self) -> None:
        """Give the output nothing more of the class."""
        self._is_wanted = False

    def abandon(self) -> None:
        """Close the output again, should it open after all."""
        with self._lock:
            self._is_wanted, found = False, self._found
        if found is not None and not isinstance(found, GuideError):
            found.stop()
