"""Opus: through PyAV where it is installed (four times as fast), else through libsndfile.

Both are libopus; the bytes differ from one machine to another with the way, and are always the same on one machine.
"""

import importlib.util

import soundfile

from guide.export.audio.base import CHANNELS, Encoder, Frames, Writable
from guide.export.audio.ogg_pages import OggPages
from guide.export.audio.vorbis_comment import check_chapter_count, comment_with_cover, vendor_of
from guide.export.tags import Tags
from guide.units import RATE_HZ

BITS_A_CHANNEL = 64_000

#: libsndfile's way to say it: each channel gets 6 + 250 · (1 − level) kb/s (Source: its ogg_opus.c).
LEVEL = 1 - (BITS_A_CHANNEL - 6_000) / 250_000

COMMENT_START = b"OpusTags"


def start(sink: Writable, tags: Tags, channels: int = CHANNELS) -> Encoder:
    """The faster of the encoders that this machine has."""
    if importlib.util.find_spec("av") is None:
        return SndfileOpusEncoder(sink, tags, channels)
    return av_opus_encoder(sink, tags, channels)


def av_opus_encoder(sink: Writable, tags: Tags, channels: int = CHANNELS) -> Encoder:
    """Opus by PyAV, in Ogg pages of our own."""
    from guide.export.audio.av_encoder import AvEncoder

    return AvEncoder(opus_pages(sink, tags), "ogg", "libopus", BITS_A_CHANNEL, channels)


class SndfileOpusEncoder:
    """Opus by libsndfile, variable bit rate."""

    def __init__(self, sink: Writable, tags: Tags, channels: int = CHANNELS) -> None:
        self._file = soundfile.SoundFile(
            opus_pages(sink, tags), "w", RATE_HZ, channels, "OPUS", format="OGG", compression_level=LEVEL
        )

    def write(self, frames: Frames) -> None:
        self._file.write(frames)

    def finish(self) -> None:
        self._file.close()

    def abandon(self) -> None:
        self._file.close()


def opus_pages(sink: Writable, tags: Tags) -> OggPages:
    """The way to the sink that puts our tags in (Source: RFC 7845, section 5.2)."""
    check_chapter_count(tags)
    return OggPages(sink, 2, lambda old: COMMENT_START + comment_with_cover(vendor_of(old[len(COMMENT_START) :]), tags))
