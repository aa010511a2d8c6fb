"""What of the frames of an MP3 a decoder makes use of: LAME fills the room between with letters that nobody hears.

Source: ISO/IEC 11172-3, 2.4.1.7 and 2.4.2.7 (side information, the reservoir of bits); mono and stereo, no checksum.
"""

from collections.abc import Hashable, Sequence

from guide.export.audio.info_frame import SIDE_BYTES

HEAD_BYTES = 4
GRANULES = 2

#: Bits of the side information: where the frame's sound begins, counted back from its head; and what each granule of a
#: channel takes, of which the first are the length of its sound.
BEGIN_BITS = 9
GRANULE_BITS = 59
LENGTH_BITS = 12


def heard(packets: Sequence[bytes], channels: int) -> list[Hashable]:
    """The side information and the sound of each frame of a stream, which is like no other where it begins earlier."""
    start = HEAD_BYTES + SIDE_BYTES[channels]
    reservoir = b"".join(packet[start:] for packet in packets)
    found: list[Hashable] = []
    room_before = 0
    for packet in packets:
        side = int.from_bytes(packet[HEAD_BYTES:start])
        first = room_before - (side >> SIDE_BYTES[channels] * 8 - BEGIN_BITS)
        room_before += len(packet) - start
        found.append(object() if first < 0 else (packet[:start], _bits(reservoir[first:], _sound_bits(side, channels))))
    return found


def _sound_bits(side: int, channels: int) -> int:
    """How many bits the sound of a frame has; the fields of the granules are the last ones."""
    parts = GRANULES * channels
    lengths = (side >> (part + 1) * GRANULE_BITS - LENGTH_BITS for part in range(parts))
    return sum(length & (1 << LENGTH_BITS) - 1 for length in lengths)


def _bits(data: bytes, count: int) -> int:
    size = -(-count // 8)
    return int.from_bytes(data[:size]) >> size * 8 - count
