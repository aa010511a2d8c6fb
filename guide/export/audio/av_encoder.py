"""Encoding through PyAV, which carries FFmpeg's libraries."""

from collections.abc import Sequence
from fractions import Fraction
from typing import Any, TypeAlias, cast

import av
import numpy as np
from av.audio.codeccontext import AudioCodecContext
from av.audio.stream import AudioStream
from av.packet import Packet

from guide.export.audio.base import Frames, Writable
from guide.export.cover_image import CoverImage
from guide.export.tags import Tags, one_line
from guide.units import RATE_HZ

#: Keeps the library's name, random numbers and the clock out of the file; and in an M4A counts the length of the sound
#: in frames, where the library's own milliseconds would leave up to a millisecond too much at the end.
OPTIONS = {"fflags": "+bitexact"}
M4A_OPTIONS = {"movie_timescale": str(RATE_HZ)}

#: The library's own way to write an M4A refuses pictures; written as an MP4, it says by its brand that it is one.
M4A, WITH_COVER = "ipod", "mp4"
BRAND = {"brand": "M4A "}

AvPacket: TypeAlias = "Packet[Any]"


class AvEncoder:
    """One stream of `codec` in a `container`, with the tags where the container takes them."""

    def __init__(
        self, sink: Writable, container: str, codec: str, bits_a_channel: int, channels: int, tags: Tags | None = None
    ) -> None:
        options = OPTIONS | (M4A_OPTIONS if container == M4A else {})
        cover = None if tags is None else tags.cover
        if cover is not None:
            container, options = WITH_COVER, options | BRAND
        self._container = av.open(sink, "w", format=container, container_options=options)
        self._stream = cast(AudioStream, self._container.add_stream(codec, rate=RATE_HZ, layout=_layout(channels)))
        _set(self._stream.codec_context, bits_a_channel, channels)
        self._position = 0
        if tags is not None:
            self._container.metadata.update(_texts(tags))
            self._container.set_chapters(_chapters(tags))
        if cover is not None:
            self._add_cover(cover)

    def _add_cover(self, cover: CoverImage) -> None:
        """The picture, as a stream that the container keeps among its tags."""
        codec = {"image/png": "png", "image/jpeg": "mjpeg"}[cover.media_type]
        stream = self._container.add_mux_stream(codec, width=cover.wide_px, height=cover.high_px)
        stream.disposition = av.stream.Disposition.attached_pic
        packet = av.Packet(cover.data)
        packet.stream, packet.time_base = stream, Fraction(1, RATE_HZ)
        packet.pts = packet.dts = 0
        packet.is_keyframe = True
        self._container.mux(packet)

    def write(self, frames: Frames) -> None:
        self._container.mux(self._stream.encode(_av_frame(frames, self._position)))
        self._position += len(frames)

    def finish(self) -> None:
        self._container.mux(self._stream.encode(None))
        self._container.close()

    def abandon(self) -> None:
        self._container.close()

    def mux(self, packets: Sequence[AvPacket]) -> None:
        """Write packets of other encoders of the same kind, made of the sound that would be next."""
        for packet in packets:
            packet.stream = self._stream
            self._container.mux(packet)


class AvPackets:
    """An encoder without a file, for the sound from `first_frame` on."""

    def __init__(self, codec: str, sample_format: str, bits_a_channel: int, channels: int, first_frame: int) -> None:
        self._context = cast(AudioCodecContext, av.CodecContext.create(codec, "w"))
        self._context.sample_rate = RATE_HZ
        self._context.layout = _layout(channels)
        self._context.format = sample_format
        _set(self._context, bits_a_channel, channels)
        self._first = first_frame
        self._position = 0

    def encode(self, frames: Frames) -> list[AvPacket]:
        frame = _av_frame(frames, self._position)
        self._position += len(frames)
        return self._placed(self._context.encode(frame))

    def flush(self) -> list[AvPacket]:
        return self._placed(self._context.encode(None))

    def _placed(self, packets: list[AvPacket]) -> list[AvPacket]:
        # What the encoder puts before its sound depends on its first frame being at 0.
        for packet in packets:
            packet.pts = packet.dts = (packet.pts or 0) + self._first
        return packets


def _set(context: AudioCodecContext, bits_a_channel: int, channels: int) -> None:
    context.bit_rate = bits_a_channel * channels
    context.flags |= av.codec.context.Flags.bitexact


def _layout(channels: int) -> str:
    return "mono" if channels == 1 else "stereo"


def _av_frame(frames: Frames, position: int) -> av.AudioFrame:
    layout = _layout(frames.shape[1])
    frame = av.AudioFrame.from_ndarray(np.ascontiguousarray(frames).reshape(1, -1), format="s16", layout=layout)
    frame.sample_rate = RATE_HZ
    frame.time_base = Fraction(1, RATE_HZ)
    frame.pts = position
    return frame


def _texts(tags: Tags) -> dict[str, str]:
    texts = {
        "title": tags.title,
        "artist": tags.by,
        "album": tags.album,
        "track": tags.track,
        "date": tags.date,
        "comment": tags.comment,
        "encoding_tool": tags.made_by,
    }
    return {name: one_line(text) for name, text in texts.items() if text}


def _chapters(tags: Tags) -> list["av.container.core.Chapter"]:
    return [
        {
            "id": number,
            "start": chapter.start_ms,
            "end": chapter.end_ms,
            "time_base": Fraction(1, 1000),
            "metadata": {"title": one_line(chapter.title)},
        }
        for number, chapter in enumerate(tags.chapters)
    ]
