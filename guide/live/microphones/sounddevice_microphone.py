"""sounddevice: PortAudio, which macOS and Windows get with its wheel and Linux as a package."""

from typing import Any

from guide.live.device_errors import NoDevice, sounddevice_here
from guide.live.microphones.base import CONNECT, RATE_HZ, Heard
from guide.live.quiet_stderr import quiet_stderr


class SounddeviceMicrophone:
    """A stream of PortAudio from the default device, whose `active` ends with the device."""

    name = "sounddevice"

    def __init__(self, rate_hz: int = RATE_HZ) -> None:
        self._rate_hz = rate_hz
        self._stream: Any = None

    def start(self, heard: Heard) -> None:
        def called(sound: Any, frames: int, time: object, status: object) -> None:
            heard(bytes(sound))

        with quiet_stderr():
            # To look for devices anew would end what plays by it.
            sounddevice = sounddevice_here()
            stream = None
            try:
                stream = sounddevice.RawInputStream(
                    samplerate=self._rate_hz, channels=1, dtype="int16", callback=called
                )
                stream.start()
            except sounddevice.PortAudioError as error:
                if stream is not None:
                    stream.close()
                raise NoDevice("sounddevice finds no microphone", CONNECT) from error
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
