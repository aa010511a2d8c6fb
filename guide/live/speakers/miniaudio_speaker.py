"""miniaudio: finds the system's sound by itself, where its wheel exists."""

from collections.abc import Generator
from typing import Any

import numpy as np
from numpy.typing import NDArray

from guide.live.device_errors import NoDevice, miniaudio_here
from guide.live.quiet_stderr import quiet_stderr
from guide.live.speakers.base import CONNECT, Pull, after_silence
from guide.units import RATE_HZ

BUFFER_MS = 50


class MiniaudioSpeaker:
    """A playback device of miniaudio. It stalls without a word when its device goes: watch for pulls that stay away."""

    name = "miniaudio"
    latency_ms = BUFFER_MS

    def __init__(self) -> None:
        self._device: Any = None

    def start(self, pull: Pull) -> None:
        miniaudio = miniaudio_here()
        try:
            with quiet_stderr():
                device = miniaudio.PlaybackDevice(
                    output_format=miniaudio.SampleFormat.FLOAT32,
                    nchannels=2,
                    sample_rate=RATE_HZ,
                    buffersize_msec=BUFFER_MS,
                    app_name="practice guide",
                )
                pulled = _pulled(after_silence(pull))
                next(pulled)
                device.start(pulled)
        except miniaudio.MiniaudioError as error:
            raise NoDevice("miniaudio finds no device", CONNECT) from error
        self._device = device

    def stop(self) -> None:
        device, self._device = self._device, None
        if device is not None:
            with quiet_stderr():
                device.close()

    @property
    def alive(self) -> bool:
        return self._device is not None


def _pulled(pull: Pull) -> Generator[NDArray[np.float32], int, None]:
    frames = yield np.zeros((0, 2), np.float32)
    while True:
        frames = yield pull(frames)
