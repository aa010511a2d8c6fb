"""miniaudio: finds the system's sound by itself, where its wheel exists."""

import os
import sys
from collections.abc import Generator, Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from guide.live.outputs.base import Pull
from guide.problem import MachineTrouble
from guide.units import RATE_HZ

BUFFER_MS = 50


class MiniaudioOutput:
    """A playback device of miniaudio. It stalls without a word when its device goes: watch for pulls that stay away."""

    name = "miniaudio"
    latency_ms = BUFFER_MS

    def __init__(self) -> None:
        self._device: object | None = None

    def start(self, pull: Pull) -> None:
        try:
            import miniaudio
        except ImportError as error:
            raise MachineTrouble("miniaudio is not installed (python -m pip install miniaudio)") from error
        try:
            with _unheard():
                device = miniaudio.PlaybackDevice(
                    output_format=miniaudio.SampleFormat.FLOAT32,
                    nchannels=2,
                    sample_rate=RATE_HZ,
                    buffersize_msec=BUFFER_MS,
                    app_name="practice guide",
                )
            pulled = _pulled(pull)
            next(pulled)
            device.start(pulled)
        except miniaudio.MiniaudioError as error:
            raise MachineTrouble("miniaudio finds no device") from error
        self._device = device

    def stop(self) -> None:
        if self._device is not None:
            self._device.close()  # type: ignore[attr-defined]  # miniaudio comes without types
        self._device = None

    @property
    def alive(self) -> bool:
        return self._device is not None


@contextmanager
def _unheard() -> Iterator[None]:
    """Keeps what the system's sound library writes to standard error out of the terminal.

    Where there is no device that is pages of it, around the one line that matters.
    """
    sys.stderr.flush()
    kept = os.dup(2)
    try:
        with Path(os.devnull).open("wb") as nowhere:
            os.dup2(nowhere.fileno(), 2)
        yield
    finally:
        os.dup2(kept, 2)
        os.close(kept)


def _pulled(pull: Pull) -> Generator[NDArray[np.float32], int, None]:
    frames = yield np.zeros((0, 2), np.float32)
    while True:
        frames = yield pull(frames)
