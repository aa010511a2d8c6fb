"""sounddevice: PortAudio, which comes along on macOS and Windows and is a small system package on Linux."""

import sys
from typing import Any

from guide.live.device_errors import NoDevice, sounddevice_here
from guide.live.quiet_stderr import quiet_stderr
from guide.live.speakers.base import CONNECT, Pull, after_silence
from guide.units import RATE_HZ

LATENCY_MS = 50


class SounddeviceSpeaker:
    """A stream of PortAudio on the default device, whose `active` ends with the device."""

    name = "sounddevice"
    latency_ms = LATENCY_MS

    def __init__(self) -> None:
        self._stream: Any = None

    def start(self, pull: Pull) -> None:
        pulled = after_silence(pull)

        def called(out: Any, frames: int, time: object, status: object) -> None:
            out[:] = pulled(frames).tobytes()

        with quiet_stderr():
            sounddevice = _looked_anew()
            stream = None
            try:
                stream = sounddevice.RawOutputStream(
                    samplerate=RATE_HZ, channels=2, dtype="float32", latency=LATENCY_MS / 1000, callback=called
                )
                stream.start()
            except sounddevice.PortAudioError as error:
                if stream is not None:
                    stream.close()
                raise NoDevice("sounddevice finds no device", CONNECT) from error
        self._stream = stream

    def stop(self) -> None:
        stream, self._stream = self._stream, None
        if stream is not None:
            with quiet_stderr():
                stream.abort()
                stream.close()

    @property
    def alive(self) -> bool:
        return self._stream is not None and bool(self._stream.active)


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
