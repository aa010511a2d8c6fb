"""The seam between the player and a sound card."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from guide.live.device_errors import NoDevice
from guide.live.speakers.sound_server import ServerSink
from guide.units import frames_from_ms

#: Asked for so many frames, gives them: float32, shape (frames, 2), at 48 kHz. Called from a thread of the output's
#: own; it never blocks and never raises.
Pull = Callable[[int], NDArray[np.float32]]

#: A sound server may swallow the first moment of a stream (measured with PulseAudio: up to 19 ms of it).
SWALLOWED_FRAMES = frames_from_ms(50)

#: What to do where a library is there and finds nothing to play on.
CONNECT = "connect a loudspeaker and switch it on"

#: How much sound is kept ahead of what is heard, when nobody says how much.
BUFFER_MS = 50

#: How much is kept ahead where the device runs dry, step by step. (What was played ahead cannot be paused any more.)
WIDTHS_MS = (50, 150, 400)


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is asked for: an output by its name (None is the first that opens), part of the name of a device (the usual
    one, where that is empty), and how much sound is kept ahead."""

    output: str | None = None
    device: str = ""
    buffer_ms: int = BUFFER_MS


#: What is wanted by those who say nothing.
USUAL = Wanted()


class Loudspeaker(Protocol):
    """A way to a loudspeaker. To add one, write a module with a class like this, and name it in `SPEAKERS`.

    `latency_ms` is about how long it takes from a frame being pulled until it is heard; `widens` tells whether it keeps
    as much ahead as is wanted, and so runs dry less. Nothing that its library says by itself reaches the terminal while
    it opens (see `quiet_stderr`), and a frame that was pulled is lost only when the device goes or the output is
    stopped.
    """

    name: str
    latency_ms: int
    widens: bool

    def start(self, pull: Pull, wanted: Wanted = USUAL) -> None:
        """Open the device and begin to pull; what was stopped can be started again, on the devices of that moment.

        Raises:
            NoDevice: there is no device, or none of that name, or it cannot be opened.
        """
        ...

    def devices(self) -> tuple[str, ...]:
        """The names of the devices that it can choose between; none where it cannot.

        Raises:
            NoDevice: it has no library or no program to ask.
        """
        ...

    def sink(self) -> ServerSink | None:
        """Where the sound server plays it just now; None where that cannot be told. It may take a moment."""
        ...

    def stop(self) -> None:
        """Close the device; what was pulled and not heard yet may be lost. Does nothing when it is closed."""
        ...

    @property
    def alive(self) -> bool:
        """Whether the device is still there, as far as the output can tell; a stall without a word is the player's to
        notice."""
        ...


def chosen(part: str, devices: Sequence[str], output: str) -> int:
    """The number of the device with `part` in its name, whatever its case; one of exactly that name goes first.

    Raises:
        NoDevice: there is none, or more than one; it says which there are.
    """
    asked, names = part.casefold(), [device.casefold() for device in devices]
    found = [number for number, name in enumerate(names) if name == asked]
    found = found[:1] or [number for number, name in enumerate(names) if asked in name]
    if len(found) == 1:
        return found[0]
    there = ", ".join(f"`{devices[number]}`" for number in found or range(len(devices))) or "none"
    if found:
        raise NoDevice(f"{output} finds more than one device with `{part}` in its name", f"choose one of {there}")
    raise NoDevice(f"{output} finds no device with `{part}` in its name", f"there are {there}")


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
