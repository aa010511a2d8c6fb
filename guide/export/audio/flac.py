"""FLAC through libsndfile, with the tags put in while the head passes by."""

import soundfile

from guide.export.audio.base import CHANNELS, Frames, Writable
from guide.export.audio.vorbis_comment import check_chapter_count, vendor_of, vorbis_comment
from guide.export.cover_image import picture_block
from guide.export.tags import Tags
from guide.units import RATE_HZ

#: `fLaC`, then the block STREAMINFO with its own head (Source: RFC 9639, sections 6, 8.1 and 8.2).
STREAMINFO_END = 4 + 4 + 34

VORBIS_COMMENT, PICTURE = 4, 6
LAST_BLOCK = 0x80


class FlacEncoder:
    """16-bit FLAC at libFLAC's default compression (level 5 of 8)."""

    def __init__(self, sink: Writable, tags: Tags, channels: int = CHANNELS) -> None:
        check_chapter_count(tags)
        head = TaggedHead(sink, tags)
        self._file = soundfile.SoundFile(head, "w", RATE_HZ, channels, "PCM_16", format="FLAC")

    def write(self, frames: Frames) -> None:
        self._file.write(frames)

    def finish(self) -> None:
        self._file.close()

    def abandon(self) -> None:
        self._file.close()


class TaggedHead:
    """Passes a FLAC file on to a sink, with the comment block of its head exchanged for one with our tags.

    To the encoder the file looks as if nothing had been exchanged, so that it finds its way back to STREAMINFO, the
    only block that it mends at the end.
    """

    def __init__(self, sink: Writable, tags: Tags) -> None:
        self._sink = sink
        self._tags = tags
        self._head: bytes | None = b""
        self._shift = 0

    def write(self, data: bytes | bytearray | memoryview) -> int:
        if self._head is None:
            return self._sink.write(data)
        self._head += bytes(data)
        comment = whole_comment(self._head)
        if comment is not None:
            new = _exchanged(self._head, comment, self._tags)
            self._sink.write(new)
            self._shift = len(new) - len(self._head)
            self._head = None
        return len(data)

    def seek(self, offset: int, whence: int = 0) -> int:
        """Go to a place of the file as the encoder knows it."""
        if self._head is not None:
            return len(self._head)
        if whence == 0 and offset >= STREAMINFO_END:
            offset += self._shift
        self._sink.seek(offset, whence)
        return self.tell()

    def tell(self) -> int:
        """The place in the file as the encoder knows it."""
        if self._head is not None:
            return len(self._head)
        real = self._sink.tell()
        return real - self._shift if real >= STREAMINFO_END else real


def whole_comment(head: bytes) -> bytes | None:
    """The content of the comment block of a FLAC file's head, or None while the head is not complete."""
    place = 4
    comment = b""
    while place + 4 <= len(head):
        kind, size = head[place], int.from_bytes(head[place + 1 : place + 4])
        content = head[place + 4 : place + 4 + size]
        if len(content) < size:
            return None
        if kind & ~LAST_BLOCK == VORBIS_COMMENT:
            comment = content
        if kind & LAST_BLOCK:
            return comment
        place += 4 + size
    return None


def _exchanged(head: bytes, comment: bytes, tags: Tags) -> bytes:
    content = vorbis_comment(vendor_of(comment), tags)
    streaminfo = head[:4] + bytes([head[4] & ~LAST_BLOCK]) + head[5:STREAMINFO_END]
    blocks = [(VORBIS_COMMENT, content)]
    if tags.cover is not None:
        blocks.append((PICTURE, picture_block(tags.cover)))
    kinds = [kind | (LAST_BLOCK if number == len(blocks) else 0) for number, (kind, _) in enumerate(blocks, 1)]
    return streaminfo + b"".join(
        bytes([kind]) + len(block).to_bytes(3) + block for kind, (_, block) in zip(kinds, blocks, strict=True)
    )
