"""The seam between the player and a sound card."""

from collections.abc import Callable
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from guide.units import frames_from_ms

#: Asked for so many frames, gives them: float32, shape (frames, 2), at 48 kHz. Called from a thread of the output's
#: own; it never blocks and never raises.
Pull = Callable[[int], NDArray[np.float32]]

#: A sound server may swallow the first moment of a stream (measured with PulseAudio: up to 19 ms of it).
SWALLOWED_FRAMES = frames_from_ms(50)

#: What to do where a library is there and finds nothing to play on.
CONNECT = "connect a loudspeaker and switch it on"


class Loudspeaker(Protocol):
    """A way to a loudspeaker. To add one, write a module with a class like this, and name it in `SPEAKERS`.

    `latency_ms` is about how long it takes from a frame being pulled until it is heard. Nothing that its library says
    by itself reaches the terminal while it opens (see `quiet_stderr`), and a frame that was pulled is lost only when
    the device goes or the output is stopped.
    """

    name: str
    latency_ms: int

    def start(self, pull: Pull) -> None:
        """Open the device and begin to pull; what was stopped can be started again, on the devices of that moment.

        Raises:
            NoDevice: there is no device, or it cannot be opened.
        """
        ...

    def stop(self) -> None:
        """Close the device; what was pulled and not heard yet may be lost. Does nothing when it is closed."""
        ...

    @property
    def alive(self) -> bool:
        """Whether the device is still there, as far as the output can tell; a stall without a word is the player's to
        notice."""
        ...


def after_silence(pull: Pull) -> Pull:
    """The same sound after a little silence, for a stream that has just been opened."""
    left = SWALLOWED_FRAMES

    def pulled(frames: int) -> NDArray[np.float32]:
        nonlocal left
        if not left:
            return pull(frames)
        silent = min(left, frames)
        left -= silent
        silence = np.zeros((silent, 2), np.float32)
        return np.concatenate([silence, pull(frames - silent)]) if silent < frames else silence

    return pulled
