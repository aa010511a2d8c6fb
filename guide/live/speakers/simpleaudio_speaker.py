"""simpleaudio: the last resort. It knows only whole buffers, which are written here while it reads them.

It takes a buffer without copying it, and reads from it no sooner than the device asks. So one long buffer, a reel, is
played from its first, silent frame on, and what is pulled is written a little ahead of where the device reads: within a
reel the sound is as exact as any. Where the device reads is not told and goes by the steady clock, from which the
clocks of devices differ by some 70 frames in a million; so a reel ends after minutes, in a silence where there is one,
and the next takes over, faded into it. Fewer reels are better than many for another reason: at the end of each the
library frees memory that is the interpreter's without its lock, which Python 3.11 nearly always bears and later ones
never do.

Measured against a null sink's own clock (tests/real/test_loudspeakers.py): every click is heard, to the frame within a
reel, and up to 20 ms off where a reel takes over (1 ms in most runs). Handing it short buffers one by one loses 11
clicks of 299, and is 21 ms off. A device that stalls without a word is not noticed; one that goes is.

Nor is one that runs dry, on a machine so busy that the library's own thread comes too late for its 100 ms: what is
heard then falls behind the clock, by 4 s in 30 s where the program stands still for 0.2 s in each second. Nothing tells
by how much, so the reels overlap by it, and what is behind when the class ends is not heard: whole cues, perhaps. The
other ways lose none of it, and are tried first.
"""

import contextlib
import ctypes
import os
import sys
import threading
import time
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from guide.live.device_errors import NoDevice
from guide.live.quiet_stderr import quiet_stderr
from guide.live.speakers.base import CONNECT, USUAL, Pull, Wanted
from guide.live.speakers.pipe_speaker import as_16_bit
from guide.live.speakers.sound_server import ServerSink, sink_of
from guide.units import RATE_HZ, frames_from_ms

#: The last version of Python whose interpreter it does not end. Source: its issues #72, #74 and #76.
LAST_PYTHON = (3, 11)

#: Written so far ahead of what has been heard. The library asks for a device's buffer of 100 ms, but where ALSA mixes
#: by itself the device takes 341 ms at once (from memory: 16,384 frames); the rest is for the clocks.
AHEAD_FRAMES, TAKEN_FRAMES = frames_from_ms(400), frames_from_ms(100)

#: Pulled in pieces of so many frames: 20 ms, which is also how long one reel fades into the next.
PIECE_FRAMES = frames_from_ms(20)

#: How long a reel is (58 MB); from when on a silence ends it, and how long that silence has to be.
REEL_FRAMES, RIPE_FRAMES, QUIET_FRAMES = frames_from_ms(300_000), frames_from_ms(240_000), frames_from_ms(600)

#: The next reel begins when so little is left of the one before.
LEFT_FRAMES = frames_from_ms(2000)

#: A reel that was stopped goes on for so long at most: what the device has taken.
ENDS_S = 1.0


@dataclass(slots=True)
class _Reel:
    """A buffer being played: shape (frames, 2), of which `written` frames are written; the rest is silence."""

    sound: NDArray[np.int16]
    playing: Any
    began_s: float
    written: int = AHEAD_FRAMES
    quiet: int = 0

    def due(self, now_s: float) -> int:
        """How many frames have to be written by now."""
        return int((now_s - self.began_s) * RATE_HZ) + AHEAD_FRAMES

    def write(self, piece: NDArray[np.float32]) -> None:
        part = self.sound[self.written : self.written + len(piece)]
        part[:] = as_16_bit(piece[: len(part)])
        self.written += len(part)
        self.quiet = 0 if piece.any() else self.quiet + len(piece)

    def catch_up(self, now_s: float) -> None:
        """After a time in which nothing was written, go on where it is still heard: later, and nothing lost."""
        if self.due(now_s) - self.written > AHEAD_FRAMES - TAKEN_FRAMES:
            self.written = self.due(now_s) - PIECE_FRAMES

    @property
    def is_ending(self) -> bool:
        left = len(self.sound) - self.written
        is_ripe = self.written >= RIPE_FRAMES and self.quiet >= QUIET_FRAMES
        return left < LEFT_FRAMES or is_ripe


