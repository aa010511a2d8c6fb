"""The system's own player, fed through a pipe: nothing to install on a Raspberry Pi or a Linux desktop.

The player takes what it needs and the pipe is kept short, so that writing to it waits until the sound is wanted.
"""

import shutil
import subprocess
import sys
import threading
from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from guide.live.outputs.base import Pull
from guide.problem import MachineTrouble
from guide.units import RATE_HZ

#: Written in pieces of so many frames: 10 ms.
PIECE_FRAMES = RATE_HZ // 100

#: How much a pipe holds, in bytes: one page, 21 ms. (By itself it would hold a third of a second.)
PIPE_BYTES = 4096

_SET_PIPE_SIZE = 1031  # F_SETPIPE_SZ of Linux, which Python names from 3.10 on only where it was built with it.

_RATE = str(RATE_HZ)

#: Players by the order in which they are tried, with how they are told: raw 16-bit stereo, about 50 ms ahead.
PLAYERS: Mapping[str, Sequence[str]] = {
    "paplay": ("--raw", "--format=s16le", f"--rate={_RATE}", "--channels=2", "--latency-msec=50"),
    "pw-cat": ("--playback", "--raw", "--format", "s16", "--rate", _RATE, "--channels", "2", "--latency", "50ms", "-"),
    "aplay": ("-q", "-t", "raw", "-f", "S16_LE", "-r", _RATE, "-c", "2", "--buffer-time=50000"),
}

#: A player that ends so soon after its start had no device.
GIVES_UP_S = 0.3


class PipeOutput:
    """The first player that this system has and that keeps running."""

    name = "pipe"
    latency_ms = 80

    def __init__(self) -> None:
        self._player: subprocess.Popen[bytes] | None = None
        self._thread: threading.Thread | None = None
        self._over = threading.Event()

    def start(self, pull: Pull) -> None:
        said = []
        for program, arguments in PLAYERS.items():
            if shutil.which(program) is None:
                continue
            self._player = _started([program, *arguments])
            if self._player is not None:
                self._over.clear()
                self._thread = threading.Thread(target=self._run, args=(pull,), daemon=True, name="pipe output")
                self._thread.start()
                return
            said.append(f"{program} finds no device")
        players = ", ".join(PLAYERS)
        raise MachineTrouble("; ".join(said) or f"none of {players} is here (sudo apt install pulseaudio-utils)")

    def _run(self, pull: Pull) -> None:
        assert self._player is not None and self._player.stdin is not None
        try:
            while not self._over.is_set():
                self._player.stdin.write(as_16_bit(pull(PIECE_FRAMES)).tobytes())
                self._player.stdin.flush()
        except (BrokenPipeError, OSError, ValueError):
            # The player has gone, with its device or by itself.
            self._over.set()

    def stop(self) -> None:
        self._over.set()
        if self._player is not None:
            self._player.kill()
            self._player.wait()
        if self._thread is not None and self._thread is not threading.current_thread():
            self._thread.join(timeout=1)
        self._player = None

    @property
    def alive(self) -> bool:
        return self._player is not None and self._player.poll() is None and not self._over.is_set()


def _started(command: list[str]) -> subprocess.Popen[bytes] | None:
    """The player, running; None where it ends at once."""
    player = subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True
    )
    assert player.stdin is not None
    if sys.platform == "linux":
        import fcntl

        fcntl.fcntl(player.stdin, _SET_PIPE_SIZE, PIPE_BYTES)
    try:
        player.wait(GIVES_UP_S)
    except subprocess.TimeoutExpired:
        return player
    return None


def as_16_bit(sound: NDArray[np.float32]) -> NDArray[np.int16]:
    """Sound from -1 to 1 as 16-bit numbers."""
    return np.rint(np.clip(sound, -1.0, 1.0) * 32767).astype("<i2")
