"""The microphone kept going: one that has gone is opened again as soon as it can be, and no time is lost meanwhile."""

import threading

from guide.live import steady_clock
from guide.live.microphones import WITHOUT, opened
from guide.live.microphones.base import RATE_HZ, Heard, Microphone
from guide.problem import GuideError

#: A microphone that has handed on nothing for so long is gone, whatever it says.
STALLED_S = 1.0

#: So often one that is gone is tried again.
RETRY_S = 0.3

#: It may be late by so much without anything being lost.
LATE_S = 0.5


class ReconnectingMicrophone:
    """One microphone, held open; what it hears goes to `heard`, from a thread of its own.

    Sound comes at the pace of the clock: while the microphone is gone nothing is handed on, and when it is back,
    silence for the time that is missing goes before it. `asked` is the name of one; None takes the first that opens.
    `instead` is what to do where there is none.
    """

    def __init__(self, heard: Heard, asked: str | None = None, rate_hz: int = RATE_HZ, instead: str = WITHOUT) -> None:
        self._heard, self._asked, self._rate_hz, self._instead = heard, asked, rate_hz, instead
        self._lock = threading.RLock()
        self._microphone: Microphone | None = None
        self._opening: threading.Thread | None = None
        self._is_over = False
        self._began_s: float | None = None
        self._heard_s = self._tried_s = 0.0
        self._handed = 0

    def open(self) -> None:
        """Open the microphone; what it hears from now on is handed on.

        Raises:
            UnusableChoice: there is no such microphone.
            MachineTrouble: there is none to be had.
        """
        self._microphone = opened(self._take, self._asked, self._rate_hz, self._instead)
        self._heard_s = steady_clock.now_s()

    @property
    def is_lost(self) -> bool:
        """Whether nothing has been heard for longer than there should be."""
        return steady_clock.now_s() - self._heard_s > STALLED_S

    def keep(self) -> None:
        """Look after the microphone, without ever waiting for it; called a few times a second."""
        now_s = steady_clock.now_s()
        if self._opening is not None and self._opening.is_alive():
            return
        microphone = self._microphone
        is_there = microphone is not None and microphone.alive and now_s - self._heard_s <= STALLED_S
        if is_there or now_s - self._tried_s < RETRY_S:
            return
        self._tried_s = now_s
        self._opening = threading.Thread(target=self._open_again, daemon=True, name="opening a microphone")
        self._opening.start()

    def stop(self) -> None:
        """Close the microphone; nothing more is handed on."""
        with self._lock:
            self._is_over = True
            microphone, self._microphone = self._microphone, None
        if microphone is not None:
            microphone.stop()

    def _open_again(self) -> None:
        if self._microphone is not None:
            self._microphone.stop()
        try:
            found = opened(self._take, self._asked, self._rate_hz, self._instead)
        except GuideError:
            return
        with self._lock:
            if not self._is_over:
                self._microphone, self._heard_s = found, steady_clock.now_s()
                return
        found.stop()

    def _take(self, sound: bytes) -> None:
        """Hand sound on, after silence for what has been missed."""
        with self._lock:
            if self._is_over:
                return
            now_s = self._heard_s = steady_clock.now_s()
            samples = len(sound) // 2
            if self._began_s is None:
                self._began_s = now_s - samples / self._rate_hz
            missing = round((now_s - self._began_s) * self._rate_hz) - self._handed - samples
            if missing > LATE_S * self._rate_hz:
                self._hand_silence(missing)
            self._handed += samples
            self._heard(sound)

    def _hand_silence(self, samples: int) -> None:
        """The machine may have slept for hours: no more than a minute at once."""
        self._handed += samples
        minute = 60 * self._rate_hz
        for _ in range(samples // minute):
            self._heard(bytes(2 * minute))
        self._heard(bytes(2 * (samples % minute)))
