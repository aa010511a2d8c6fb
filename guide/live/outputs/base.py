"""The seam between the player and a sound card."""

from collections.abc import Callable
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

#: Asked for so many frames, gives them: float32, shape (frames, 2), at 48 kHz. Called from a thread of the output's
#: own; it never blocks and never raises.
Pull = Callable[[int], NDArray[np.float32]]


class Output(Protocol):
    """A way to a loudspeaker. To add one, write a module with a class like this, and name it in `OUTPUTS`.

    `latency_ms` is about how long it takes from a frame being pulled until it is heard.
    """

    name: str
    latency_ms: int

    def start(self, pull: Pull) -> None:
        """Open the device and begin to pull.

        Raises:
            MachineTrouble: there is no device, or it cannot be opened.
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
