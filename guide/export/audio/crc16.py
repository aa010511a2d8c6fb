"""The 16-bit checksum that LAME's head frame carries, of itself and of all the frames after it.

Reflected polynomial 0xA001, starting from 0. Source: LAME 3.100, libmp3lame/VbrTag.c, `CRC_update_lookup`.
"""

import numpy as np
from numpy.typing import NDArray

POLYNOMIAL = 0xA001


def _table() -> NDArray[np.uint16]:
    values = np.arange(256, dtype=np.uint16)
    for _ in range(8):
        values = np.where(values & 1, (values >> 1) ^ np.uint16(POLYNOMIAL), values >> 1).astype(np.uint16)
    return values


TABLE = _table()


def crc16(data: bytes, value: int = 0) -> int:
    """The checksum of `data`, byte by byte, going on from `value`."""
    table = TABLE.tolist()
    for byte in data:
        value = value >> 8 ^ table[(value ^ byte) & 0xFF]
    return value


class FrameCrc:
    """The checksum of a stream of frames of equal length, a whole frame at a time in numpy.

    The checksum is linear: that of a frame is the exclusive or, over its bytes, of that byte followed by as many zeros
    as bytes follow it. So one look-up in a table of (place in the frame, byte) does what would take a loop.
    """

    def __init__(self, frame_bytes: int) -> None:
        self._frame_bytes = frame_bytes
        self._tables = _followed_by_zeros(frame_bytes)
        # Going on from a value is the same as that value laid over the first two bytes of the frame.
        self._low, self._high = self._tables[0].tolist(), self._tables[1].tolist()
        self._places = np.arange(frame_bytes)
        self._rest = np.zeros(0, np.uint8)
        self._value = 0

    @property
    def value(self) -> int:
        """The checksum of everything added so far."""
        return crc16(self._rest.tobytes(), self._value)

    def add(self, data: NDArray[np.uint8]) -> None:
        """Go on with `data`, shape (n,), cut anywhere."""
        waiting = np.concatenate((self._rest, data))
        whole = len(waiting) - len(waiting) % self._frame_bytes
        frames = waiting[:whole].reshape(-1, self._frame_bytes)
        self._rest = waiting[whole:]
        values = np.bitwise_xor.reduce(self._tables[self._places, frames], axis=1)
        for value in values.tolist():
            self._value = value ^ self._low[self._value & 0xFF] ^ self._high[self._value >> 8]


def _followed_by_zeros(frame_bytes: int) -> NDArray[np.uint16]:
    """Shape (frame_bytes, 256): the checksum of each byte at each place of a frame that is else all zeros."""
    tables = np.empty((frame_bytes, 256), np.uint16)
    tables[-1] = TABLE
    for place in range(frame_bytes - 2, -1, -1):
        after = tables[place + 1]
        tables[place] = after >> 8 ^ TABLE[after & 0xFF]
    return tables
