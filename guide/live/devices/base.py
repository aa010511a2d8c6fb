"""The seam between a class that is led and something that is pressed."""

from collections.abc import Callable
from typing import Protocol

#: Called with the name of a key (see `guide.live.keys`), once for each press, from a thread of the device's own.
Press = Callable[[str], None]


class Device(Protocol):
    """Something to press. To add one, write a module with a class like this.

    A device tells a press from a key held down itself, so what it calls is done as it comes.
    """

    name: str

    def start(self, press: Press) -> None:
        """Open the device, and call `press` for every press from now on.

        Raises:
            MachineTrouble: there is no such device, it cannot be opened, or the library for it is missing.
        """
        ...

    def stop(self) -> None:
        """Close the device; it presses nothing any more. Does nothing when it is closed."""
        ...
