"""What every format of sound file has in common, and how to add one."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import BinaryIO, Protocol, TypeAlias

import numpy as np
from numpy.typing import NDArray

from guide.export.tags import Tags

#: Frames of finished sound, shape (n, channels), as 16-bit numbers.
Frames: TypeAlias = NDArray[np.int16]

#: How many a file has where nothing is said: left and right. One holds the same sound in half the size.
CHANNELS = 2


class Encoder(Protocol):
    """Turns frames into the bytes of one file.

    To add a format: write a file beside this one with a class that has these three methods and is made from a sink, the
    tags and the number of channels, 1 or 2, and put it into `AUDIO` in `guide/export/audio/__init__.py` under its
    suffix. Bytes go to the sink, which never raises: it keeps the first error and swallows what comes after, so that no
    library has to survive a full disk. The bytes may depend on nothing but the frames and the tags: no clock, no random
    serial number. All but making the encoder happens in a thread of its own. What has packets of one length, in which
    encoders soon agree, can be encoded on all cores: see `stretches.py`.
    """

    def write(self, frames: Frames) -> None:
        """Encode the next piece of the sound; every piece but the last has the same length, a third of a second."""

    def finish(self) -> None:
        """Write what is still inside and whatever the head of the file could not know before."""

    def abandon(self) -> None:
        """Let go of everything after an error; the file is thrown away."""


class Sink:
    """A file to write to that keeps its first error instead of raising it."""

    def __init__(self, file: BinaryIO) -> None:
        self._file = file
        self.failure: OSError | None = None

    def write(self, data: bytes | bytearray | memoryview) -> int:
        """Write, unless there was an error before; the length of `data`."""
        if self.failure is None:
            try:
                self._file.write(data)
            except OSError as error:
                self.failure = error
        return len(data)

    def seek(self, offset: int, whence: int = 0) -> int:
        """Go to a place, from the start (0), here (1) or the end (2); the place reached."""
        if self.failure is None:
            try:
                return self._file.seek(offset, whence)
            except OSError as error:
                self.failure = error
        return offset

    def tell(self) -> int:
        """The place in the file; 0 after an error."""
        return self._file.tell() if self.failure is None else 0

    def close(self) -> None:
        """Hand the last bytes to the system and close the file.

        Raises: OSError, the first error met since the file was opened.
        """
        try:
            self._file.close()
        except OSError as error:
            self.failure = self.failure or error
        self.check()

    def check(self) -> None:
        """Raises: OSError, the first error met, if there was one."""
        if self.failure is not None:
            raise self.failure


class Writable(Protocol):
    """What an encoder writes to: a sink, or something that looks like one."""

    def write(self, data: bytes | bytearray | memoryview) -> int:
        """Write all of `data`; its length."""
        ...

    def seek(self, offset: int, whence: int = 0) -> int:
        """Go to a place, from the start (0), here (1) or the end (2); the place reached."""
        ...

    def tell(self) -> int:
        """The place in the file."""
        ...


@dataclass(frozen=True, slots=True)
class AudioFormat:
    """A format of sound file: its name for people, what makes its encoder, and how far true peaks may be higher when
    it is decoded, which is 0 where nothing is lost; `has_cover` tells whether it has a place for a picture.

    `start` raises MachineTrouble, naming the line to type, where a library is missing.
    """

    name: str
    start: Callable[[Writable, Tags, int], Encoder]
    overshoot_db: float = 0.0
    has_cover: bool = True
