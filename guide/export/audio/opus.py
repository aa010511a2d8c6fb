"""Opus: through PyAV where it is installed (four times as fast), else through libsndfile.

Both are libopus; the bytes differ from one machine to another with the way, and are always the same on one machine.
"""

import importlib.util
from functools import partial

import soundfile

from guide.export.audio.base import CHANNELS, Encoder, Frames, Writable
from guide.export.audio.ogg_pages import OggPages
from guide.export.audio.stretches import PacketFormat, Stretches
from guide.export.audio.vorbis_comment import check_chapter_count, comment_with_cover, vendor_of
from guide.export.tags import Tags
from guide.units import RATE_HZ

BITS_A_CHANNEL = 64_000

CODEC = "libopus"

#: 20 ms at 48 kHz.
PACKET_FRAMES = 960

#: Two encoders of Opus do not always come to write the same. After 2 s they differ by about what either leaves out of
#: the sound, or less: in 12 cuts through words and music, by -56 to -140 dB of full scale.
SETTLED = 100

#: libsndfile's way to say it: each channel gets 6 + 250 · (1 − level) kb/s (Source: its ogg_opus.c).
LEVEL = 1 - (BITS_A_CHANNEL - 6_000) / 250_000

COMMENT_START = b"OpusTags"


def start(sink: Writable, tags: Tags, channels: int = CHANNELS) -> Encoder:
    """The faster of the encoders that this machine has."""
    if importlib.util.find_spec("av") is None:
        return SndfileOpusEncoder(sink, tags, channels)
    return AvOpusEncoder(sink, tags, channels)


class AvOpusEncoder:
    """Opus by PyAV, in Ogg pages of our own."""

    def __init__(self, sink: Writable, tags: Tags, channels: int = CHANNELS) -> None:
        from guide.export.audio.av_encoder import AvEncoder, AvPackets

        self._file = AvEncoder(opus_pages(sink, tags), "ogg", CODEC, BITS_A_CHANNEL, channels)
        start = partial(AvPackets, CODEC, "s16", BITS_A_CHANNEL, channels)
        self._stretches = Stretches(PacketFormat(PACKET_FRAMES, start, partial(map, bytes), SETTLED), self._file.mux)

    def write(self, frames: Frames) -> None:
        self._stretches.write(frames)

    def finish(self) -> None:
        self._stretches.finish()
        self._file.finish()

    def abandon(self) -> None:
        self._stretches.abandon()
        self._file.abandon()


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
