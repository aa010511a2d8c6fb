"""No loudspeaker at all: the class runs in its time, and nothing is heard. For rehearsing, and for tests."""

import threading
import time

from guide.live.speakers.base import USUAL, Pull, Wanted
from guide.live.speakers.sound_server import ServerSink
from guide.units import RATE_HZ

#: Pulled in pieces of so many frames.
PIECE_FRAMES = RATE_HZ // 50

#: What is late by more than this is not made up for.
LATE_S = 1.0


class SilentSpeaker:
    """Pulls as a device would, by the steady clock, and throws the sound away."""

    name = "silent"
    latency_ms = 0
    widens = False

    def __init__(self) -> None:
        self._over = threading.Event()
        self._thread: threading.Thread | None = None

    def start(self, pull: Pull, wanted: Wanted = USUAL) -> None:
        self._over.clear()
        self._thread = threading.Thread(target=self._run, args=(pull,), daemon=True, name="silent output")
        self._thread.start()

    def _run(self, pull: Pull) -> None:
        due_s = time.monotonic()
        while not self._over.wait(max(0.0, due_s - time.monotonic())):
            pull(PIECE_FRAMES)
            # What a device has not been given in time is not played later.
            due_s = max(due_s + PIECE_FRAMES / RATE_HZ, time.monotonic() - LATE_S)

    def devices(self) -> tuple[str, ...]:
        return ()

    def sink(self) -> ServerSink | None:
        return None

    def stop(self) -> None:
        self._over.set()
        if self._thread is not None and self._thread is not threading.current_thread():
            self._thread.join(timeout=1)

    @property
    def alive(self) -> bool:
        return self._thread is not None and self._thread.is_alive()
