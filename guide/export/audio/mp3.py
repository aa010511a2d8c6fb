"""MP3 by LAME, with the head frame that tells players where the sound really begins and ends."""

import lameenc
import numpy as np

from guide.export.audio.base import CHANNELS, Frames, Writable
from guide.export.audio.crc16 import FrameCrc
from guide.export.audio.id3 import id3_tag
from guide.export.audio.info_frame import CHANNEL_BYTES, KBITS_A_CHANNEL, info_frame
from guide.export.tags import Tags
from guide.units import RATE_HZ

#: LAME's own default: 0 is slowest and best, 9 fastest.
QUALITY = 3


#: LAME turns everything down by this factor at 128 kb/s (its preset for that rate; measured by correlating what went in
#: with what FFmpeg decodes: 0.9499). It is given back beforehand, so that a class is as loud as its WAV.
LAME_SCALE = 0.95


class Mp3Encoder:
    """MP3 at a constant 64 kb/s a channel: mono, or joint stereo.

    Constant, because then every player finds a minute in the file by counting bytes, to the frame; with a variable
    rate it goes by a table of a hundred entries, and lands seconds away in an hour.
    """

    def __init__(self, sink: Writable, tags: Tags, channels: int = CHANNELS) -> None:
        self._sink = sink
        self._channels = channels
        self._lame = _lame(channels)
        self._frame_bytes = CHANNEL_BYTES * channels
        self._crc = FrameCrc(self._frame_bytes)
        self._samples = 0
        self._bytes = 0
        tag = id3_tag(tags)
        self._info_place = len(tag)
        sink.write(tag + info_frame(0, 0, 0, channels))

    def write(self, frames: Frames) -> None:
        self._samples += len(frames)
        self._emit(self._lame.encode(_lifted(frames).tobytes()))

    def finish(self) -> None:
        self._emit(self._lame.flush())
        frames, rest = divmod(self._bytes, self._frame_bytes)
        if rest:
            raise RuntimeError(f"LAME left {rest} bytes that are no frame")
        self._sink.seek(self._info_place)
        self._sink.write(info_frame(frames, self._samples, self._crc.value, self._channels))

    def abandon(self) -> None:
        """Nothing is held that would outlive this."""

    def _emit(self, data: bytes | bytearray) -> None:
        self._sink.write(data)
        self._crc.add(np.frombuffer(data, np.uint8))
        self._bytes += len(data)


def _lifted(frames: Frames) -> Frames:
    """The frames louder by what LAME takes away; what would pass full scale stays there."""
    louder = np.multiply(frames, 1 / LAME_SCALE, dtype=np.float32)
    np.rint(louder, out=louder)
    np.clip(louder, -32768, 32767, out=louder)
    return louder.astype(np.int16)


def _lame(channels: int) -> "lameenc.Encoder":
    encoder = lameenc.Encoder()
    encoder.silence()
    encoder.set_channels(channels)
    encoder.set_in_sample_rate(RATE_HZ)
    encoder.set_out_sample_rate(RATE_HZ)
    encoder.set_bit_rate(KBITS_A_CHANNEL * channels)
    encoder.set_quality(QUALITY)
    return encoder
