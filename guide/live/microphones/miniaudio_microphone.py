"""miniaudio: finds the system's microphone by itself, where its wheel exists."""

from collections.abc import Generator
from typing import Any

from guide.live.device_errors import NoDevice, miniaudio_here
from guide.live.microphones.base import CONNECT, RATE_HZ, Heard
from guide.live.miniaudio_devices import close_device, open_device, start_device
from guide.live.quiet_stderr import quiet_stderr

BUFFER_MS = 50


class MiniaudioMicrophone:
    """A capture device of miniaudio. It stalls without a word when its device goes."""

    name = "miniaudio"

    def __init__(self, rate_hz: int = RATE_HZ) -> None:
        self._rate_hz = rate_hz
        self._device: Any = None

    def start(self, heard: Heard) -> None:
        miniaudio = miniaudio_here()
        try:
            with quiet_stderr():
                device = open_device(
                    "CaptureDevice",
                    input_format=miniaudio.SampleFormat.SIGNED16,
                    nchannels=1,
                    sample_rate=self._rate_hz,
                    buffersize_msec=BUFFER_MS,
                )
                start_device(device, _handed_on(heard))
        except miniaudio.MiniaudioError as error:
            raise NoDevice("miniaudio finds no microphone", CONNECT) from error
        self._device = device

    def stop(self) -> None:
        device, self._device = self._device, None
        if device is not None:
            with quiet_stderr():
                close_device(device)

    @property
    def alive(self) -> bool:
        return self._device is not None


def _handed_on(heard: Heard) -> Generator[None, bytearray, None]:
    while True:
        heard(bytes((yield)))
