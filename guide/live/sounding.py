"""The loudspeaker kept going: a device that has gone is opened again as soon as it can be."""

import time

import numpy as np
from numpy.typing import NDArray

from guide.live.outputs import opened
from guide.live.outputs.base import Output, Pull
from guide.problem import MachineTrouble

#: A device that has not asked for sound for so long is gone, whatever it says (one stalls without a word).
STALLED_S = 1.0

#: A sound server may take so long to wake for the first time.
WAKES_S = 4.0

#: So often a device that is gone is tried again.
RETRY_S = 0.5


class Sounding:
    """One output, held open; it asks `source` for sound, and plays silence until there is one.

    `asked` is the name of an output; None takes the first that opens.
    """

    def __init__(self, asked: str | None = None) -> None:
        self.source: Pull | None = None
        self.is_lost = False
        self._asked = asked
        self._output: Output | None = None
        self._pulled_s = self._tried_s = 0.0

    def open(self) -> None:
        """Open the output, so that it is warm when the class begins.

        Raises:
            UnusableChoice: there is no such output.
            MachineTrouble: there is no sound to be had.
        """
        self._pulled_s = time.monotonic() + WAKES_S
        self._output = opened(self._pull, self._asked)

    def _pull(self, frames: int) -> NDArray[np.float32]:
        self._pulled_s = time.monotonic()
        return np.zeros((frames, 2), np.float32) if self.source is None else self.source(frames)

    def keep(self) -> None:
        """Look after the output; called a few times a second."""
        now_s = time.monotonic()
        gone = self._output is None or not self._output.alive or now_s - self._pulled_s > STALLED_S
        if not gone or now_s - self._tried_s < RETRY_S:
            return
        self._tried_s = now_s
        if self._output is not None:
            self._output.stop()
            self._output = None
            self.is_lost = True
        try:
            self._output = opened(self._pull, self._asked)
        except MachineTrouble:
            return
        self._pulled_s = time.monotonic()
        self.is_lost = False

    def stop(self) -> None:
        """Close the output, once what it has been given is heard."""
        self.source = None
        if self._output is not None:
            if self._output.alive and not self.is_lost:
                time.sleep(self._output.latency_ms / 1000)
            self._output.stop()
            self._output = None
