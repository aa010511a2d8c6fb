"""Where the sound of a class goes: one file for each way to a loudspeaker, behind one protocol."""

import threading
from collections.abc import Callable, Mapping

import numpy as np
from numpy.typing import NDArray

from guide.live import steady_clock
from guide.live.device_errors import NoDevice
from guide.live.speakers.base import CONNECT, USUAL, Loudspeaker, Pull, Wanted
from guide.live.speakers.device_timing import DeviceTiming
from guide.live.speakers.miniaudio_speaker import MiniaudioSpeaker
from guide.live.speakers.pipe_speaker import PipeSpeaker
from guide.live.speakers.silent_speaker import SilentSpeaker
from guide.live.speakers.simpleaudio_speaker import SimpleaudioSpeaker
from guide.live.speakers.sounddevice_speaker import SounddeviceSpeaker
from guide.problem import MachineTrouble, UnusableChoice

#: Every output by its name, in the order in which they are tried.
SPEAKERS: Mapping[str, Callable[[], Loudspeaker]] = {
    "miniaudio": MiniaudioSpeaker,
    "pipe": PipeSpeaker,
    "sounddevice": SounddeviceSpeaker,
    "simpleaudio": SimpleaudioSpeaker,
    "silent": SilentSpeaker,
}

#: Those that are tried when nobody says which: silence is only had by asking for it.
TRIED = ("miniaudio", "pipe", "sounddevice", "simpleaudio")

#: How a class is led where there is nothing to hear it from.
WITHOUT = "to go without a loudspeaker: --output silent"

#: A device is given silence for so long before it is believed to play, and as often again as it is further ahead then.
#: (One without a pace takes an hour in that time, on a machine that is not busy.)
PROOF_S = 0.2


def opened(pull: Pull, wanted: Wanted = USUAL) -> Loudspeaker:
    """The output asked for, or the first that opens and can be heard, pulling already.

    Raises:
        UnusableChoice: there is no output of that name.
        MachineTrouble: none opens; it says why for each, and what to do.
    """
    asked = wanted.output
    if asked is not None and asked not in SPEAKERS:
        raise UnusableChoice(f"there is no output `{asked}` (there are {', '.join(SPEAKERS)})")
    said = []
    for name in (asked,) if asked else TRIED:
        output, proof = SPEAKERS[name](), _Proof(pull)
        try:
            output.start(proof.pull, wanted)
            proof.take(output)
        except MachineTrouble as trouble:
            said.append(str(trouble))
        else:
            return output
    if len(said) == 1:
        raise MachineTrouble(f"no sound: {said[0]}; {WITHOUT}")
    raise MachineTrouble("\n  ".join(["no sound: no way to a loudspeaker opens", *said, WITHOUT]))


class _Proof:
    """A device is given silence until it is seen to play where it can be heard, at the pace of sound."""

    def __init__(self, pull: Pull) -> None:
        self._source: Pull | None = None
        self._wanted, self._timing = pull, DeviceTiming()
        self._failed = threading.Event()

    def pull(self, frames: int) -> NDArray[np.float32]:
        if self._source is not None:
            return self._source(frames)
        self._timing.took(frames, steady_clock.now_s())
        if self._timing.is_too_fast:
            self._failed.set()
        return np.zeros((frames, 2), np.float32)

    def take(self, output: Loudspeaker) -> None:
        """Give it the sound that it was opened for. Raises NoDevice, the output closed, where nobody would hear it."""
        ahead_s, is_too_fast = 0.0, self._failed.wait(PROOF_S)
        while not is_too_fast and self._timing.ahead_s > ahead_s + PROOF_S:
            ahead_s, is_too_fast = self._timing.ahead_s, self._failed.wait(PROOF_S)
        sink = None if is_too_fast else output.sink()
        if not is_too_fast and (sink is None or not sink.is_dummy):
            self._source = self._wanted
            return
        output.stop()
        if is_too_fast:
            raise NoDevice(f"the device of {output.name} takes sound faster than it can be heard", "choose another")
        raise NoDevice(f"{output.name} finds a sound server that has no loudspeaker", CONNECT)
