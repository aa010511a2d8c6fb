"""Ogg Vorbis through libsndfile."""

import soundfile

from guide.export.audio.base import CHANNELS, Frames, Writable
from guide.export.audio.ogg_pages import OggPages
from guide.export.audio.vorbis_comment import check_chapter_count, comment_with_cover, vendor_of
from guide.export.tags import Tags
from guide.units import RATE_HZ

#: libsndfile takes 1 − quality; quality 0.4 is Vorbis q4, nominally 128 kb/s in stereo (from memory).
LEVEL = 0.6

COMMENT_START = b"\x03vorbis"


class VorbisEncoder:
    """Vorbis at quality 4, variable bit rate."""

    def __init__(self, sink: Writable, tags: Tags, channels: int = CHANNELS) -> None:
        check_chapter_count(tags)
        pages = OggPages(sink, 3, lambda packet: comment_packet(packet, tags))
        self._file = soundfile.SoundFile(pages, "w", RATE_HZ, channels, "VORBIS", format="OGG", compression_level=LEVEL)

    def write(self, frames: Frames) -> None:
        self._file.write(frames)

    def finish(self) -> None:
        self._file.close()

    def abandon(self) -> None:
        self._file.close()


def comment_packet(old: bytes, tags: Tags) -> bytes:
    """The second packet of the stream with our tags, ended by its framing bit (Source: Vorbis I, section 5)."""
    return COMMENT_START + comment_with_cover(vendor_of(old[len(COMMENT_START) :]), tags) + b"\x01"
