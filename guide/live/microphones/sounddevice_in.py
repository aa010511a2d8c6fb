"""sounddevice: PortAudio, which macOS and Windows get with its wheel and Linux as a package."""

from typing import Any

from guide.live.microphones.base import CONNECT, RATE_HZ, Heard, NoMicrophone
from guide.live.outputs.unheard import unheard


class SounddeviceMicrophone:
    """A stream of PortAudio from the default device, whose `active` ends with the device."""

    name = "sounddevice"

    def __init__(self) -> None:
        self._stream: Any = None

    def start(self, heard: Heard) -> None:
        def called(sound: Any, frames: int, time: object, status: object) -> None:
            heard(bytes(sound))

        with unheard():
            sounddevice = _imported()
            stream = None
            try:
                stream = sounddevice.RawInputStream(samplerate=RATE_HZ, channels=1, dtype="int16", callback=called)
                stream.start()
            except sounddevice.PortAudioError as error:
                if stream is not None:
                    stream.close()
                raise NoMicrophone("sounddevice finds no microphone", CONNECT) from error
        self._stream = stream

    def stop(self) -> None:
        stream, self._stream = self._stream, None
        if stream is not None:
            with unheard():
                stream.abort()
                stream.close()

    @property
    def alive(self) -> bool:
        return self._stream is not None and bool(self._stream.active)


def _imported() -> Any:
    """The library, with the devices that there were when it was first used: to look anew would end what plays by it."""
    try:
        import sounddevice
    except ImportError as error:
        install = "python -m pip install 'practice-guide[sounddevice]'"
        raise NoMicrophone("sounddevice is not installed", install) from error
    except OSError as error:
        raise NoMicrophone("sounddevice lacks PortAudio", "sudo apt install libportaudio2") from error
    return sounddevice
