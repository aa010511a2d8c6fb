"""miniaudio: finds the system's sound by itself, where its wheel exists."""

import os
from collections.abc import Generator
from typing import Any

import numpy as np
from numpy.typing import NDArray

from guide.live.device_errors import NoDevice, miniaudio_here
from guide.live.miniaudio_devices import close_device, open_device, start_device
from guide.live.quiet_stderr import quiet_stderr
from guide.live.speakers.base import BUFFER_MS, CONNECT, USUAL, Pull, Wanted, after_silence, chosen
from guide.live.speakers.sound_server import ServerSink, sink_of
from guide.units import RATE_HZ


class MiniaudioSpeaker:
    """A playback device of miniaudio. It stalls without a word when its device goes: watch for pulls that stay away."""

    name = "miniaudio"
    latency_ms = BUFFER_MS
    widens = True

    def __init__(self) -> None:
        self._device: Any = None

    def start(self, pull: Pull, wanted: Wanted = USUAL) -> None:
        miniaudio = miniaudio_here()
        try:
            with quiet_stderr():
                device = open_device(
                    "PlaybackDevice",
                    output_format=miniaudio.SampleFormat.FLOAT32,
                    nchannels=2,
                    sample_rate=RATE_HZ,
                    buffersize_msec=wanted.buffer_ms,
                    device_id=_found(wanted.device),
                )
                start_device(device, _pulled(after_silence(pull)))
        except miniaudio.MiniaudioError as error:
            raise NoDevice("miniaudio finds no device", CONNECT) from error
        self._device = device
        self.latency_ms = wanted.buffer_ms

    def devices(self) -> tuple[str, ...]:
        miniaudio = miniaudio_here()
        try:
            with quiet_stderr():
                return tuple(device["name"] for device in miniaudio.Devices().get_playbacks())
        except miniaudio.MiniaudioError:
            return ()

    def sink(self) -> ServerSink | None:
        return sink_of(os.getpid())

    def stop(self) -> None:
        device, self._device = self._device, None
        if device is not None:
            with quiet_stderr():
                close_device(device)

    @property
    def alive(self) -> bool:
        return self._device is not None


def _found(part: str) -> Any:
    """The library's own name of the device that is asked for; None for the usual one.

    A sound server that has none is not even tried: each device that does not open there leaves a connection behind.

    Raises:
        NoDevice: there is no such device, or none at all.
        MiniaudioError: of the library.
    """
    system = miniaudio_here().Devices()
    if not part and system.backend != "PulseAudio":
        return None
    devices = system.get_playbacks()
    if not devices:
        raise NoDevice("miniaudio finds no device", CONNECT)
    return devices[chosen(part, [device["name"] for device in devices], "miniaudio")]["id"] if part else None


def _pulled(pull: Pull) -> Generator[NDArray[np.float32], int, None]:
    frames = yield np.zeros((0, 2), np.float32)
    while True:
        frames = yield pull(frames)
