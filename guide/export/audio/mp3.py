"""MP3 by LAME, with the head frame that tells players where the sound really begins and ends."""

from collections.abc import Sequence
from functools import partial

import lameenc
import numpy as np

from guide.export.audio.base import CHANNELS, Frames, Writable
from guide.export.audio.crc16 import FrameCrc
from guide.export.audio.id3 import id3_tag
from guide.export.audio.info_frame import CHANNEL_BYTES, KBITS_A_CHANNEL, SAMPLES_A_FRAME, info_frame
from guide.export.audio.mp3_frames import heard
from guide.export.audio.stretches import PacketFormat, Stretches
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
        way = PacketFormat(SAMPLES_A_FRAME, lambda first: _Lame(channels), partial(heard, channels=channels), None)
        self._stretches = Stretches(way, self._emit)
        self._frame_bytes = CHANNEL_BYTES * channels
        self._crc = FrameCrc(self._frame_bytes)
        self._samples = 0
        self._bytes = 0
        tag = id3_tag(tags)
        self._info_place = len(tag)
        sink.write(tag + info_frame(0, 0, 0, channels))

    def write(self, frames: Frames) -> None:
        self._samples += len(frames)
        self._stretches.write(frames)

    def finish(self) -> None:
        self._stretches.finish()
        frames = self._bytes // self._frame_bytes
        self._sink.seek(self._info_place)
        self._sink.write(info_frame(frames, self._samples, self._crc.value, self._channels))

    def abandon(self) -> None:
        self._stretches.abandon()

    def _emit(self, packets: Sequence[bytes]) -> None:
        data = b"".join(packets)
        self._sink.write(data)
        self._crc.add(np.frombuffer(data, np.uint8))
        self._bytes += len(data)


class _Lame:
    """LAME for one stretch of sound; its packets are the frames of the file."""

    def __init__(self, channels: int) -> None:
        self._lame = _lame(channels)
        self._frame_bytes = CHANNEL_BYTES * channels
        self._rest = b""

    def encode(self, frames: Frames) -> list[bytes]:
        return self._whole(self._lame.encode(_lifted(frames).tobytes()))

    def flush(self) -> list[bytes]:
        packets = self._whole(self._lame.flush())
        if self._rest:
            raise RuntimeError(f"LAME left {len(self._rest)} bytes that are no frame")
        return packets

    def _whole(self, data: bytes | bytearray) -> list[bytes]:
        size, waiting = self._frame_bytes, self._rest + data
        packets = [waiting[at : at + size] for at in range(0, len(waiting) - size + 1, size)]
        self._rest = waiting[len(packets) * size :]
        return packets


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
