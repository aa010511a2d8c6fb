"""The system's own recorder, read through a pipe: nothing to install on a Raspberry Pi or a Linux desktop."""

import shutil
import subprocess
import threading
from collections.abc import Mapping, Sequence

from guide.live.device_errors import NoDevice
from guide.live.microphones.base import CONNECT, RATE_HZ, Heard

#: Read in pieces of a twentieth of a second.
PIECES_A_SECOND = 20

#: What stands for the rate in what recorders are told.
_RATE = "RATE"

#: Recorders by the order in which they are tried, with how they are told: raw 16-bit, one channel, about 50 ms late.
RECORDERS: Mapping[str, Sequence[str]] = {
    "parec": ("--raw", "--format=s16le", "--rate=RATE", "--channels=1", "--latency-msec=50"),
    "pw-cat": ("--record", "--raw", "--format", "s16", "--rate", _RATE, "--channels", "1", "--latency", "50ms", "-"),
    "arecord": ("-q", "-t", "raw", "-f", "S16_LE", "-r", _RATE, "-c", "1", "--buffer-time=200000"),
}

#: A recorder is given so long to hand on its first sound; a sound server that wakes for the first time takes 2 s.
PATIENCE_S = 4.0


class RecorderMicrophone:
    """The first recorder that this system has and that hears anything."""

    name = "recorder"

    def __init__(self, rate_hz: int = RATE_HZ) -> None:
        self._rate_hz = rate_hz
        self._recorder: subprocess.Popen[bytes] | None = None
        self._thread: threading.Thread | None = None

    def start(self, heard: Heard) -> None:
        here = [program for program in RECORDERS if shutil.which(program) is not None]
        for program in here:
            told = [word.replace(_RATE, str(self._rate_hz)) for word in RECORDERS[program]]
            if self._opens([program, *told], heard):
                return
        if here:
            raise NoDevice(f"the system's recorder ({', '.join(here)}) finds no microphone", CONNECT)
        raise NoDevice(f"none of {', '.join(RECORDERS)} is here", "sudo apt install pulseaudio-utils")

    def _opens(self, command: list[str], heard: Heard) -> bool:
        """Whether this recorder hands on sound; it goes on with that."""
        recorder = subprocess.Popen(
            command,
            bufsize=0,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )
        begun, over = threading.Event(), threading.Event()
        thread = threading.Thread(
            target=_read,
            args=(recorder, self._rate_hz // PIECES_A_SECOND * 2, heard, begun, over),
            daemon=True,
            name="recorder microphone",
        )
        thread.start()
        begun.wait(PATIENCE_S)
        if begun.is_set() and not over.is_set():
            self._recorder, self._thread = recorder, thread
            return True
        _ended(recorder, thread)
        return False

    def stop(self) -> None:
        recorder, self._recorder = self._recorder, None
        if recorder is not None and self._thread is not None:
            _ended(recorder, self._thread)

    @property
    def alive(self) -> bool:
        return self._recorder is not None and self._recorder.poll() is None


def _read(
    recorder: "subprocess.Popen[bytes]", piece_bytes: int, heard: Heard, begun: threading.Event, over: threading.Event
) -> None:
    assert recorder.stdout is not None
    try:
        while piece := recorder.stdout.read(piece_bytes):
            heard(piece)
            begun.set()
    except (OSError, ValueError):
        # It was ended while it was read.
        pass
    over.set()
    begun.set()


def _ended(recorder: "subprocess.Popen[bytes]", thread: threading.Thread) -> None:
    recorder.kill()
    recorder.wait()
    if thread is not threading.current_thread():
        thread.join(timeout=1)
    if recorder.stdout is not None and not thread.is_alive():
        recorder.stdout.close()
