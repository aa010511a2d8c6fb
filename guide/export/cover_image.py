"""The picture that a sound file bears: what it is, and how FLAC and Ogg hold it."""

import struct
from dataclasses import dataclass

from guide.problem import UnusableChoice

#: Players want it small, and what says that the program made the file has to stand near the end of an M4A.
MOST_BYTES = 1_000_000

#: "Cover (front)" (Source: ID3v2.3.0, 4.15, whose numbers FLAC has too).
FRONT_COVER = 3

_PNG, _JPEG = b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff"

#: The markers of JPEG that begin a frame, which has the size (Source: ITU-T T.81, table B.1).
_FRAMES = {*range(0xC0, 0xD0)} - {0xC4, 0xC8, 0xCC}


@dataclass(frozen=True, slots=True)
class CoverImage:
    """A picture as it lies in a file, PNG or JPEG, with its size in dots."""

    data: bytes
    media_type: str
    wide_px: int
    high_px: int


def read_cover(data: bytes) -> CoverImage:
    """The picture that is in these bytes.

    Raises:
        UnusableChoice: they are no PNG or JPEG, or too many.
    """
    if len(data) > MOST_BYTES:
        raise UnusableChoice(f"the cover has {len(data) / 1e6:.1f} MB (make it smaller: 1 MB at most)")
    size = _size(data)
    if size is None:
        raise UnusableChoice("the cover is no PNG or JPEG that can be read (give a file of one of these)")
    return CoverImage(data, "image/png" if data.startswith(_PNG) else "image/jpeg", *size)


def _size(data: bytes) -> tuple[int, int] | None:
    """How wide and high a PNG (W3C PNG, 11.2.1) or a JPEG (ITU-T T.81, B.2.2) is; None where it is neither."""
    if data.startswith(_PNG) and len(data) >= 24:
        return int.from_bytes(data[16:20]), int.from_bytes(data[20:24])
    place = 2 if data.startswith(_JPEG) else len(data)
    while place + 9 <= len(data) and data[place] == 0xFF:
        if data[place + 1] in _FRAMES:
            return int.from_bytes(data[place + 7 : place + 9]), int.from_bytes(data[place + 5 : place + 7])
        place += 2 + int.from_bytes(data[place + 2 : place + 4])
    return None


def picture_block(image: CoverImage) -> bytes:
    """The content of a picture block of FLAC, its colours left unsaid (Source: RFC 9639, section 8.8)."""
    media_type = image.media_type.encode()
    head = struct.pack(">II", FRONT_COVER, len(media_type)) + media_type
    return head + struct.pack(">IIIIII", 0, image.wide_px, image.high_px, 0, 0, len(image.data)) + image.data
