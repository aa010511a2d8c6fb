"""Where a voice is heard: one file for each way to a microphone, behind one protocol. It keeps nothing."""

from collections.abc import Callable, Mapping

from guide.live.microphones.base import RATE_HZ, Heard, Microphone
from guide.live.microphones.miniaudio_microphone import MiniaudioMicrophone
from guide.live.microphones.recorder_microphone import RecorderMicrophone
from guide.live.microphones.sounddevice_microphone import SounddeviceMicrophone
from guide.problem import MachineTrouble, UnusableChoice

#: Every microphone by its name, in the order in which they are tried.
MICROPHONES: Mapping[str, Callable[[int], Microphone]] = {
    "recorder": RecorderMicrophone,
    "miniaudio": MiniaudioMicrophone,
    "sounddevice": SounddeviceMicrophone,
}

#: How a class is rehearsed where there is none.
WITHOUT = "to press a key at each change instead: leave out --listen"


def opened(heard: Heard, asked: str | None = None, rate_hz: int = RATE_HZ, instead: str = WITHOUT) -> Microphone:
    """The microphone asked for, or the first that opens, listening already; `instead` is what to do where none does.

    Raises:
        UnusableChoice: there is no microphone of that name.
        MachineTrouble: none opens; it says why for each, and what to do.
    """
    if asked is not None and asked not in MICROPHONES:
        raise UnusableChoice(f"there is no microphone `{asked}` (there are {', '.join(MICROPHONES)})")
    said = []
    for name in (asked,) if asked else MICROPHONES:
        microphone = MICROPHONES[name](rate_hz)
        try:
            microphone.start(heard)
        except MachineTrouble as trouble:
            said.append(str(trouble))
        else:
            return microphone
    if len(said) == 1:
        raise MachineTrouble(f"nothing to listen with: {said[0]}; {instead}")
    raise MachineTrouble("\n  ".join(["nothing to listen with: no microphone opens", *said, instead]))
