"""The system's own player, fed through a pipe: nothing to install on a Raspberry Pi or a Linux desktop.

The player takes what it needs and the pipe is kept short, so that writing to it waits until the sound is wanted.
"""

import select
import shutil
import subprocess
import sys
import threading
import time
from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from guide.live.device_errors import NoDevice
from guide.live.speakers.base import BUFFER_MS, CONNECT, USUAL, Pull, Wanted, chosen
from guide.live.speakers.sound_server import ServerSink, sink_of, sinks
from guide.units import RATE_HZ

#: Written in pieces of so many frames: 10 ms.
PIECE_FRAMES = RATE_HZ // 100

#: How much a pipe holds, in bytes: one page, 21 ms. (By itself it would hold a third of a second.)
PIPE_BYTES = 4096

_SET_PIPE_SIZE = 1031  # F_SETPIPE_SZ of Linux, which Python names from 3.10 on only where it was built with it.

_RATE = str(RATE_HZ)

#: Players by the order in which they are tried, with how they are told: raw 16-bit stereo, so many ms ahead.
PLAYERS: Mapping[str, str] = {
    "paplay": f"--raw --format=s16le --rate={_RATE} --channels=2 --latency-msec={{ms}}",
    "pw-cat": f"--playback --raw --format s16 --rate {_RATE} --channels 2 --latency {{ms}}ms -",
    "aplay": f"-q -t raw -f S16_LE -r {_RATE} -c 2 --buffer-time={{ms}}000",
}

#: How each of them is told a device.
DEVICE: Mapping[str, str] = {"paplay": "--device=", "pw-cat": "--target=", "aplay": "--device="}

#: What is on its way to a player, and in it.
PIPE_MS = 30

#: A player that has taken so many full pipes has opened its device: before that it may read one ahead, no more.
PROOF_PIPES = 4

#: A player is given so long to take them; a sound server that wakes for the first time takes 2 s.
PATIENCE_S = 4.0


class PipeSpeaker:
    """The first player that this system has and that takes sound."""

    name = "pipe"
    latency_ms = BUFFER_MS + PIPE_MS
    widens = True

    def __init__(self) -> None:
        self._player: subprocess.Popen[bytes] | None = None
        self._thread: threading.Thread | None = None
        self._over = threading.Event()

    def start(self, pull: Pull, wanted: Wanted = USUAL) -> None:
        here = _here()
        for program, device in _ways(wanted.device) if here and wanted.device else [(name, "") for name in here]:
            told = PLAYERS[program].format(ms=wanted.buffer_ms).split()
            player = _started([program, *([DEVICE[program] + device] if device else []), *told])
            if player is not None:
                self._player, self._over = player, threading.Event()
                self.latency_ms = wanted.buffer_ms + PIPE_MS
                self._thread = threading.Thread(
                    target=_fed, args=(player, pull, self._over), daemon=True, name="pipe output"
                )
                self._thread.start()
                return
        if here:
            raise NoDevice(f"the system's player ({', '.join(here)}) finds no device", CONNECT)
        players = ", ".join(PLAYERS)
        raise NoDevice(f"none of {players} is here", "sudo apt install pulseaudio-utils")

    def devices(self) -> tuple[str, ...]:
        return tuple(called for called, _, _ in _choices())

    def sink(self) -> ServerSink | None:
        player = self._player
        return None if player is None else sink_of(player.pid)

    def stop(self) -> None:
        self._over.set()
        player, self._player = self._player, None
        if player is not None:
            _ended(player)
        if self._thread is not None and self._thread is not threading.current_thread():
            self._thread.join(timeout=1)

    @property
    def alive(self) -> bool:
        return self._player is not None and self._player.poll() is None and not self._over.is_set()


def _here() -> list[str]:
    return [program for program in PLAYERS if shutil.which(program) is not None]


def _choices() -> list[tuple[str, str, tuple[str, ...]]]:
    """What people call each device, its name for a player, and the players that play into it."""
    servers = [(sink.called, sink.name, ("paplay", "pw-cat")) for sink in sinks()]
    return servers + [(name, name, ("aplay",)) for name in _names_of_alsa()]


def _names_of_alsa() -> list[str]:
    """Source: aplay(1): with -L, names stand at the beginning of a line, and what they are is indented below."""
    try:
        done = subprocess.run(
            ["aplay", "-L"], stdin=subprocess.DEVNULL, capture_output=True, text=True, check=True, timeout=PATIENCE_S
        )
    except (OSError, subprocess.SubprocessError):
        return []
    return [line for line in done.stdout.splitlines() if line and not line[0].isspace() and line != "null"]


def _ways(part: str) -> list[tuple[str, str]]:
    """The players that play into the device that is asked for, each with its name for it.

    Raises:
        NoDevice: there is no such device.
    """
    choices = _choices()
    _, name, programs = choices[chosen(part, [called for called, _, _ in choices], "the system's player")]
    return [(program, name) for program in programs if shutil.which(program) is not None]


def _fed(player: "subprocess.Popen[bytes]", pull: Pull, over: threading.Event) -> None:
    assert player.stdin is not None
    try:
        while not over.is_set():
            player.stdin.write(as_16_bit(pull(PIECE_FRAMES)).tobytes())
    except (OSError, ValueError):
        # The player has gone, with its device or by itself.
        over.set()


def _started(command: list[str]) -> "subprocess.Popen[bytes] | None":
    """The player, playing; None where it ends at once or takes no sound."""
    player = subprocess.Popen(
        command,
        bufsize=0,
        stdin=subprocess.PIPE,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    )
    if _takes_sound(player):
        return player
    _ended(player)
    return None


def _takes_sound(player: "subprocess.Popen[bytes]") -> bool:
    """Whether the player takes a little silence, 85 ms. (How soon one without a device ends depends on the machine.)"""
    assert player.stdin is not None
    if sys.platform == "linux":
        import fcntl

        fcntl.fcntl(player.stdin, _SET_PIPE_SIZE, PIPE_BYTES)
    ends_s = time.monotonic() + PATIENCE_S
    for _ in range(PROOF_PIPES):
        # A pipe can be written to when it is empty, or when nobody reads from it any more.
        if not select.select([], [player.stdin], [], max(0.0, ends_s - time.monotonic()))[1]:
            return False
        try:
            player.stdin.write(bytes(PIPE_BYTES))
        except OSError:
            return False
    return True


def _ended(player: "subprocess.Popen[bytes]") -> None:
    assert player.stdin is not None
    player.kill()
    player.wait()
    player.stdin.close()


def as_16_bit(sound: NDArray[np.float32]) -> NDArray[np.int16]:
    """Sound from -1 to 1 as 16-bit numbers."""
    return np.rint(np.clip(sound, -1.0, 1.0) * 32767).astype("<i2")
