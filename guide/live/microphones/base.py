"""The seam between what listens and a microphone."""

from collections.abc import Callable
from typing import Protocol

#: Samples a second where nothing else is asked for: one channel of 16-bit numbers, little end first.
RATE_HZ = 16_000

#: Called with each piece of sound, of any length, from a thread of the microphone's own; it never raises.
Heard = Callable[[bytes], None]

#: What to do where a library is there and finds nothing to hear with.
CONNECT = "connect a microphone and allow its use"


class Microphone(Protocol):
    """A way to a microphone. To add one, write a module with a class like this, and name it in `MICROPHONES`.

    It is made with the rate at which it hears, in Hz. What is heard is handed on and never kept. Nothing that its
    library says by itself reaches the terminal while it opens.
    """

    name: str

    def start(self, heard: Heard) -> None:
        """Open the microphone and begin to hand on what it hears; what was stopped can be started again.

        Raises:
            NoDevice: there is none, or it cannot be opened.
        """
        ...

    def stop(self) -> None:
        """Close the microphone. Does nothing when it is closed."""
        ...

    @property
    def alive(self) -> bool:
        """Whether it is still there, as far as that can be told; a stall without a word is for `ReconnectingMicrophone`
        to notice."""
        ...
