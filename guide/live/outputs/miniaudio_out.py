"""miniaudio: finds the system's sound by itself, where its wheel exists."""

from collections.abc import Generator

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
            raise MachineTrouble(f"miniaudio finds no device ({error})") from error
        self._device = device

    def stop(self) -> None:
        if self._device is not None:
            self._device.close()  # type: ignore[attr-defined]  # miniaudio comes without types
        self._device = None

    @property
    def alive(self) -> bool:
        return self._device is not None


def _pulled(pull: Pull) -> Generator[NDArray[np.float32], int, None]:
    frames = yield np.zeros((0, 2), np.float32)
    while True:
        frames = yield pull(frames)
