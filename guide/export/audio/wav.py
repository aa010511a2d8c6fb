"""WAV: 16-bit sound as it is, with title and sections as LIST and cue chunks after it."""

import struct

from guide.export.audio.base import CHANNELS, Frames, Writable
from guide.export.tags import Tags, one_line
from guide.units import RATE_HZ, frames_from_ms

SAMPLE_BYTES = 2

#: Largest number that a size in a RIFF file can hold; a larger file is an RF64 (Source: EBU Tech 3306).
LARGEST = 0xFFFF_FFFF

#: Size of the chunk that is room left for the large sizes of an RF64 (Source: EBU Tech 3306).
LARGE_SIZES_BYTES = 28


class WavEncoder:
    """Writes a RIFF file, or an RF64 once it is larger than 4 GB (6 hours)."""

    def __init__(self, sink: Writable, tags: Tags, channels: int = CHANNELS) -> None:
        self._sink = sink
        self._channels = channels
        self._tags = tags
        self._frames = 0
        self._sink.write(wav_head(0, 0, self._channels))

    def write(self, frames: Frames) -> None:
        self._sink.write(frames.tobytes())
        self._frames += len(frames)

    def finish(self) -> None:
        tail = info_chunk(self._tags) + section_chunks(self._tags)
        self._sink.write(tail)
        self._sink.seek(0)
        self._sink.write(wav_head(self._frames, len(tail), self._channels))

    def abandon(self) -> None:
        """Nothing is held."""


def wav_head(frames: int, tail_bytes: int, channels: int = CHANNELS) -> bytes:
    """Everything before the sound, for `frames` frames with `tail_bytes` bytes of chunks after them."""
    frame_bytes = SAMPLE_BYTES * channels
    sound_bytes = frames * frame_bytes
    fmt = struct.pack("<HHIIHH", 1, channels, RATE_HZ, RATE_HZ * frame_bytes, frame_bytes, 16)
    riff_bytes = 4 + (8 + LARGE_SIZES_BYTES) + (8 + len(fmt)) + 8 + sound_bytes + tail_bytes
    if riff_bytes <= LARGEST:
        name, room = b"RIFF", chunk(b"JUNK", bytes(LARGE_SIZES_BYTES))
    else:
        name, room = b"RF64", chunk(b"ds64", struct.pack("<QQQI", riff_bytes, sound_bytes, frames, 0))
    return b"".join(
        (
            name + struct.pack("<I", min(riff_bytes, LARGEST)) + b"WAVE",
            room,
            chunk(b"fmt ", fmt),
            b"data" + struct.pack("<I", sound_bytes if name == b"RIFF" else LARGEST),
        )
    )


def chunk(name: bytes, content: bytes) -> bytes:
    """A RIFF chunk, padded to an even length."""
    return name + struct.pack("<I", len(content)) + content + bytes(len(content) % 2)


def info_chunk(tags: Tags) -> bytes:
    """The LIST INFO chunk (Source: Multimedia Programming Interface and Data Specifications 1.0, 1991)."""
    texts = {
        b"INAM": tags.title,
        b"IART": tags.by,
        b"ICRD": tags.date,
        b"ICMT": tags.comment,
        b"IPRD": tags.album,
        b"ITRK": tags.track,
        b"ISFT": tags.made_by,
    }
    entries = [chunk(name, one_line(text).encode() + b"\0") for name, text in texts.items() if text]
    return chunk(b"LIST", b"INFO" + b"".join(entries)) if entries else b""


def with_info(sound: bytes, tags: Tags) -> bytes:
    """A whole WAV file with the LIST INFO chunk after its others."""
    body = sound[8:] + info_chunk(tags)
    return sound[:4] + struct.pack("<I", len(body)) + body


def section_chunks(tags: Tags) -> bytes:
    """A cue point and a label for each section, or nothing (Source: as for `info_chunk`)."""
    if not tags.chapters:
        return b""
    points = []
    labels = []
    for number, chapter in enumerate(tags.chapters, start=1):
        frame = frames_from_ms(chapter.start_ms) & LARGEST
        points.append(struct.pack("<II4sIII", number, frame, b"data", 0, 0, frame))
        labels.append(chunk(b"labl", struct.pack("<I", number) + one_line(chapter.title).encode() + b"\0"))
    count = struct.pack("<I", len(points))
    return chunk(b"cue ", count + b"".join(points)) + chunk(b"LIST", b"adtl" + b"".join(labels))
