"""Encoding through PyAV, which carries FFmpeg's libraries."""

from fractions import Fraction
from typing import cast

import av
from av.audio.stream import AudioStream

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


class AvEncoder:
    """One stream of `codec` in a `container`, with the tags where the container takes them."""

    def __init__(
        self, sink: Writable, container: str, codec: str, bits_a_channel: int, channels: int, tags: Tags | None = None
    ) -> None:
        self._layout = "mono" if channels == 1 else "stereo"
        options = OPTIONS | (M4A_OPTIONS if container == M4A else {})
        cover = None if tags is None else tags.cover
        if cover is not None:
            container, options = WITH_COVER, options | BRAND
        self._container = av.open(sink, "w", format=container, container_options=options)
        self._stream = cast(AudioStream, self._container.add_stream(codec, rate=RATE_HZ, layout=self._layout))
        self._stream.bit_rate = bits_a_channel * channels
        self._stream.codec_context.flags |= av.codec.context.Flags.bitexact
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
        frame = av.AudioFrame.from_ndarray(frames.reshape(1, -1), format="s16", layout=self._layout)
        frame.sample_rate = RATE_HZ
        frame.time_base = Fraction(1, RATE_HZ)
        frame.pts = self._position
        self._position += len(frames)
        self._container.mux(self._stream.encode(frame))

    def finish(self) -> None:
        self._container.mux(self._stream.encode(None))
        self._container.close()

    def abandon(self) -> None:
        self._container.close()


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