class SimpleaudioSpeaker:
    """Reels, one after the other, each written while it is played."""

    name = "simpleaudio"
    latency_ms = AHEAD_FRAMES * 1000 // RATE_HZ
    widens = False

    def __init__(self) -> None:
        self._reels: list[_Reel] = []
        self._thread: threading.Thread | None = None
        self._over = threading.Event()

    def start(self, pull: Pull, wanted: Wanted = USUAL) -> None:
        if wanted.device:
            raise NoDevice("simpleaudio cannot choose a device", "take another --output, or no --device")
        _look_anew()
        self._reels = [_begun()]
        self._over = threading.Event()
        self._thread = threading.Thread(
            target=self._run, args=(pull, self._over), daemon=True, name="simpleaudio output"
        )
        self._thread.start()

    def devices(self) -> tuple[str, ...]:
        return ()

    def sink(self) -> ServerSink | None:
        return sink_of(os.getpid())

    def _run(self, pull: Pull, over: threading.Event) -> None:
        while not over.wait(PIECE_FRAMES / RATE_HZ):
            now_s = time.monotonic()
            reel = self._reels[-1]
            reel.catch_up(now_s)
            while reel.written < reel.due(now_s):
                reel.write(pull(PIECE_FRAMES))
            if reel.is_ending:
                try:
                    self._reels = [reel, _begun()]
                except NoDevice:
                    # The device has gone between two reels.
                    over.set()
                else:
                    _hand_over(reel, self._reels[-1], pull(PIECE_FRAMES))

    def stop(self) -> None:
        self._over.set()
        if self._thread is not None and self._thread is not threading.current_thread():
            self._thread.join(timeout=1)
        reels, self._reels = self._reels, []
        for reel in reels:
            reel.sound[:] = 0
            reel.playing.stop()
        # It reads from the buffers until then, and a program that ends meanwhile may end badly.
        ends_s = time.monotonic() + ENDS_S
        while any(reel.playing.is_playing() for reel in reels) and time.monotonic() < ends_s:
            time.sleep(0.01)

    @property
    def alive(self) -> bool:
        reels = self._reels
        return bool(reels) and not self._over.is_set() and bool(reels[-1].playing.is_playing())


def _look_anew() -> None:
    """Have ALSA forget what it found when it was first asked: whether a sound server runs, and so what to play into."""
    if sys.platform == "linux":
        with contextlib.suppress(OSError, AttributeError):
            ctypes.CDLL("libasound.so.2").snd_config_update_free_global()


def _begun() -> _Reel:
    """A silent reel, playing.

    Raises:
        NoDevice: the library is not there, must not be loaded, or finds no device.
    """
    if sys.version_info[:2] > LAST_PYTHON:
        newest = ".".join(map(str, LAST_PYTHON))
        raise NoDevice("simpleaudio ends the program on this Python", f"it works with Python {newest} and before")
    try:
        import simpleaudio
        from simpleaudio._simpleaudio import SimpleaudioError
    except ImportError as error:
        first = "sudo apt install gcc libasound2-dev && " if sys.platform.startswith("linux") else ""
        install = f"{first}python -m pip install 'practice-guide[play]'"
        raise NoDevice("simpleaudio is not installed", install) from error
    sound = np.zeros((REEL_FRAMES, 2), np.int16)
    # It may read from now on, and a busy machine may come back from starting it only much later.
    began_s = time.monotonic()
    try:
        with quiet_stderr():
            playing = simpleaudio.play_buffer(sound, 2, 2, RATE_HZ)
    except SimpleaudioError as error:
        raise NoDevice("simpleaudio finds no device", CONNECT) from error
    return _Reel(sound, playing, began_s)


def _hand_over(old: _Reel, new: _Reel, piece: NDArray[np.float32]) -> None:
    """Go on in a new reel at the moment at which the old one is written to, fading from one to the other."""
    now_s = time.monotonic()
    new.written = new.due(now_s) - (old.due(now_s) - old.written)
    rising = np.linspace(0, 1, len(piece), dtype=np.float32)[:, None]
    old.write(piece * (1 - rising))
    new.write(piece * rising)
