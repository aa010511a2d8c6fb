"""The head frame of an MP3: how many frames follow, and how much of them is not sound.

Source: LAME 3.100, libmp3lame/VbrTag.c; the "MP3 Info Tag" notes of its project.
"""

import struct

from guide.export.audio.base import CHANNELS
from guide.export.audio.crc16 import crc16

SAMPLES_A_FRAME = 1152
KBITS_A_CHANNEL = 64

#: 144 · 64,000 / 48,000: at 48 kHz every frame of one rate has the same length.
CHANNEL_BYTES = 192

#: MPEG-1 layer III, no checksum, 48 kHz, by channels: 64 kb/s, mono; 128 kb/s, joint stereo (Source: ISO/IEC 11172-3,
#: 2.4.2.3).
FRAME_HEADS = {1: b"\xff\xfb\x54\xc4", 2: b"\xff\xfb\x94\x44"}

#: Left empty: where a frame of sound tells how it is packed.
SIDE_BYTES = {1: 17, 2: 32}

#: LAME puts so many samples of silence before the sound; readers know that decoding adds 529 more.
DELAY_SAMPLES = 576

#: Fields present: frames, bytes, table of contents, quality.
ALL_FIELDS = 0x0F

TOC = bytes(entry * 256 // 100 for entry in range(100))

LOWPASS_HZ = {1: 16_500, 2: 17_000}
CONSTANT_RATE = 1
NO_SPEED_UP_ATH_4 = 4


def info_frame(frames: int, samples: int, music_crc: int, channels: int = CHANNELS) -> bytes:
    """The head frame before `frames` frames that hold `samples` samples a channel, with their checksum."""
    frame_bytes = CHANNEL_BYTES * channels
    stream_bytes = (frames + 1) * frame_bytes
    padding = max(frames * SAMPLES_A_FRAME - DELAY_SAMPLES - samples, 0)
    head = FRAME_HEADS[channels] + bytes(SIDE_BYTES[channels])
    counts = struct.pack(">4sIII100sI", b"Info", ALL_FIELDS, frames, stream_bytes, TOC, _quality())
    lame = struct.pack(
        ">9sBBIHHBB3sBBHIH",
        b"LAME3.100",
        CONSTANT_RATE,
        LOWPASS_HZ[channels] // 100,
        0,
        0,
        0,
        NO_SPEED_UP_ATH_4,
        KBITS_A_CHANNEL * channels,
        (DELAY_SAMPLES << 12 | padding).to_bytes(3),
        _stereo_and_rate(channels),
        0,
        0,
        stream_bytes,
        music_crc,
    )
    content = head + counts + lame
    return (content + struct.pack(">H", crc16(content))).ljust(frame_bytes, b"\0")


def _quality() -> int:
    """LAME's field: 100 − 10 · (place on its scale of variable rates, 4 by default) − the quality setting, 3."""
    return 100 - 10 * 4 - 3


def _stereo_and_rate(channels: int) -> int:
    """Mono or joint stereo (0 or 3 in bits 2 to 4), source at 48 kHz (2 in bits 6 and 7)."""
    return (3 if channels == CHANNELS else 0) << 2 | 2 << 6
