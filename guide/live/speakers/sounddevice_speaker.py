"""sounddevice: PortAudio, which comes along on macOS and Windows and is a small system package on Linux."""

import os
import sys
from typing import Any

from guide.live.device_errors import NoDevice, sounddevice_here
from guide.live.quiet_stderr import quiet_stderr
from guide.live.speakers.base import BUFFER_MS, CONNECT, USUAL, Pull, Wanted, after_silence, chosen
from guide.live.speakers.sound_server import ServerSink, sink_of
from guide.units import RATE_HZ


class SounddeviceSpeaker:
    """A stream of PortAudio on the default device, whose `active` ends with the device."""

    name = "sounddevice"
    latency_ms = BUFFER_MS
    widens = True

    def __init__(self) -> None:
        self._stream: Any = None

    def start(self, pull: Pull, wanted: Wanted = USUAL) -> None:
        pulled = after_silence(pull)

        def called(out: Any, frames: int, time: object, status: object) -> None:
            out[:] = pulled(frames).tobytes()

        with quiet_stderr():
            sounddevice = _looked_anew()
            stream = None
            try:
                stream = sounddevice.RawOutputStream(
                    samplerate=RATE_HZ,
                    channels=2,
                    dtype="float32",
                    latency=wanted.buffer_ms / 1000,
                    callback=called,
                    device=_found(sounddevice, wanted.device),
                )
                stream.start()
            except sounddevice.PortAudioError as error:
                if stream is not None:
                    stream.close()
                raise NoDevice("sounddevice finds no device", CONNECT) from error
        self._stream = stream
        self.latency_ms = wanted.buffer_ms

    def devices(self) -> tuple[str, ...]:
        with quiet_stderr():
            return tuple(name for name, _ in _playing(_looked_anew()))

    def sink(self) -> ServerSink | None:
        return sink_of(os.getpid())

    def stop(self) -> None:
        stream, self._stream = self._stream, None
        if stream is not None:
            with quiet_stderr():
                stream.abort()
                stream.close()

    @property
    def alive(self) -> bool:
        return self._stream is not None and bool(self._stream.active)


def _playing(sounddevice: Any) -> list[tuple[str, int]]:
    """The devices that can play, each with its number."""
    return [
        (device["name"], device["index"]) for device in sounddevice.query_devices() if device["max_output_channels"]
    ]


def _found(sounddevice: Any, part: str) -> int | None:
    """The number of the device that is asked for; None for the usual one. Raises NoDevice where there is none."""
    if not part:
        return None
    devices = _playing(sounddevice)
    return devices[chosen(part, [name for name, _ in devices], "sounddevice")][1]


def _looked_anew() -> Any:
    """The library, with the devices that there are now: it looks for them only when it is initialised.

    Raises:
        NoDevice: it is not there, or finds no sound system at all.
    """
    is_known = "sounddevice" in sys.modules
    sounddevice = sounddevice_here()
    if is_known:
        try:
            while sounddevice._initialized:
                sounddevice._terminate()
            sounddevice._initialize()
        except sounddevice.PortAudioError as error:
            raise NoDevice("sounddevice finds no sound system", CONNECT) from error
    return sounddevice
