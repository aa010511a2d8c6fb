"""Input devices whose events a test writes: evdev's own reading, fed through a pipe with what the kernel would write.

Imported only by tests that are run where evdev is installed.
"""

import errno
import os
import struct
from collections.abc import Iterator

from evdev import InputEvent, ecodes
from evdev.eventio import EventIO


class Wire(EventIO):
    """An input device whose events the test writes; the reading is evdev's own."""

    def __init__(self) -> None:
        self.fd, self._other = os.pipe()
        self.grabbed = self.closed = False

    def send(self, code: int, *values: int, kind: int = ecodes.EV_KEY) -> None:
        """Write events as the kernel does, all at once: the reader may hang up after the first.

        Source: struct input_event of linux/input.h.
        """
        pressed = [struct.pack("@llHHi", 1, 0, kind, code, value) for value in values]
        told = struct.pack("@llHHi", 1, 0, ecodes.EV_SYN, ecodes.SYN_REPORT, 0)
        os.write(self._other, b"".join(one + told for one in pressed))

    def unplug(self) -> None:
        os.close(self._other)

    def grab(self) -> None:
        self.grabbed = True

    def close(self) -> None:
        if not self.closed:
            os.close(self.fd)
        self.closed = True


class Gone(Wire):
    """A device that is gone as the kernel tells it."""

    def read(self) -> Iterator[InputEvent]:
        raise OSError(errno.ENODEV, os.strerror(errno.ENODEV))


class Taken(Wire):
    """A device that another program has grabbed."""

    def grab(self) -> None:
        raise OSError(errno.EBUSY, os.strerror(errno.EBUSY))
