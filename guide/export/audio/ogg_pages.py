"""Ogg pages on their way to a file: our tags put in, the random serial number made a fixed one.

Source: RFC 3533 (pages, lacing, checksum).
"""

import struct
import zlib
from collections.abc import Callable
from dataclasses import dataclass
from typing import ClassVar

from guide.export.audio.base import Writable

#: Any number will do for a file with one stream, if it is always the same.
SERIAL = 0x6775_6964

HEAD_BYTES = 27
MOST_SEGMENTS = 255
FIRST_PAGE = 0x02
CONTINUED = 0x01

_BITS_TURNED = bytes(int(f"{number:08b}"[::-1], 2) for number in range(256))


@dataclass(frozen=True, slots=True)
class Page:
    """One page: its flags, the position in the sound that it ends at, the lengths of its segments, its content."""

    flags: int
    granule: int
    lacing: bytes
    content: bytes

    #: Position of a page on which no packet ends.
    NO_END: ClassVar[int] = -1


def page_bytes(page: Page, number: int) -> bytes:
    """The page as it stands in the file, as number `number` of the stream."""
    head = struct.pack("<4sBBqII", b"OggS", 0, page.flags, page.granule, SERIAL, number)
    count = bytes([len(page.lacing)])
    body = count + page.lacing + page.content
    return head + struct.pack("<I", checksum(head + bytes(4) + body)) + body


def checksum(page: bytes) -> int:
    """The checksum of a page whose checksum field is zero.

    It is the CRC-32 of zlib with every bit order turned round, starting from 0, so zlib can do the work.
    """
    turned = zlib.crc32(page.translate(_BITS_TURNED), 0xFFFF_FFFF) ^ 0xFFFF_FFFF
    return int.from_bytes(turned.to_bytes(4, "little").translate(_BITS_TURNED))


def take_page(waiting: bytearray) -> Page | None:
    """Remove the first page from `waiting` and return it, or None while it is not complete."""
    if len(waiting) < HEAD_BYTES or len(waiting) < (start := HEAD_BYTES + waiting[HEAD_BYTES - 1]):
        return None
    lacing = bytes(waiting[HEAD_BYTES:start])
    end = start + sum(lacing)
    if len(waiting) < end:
        return None
    _, _, flags, granule = struct.unpack_from("<4sBBq", waiting)
    page = Page(flags, granule, lacing, bytes(waiting[start:end]))
    del waiting[:end]
    return page


def pages_from_packets(packets: list[bytes]) -> list[Page]:
    """Head packets as pages that hold nothing else; their position in the sound is 0."""
    lacing = b"".join(bytes([255] * (len(packet) // 255) + [len(packet) % 255]) for packet in packets)
    content = b"".join(packets)
    pages = []
    continued = False
    for start in range(0, len(lacing), MOST_SEGMENTS):
        part = lacing[start : start + MOST_SEGMENTS]
        granule = 0 if any(size < 255 for size in part) else Page.NO_END
        pages.append(Page(CONTINUED if continued else 0, granule, part, content[: sum(part)]))
        content = content[sum(part) :]
        continued = part[-1] == 255
    return pages


class OggPages:
    """Passes the pages of one stream on to a sink, with the second of its head packets exchanged.

    `head_packets` is how many packets stand before the sound; `exchange` makes the new second packet from the old.
    """

    def __init__(self, sink: Writable, head_packets: int, exchange: Callable[[bytes], bytes]) -> None:
        self._sink = sink
        self._head_packets = head_packets
        self._exchange = exchange
        self._waiting = bytearray()
        self._packets: list[bytes] = []
        self._open_packet = b""
        self._written = 0
        self._number = 0

    def write(self, data: bytes | bytearray | memoryview) -> int:
        self._waiting += data
        self._written += len(data)
        while (page := take_page(self._waiting)) is not None:
            if len(self._packets) < self._head_packets:
                self._take_head(page)
            else:
                self._pass_on(page)
        return len(data)

    def seek(self, offset: int, whence: int = 0) -> int:
        """Stay: an Ogg file is written from front to back."""
        return self._written

    def tell(self) -> int:
        """How much was written to it."""
        return self._written

    def _take_head(self, page: Page) -> None:
        place = 0
        for size in page.lacing:
            self._open_packet += page.content[place : place + size]
            place += size
            if size < 255:
                self._packets.append(self._open_packet)
                self._open_packet = b""
        if len(self._packets) == self._head_packets:
            first, second, *rest = self._packets
            self._pass_on(Page(FIRST_PAGE, 0, bytes([len(first)]), first))
            for new in pages_from_packets([self._exchange(second), *rest]):
                self._pass_on(new)

    def _pass_on(self, page: Page) -> None:
        self._sink.write(page_bytes(page, self._number))
        self._number += 1
