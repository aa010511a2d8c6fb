"""A loudspeaker or a microphone that cannot be had, and the libraries that both are reached by."""

from typing import Any

from guide.problem import MachineTrouble


class NoDevice(MachineTrouble):
    """A device that cannot be had: what is so, and in `mend` what to do or the line to type."""

    def __init__(self, what: str, mend: str) -> None:
        self.what, self.mend = what, mend
        super().__init__(f"{what} ({mend})")


def miniaudio_here() -> Any:
    """The library. Raises NoDevice where it is not installed."""
    try:
        import miniaudio
    except (ImportError, OSError) as error:
        raise NoDevice("miniaudio is not installed", "python -m pip install miniaudio") from error
    return miniaudio


def sounddevice_here() -> Any:
    """The library, with the devices that there were when it was first used.

    Raises:
        NoDevice: it, or PortAudio, is not installed.
    """
    try:
        import sounddevice
    except ImportError as error:
        raise NoDevice("sounddevice is not installed", "python -m pip install 'practice-guide[sounddevice]'") from error
    except OSError as error:
        raise NoDevice("sounddevice lacks PortAudio", "sudo apt install libportaudio2") from error
    return sounddevice
