"""The parts of files that are made by hand, against their definitions and against other programs."""

import io
import struct
import subprocess
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from export_samples import blocks, murmur
from hypothesis import given
from hypothesis import strategies as st
from mutagen.ogg import OggPage

from guide.export.audio import write_audio
from guide.export.audio.crc16 import FrameCrc, crc16
from guide.export.audio.info_frame import CHANNEL_BYTES, SAMPLES_A_FRAME, info_frame
from guide.export.audio.ogg_pages import OggPages, Page, checksum, page_bytes, pages_from_packets, take_page
from guide.export.tags import Tags

INFO_PLACE = 4 + 32


def test_the_sixteen_bit_checksum_is_the_published_one() -> None:
    """Source: the check value of CRC-16/ARC over "123456789" (catalogue of parametrised CRC algorithms), 0xBB3D."""
    assert crc16(b"123456789") == 0xBB3D


@given(st.binary(max_size=3000), st.integers(2, 400), st.lists(st.integers(0, 3000), max_size=5))
def test_the_checksum_by_frames_is_the_checksum_by_bytes(data: bytes, frame_bytes: int, cuts: list[int]) -> None:
    crc = FrameCrc(frame_bytes)
    edges = [0, *sorted(min(cut, len(data)) for cut in cuts), len(data)]
    for start, end in pairwise(edges):
        crc.add(np.frombuffer(data[start:end], np.uint8))
    assert crc.value == crc16(data)


def test_the_head_frame_of_an_mp3_counts_what_follows(tmp_path: Path) -> None:
    """Source: the "MP3 Info Tag" layout of LAME."""
    path = tmp_path / "class.mp3"
    write_audio(path, blocks(murmur(100_000)), Tags("Heads"))
    data = path.read_bytes()
    (tag_bytes,) = struct.unpack(">I", data[6:10])
    info, music = data[10 + tag_bytes :][: 2 * CHANNEL_BYTES], data[10 + tag_bytes + 2 * CHANNEL_BYTES :]
    name, flags, frames, stream_bytes = struct.unpack_from(">4sIII", info, INFO_PLACE)
    assert (name, flags) == (b"Info", 15)
    assert frames * 2 * CHANNEL_BYTES == len(music)
    assert all(music[at : at + 3] == b"\xff\xfb\x94" for at in range(0, len(music), 2 * CHANNEL_BYTES))
    assert stream_bytes == len(music) + 2 * CHANNEL_BYTES
    delay, padding = divmod(int.from_bytes(info[INFO_PLACE + 141 : INFO_PLACE + 144]), 4096)
    assert delay + 100_000 + padding == frames * SAMPLES_A_FRAME
    (length, music_crc, info_crc) = struct.unpack_from(">IHH", info, INFO_PLACE + 148)
    assert (length, music_crc, info_crc) == (stream_bytes, crc16(music), crc16(info[: INFO_PLACE + 154]))


@pytest.mark.real
def test_the_checksums_are_what_another_program_writes(tmp_path: Path, ffprobe: object) -> None:
    """Source: ffmpeg's own head frame for libmp3lame carries the same two checksums; ours agree on its file."""
    path = tmp_path / "other.mp3"
    command = ["ffmpeg", "-v", "error", "-f", "lavfi", "-i", "sine=440:r=48000:d=2", "-ac", "2", "-b:a", "128k"]
    subprocess.run([*command, "-id3v2_version", "0", "-write_id3v1", "0", str(path)], check=True)
    data = path.read_bytes()
    info, music = data[: 2 * CHANNEL_BYTES], data[2 * CHANNEL_BYTES :]
    _, music_crc, info_crc = struct.unpack_from(">IHH", info, INFO_PLACE + 148)
    assert (music_crc, info_crc) == (crc16(music), crc16(info[: INFO_PLACE + 154]))


def test_a_head_frame_is_as_long_as_any_frame() -> None:
    assert len(info_frame(10, 10_000, 7)) == 2 * CHANNEL_BYTES


def slow_checksum(data: bytes) -> int:
    """RFC 3533: polynomial 0x04C11DB7, from 0, nothing turned round."""
    value = 0
    for byte in data:
        value ^= byte << 24
        for _ in range(8):
            value = (value << 1 ^ (0x04C11DB7 if value & 0x8000_0000 else 0)) & 0xFFFF_FFFF
    return value


@given(st.binary(max_size=200))
def test_the_checksum_of_a_page_is_the_defined_one(data: bytes) -> None:
    assert checksum(data) == slow_checksum(data)


PACKETS = st.lists(st.integers(0, 200_000).map(lambda size: b"0123456789" * (size // 10)), min_size=1, max_size=3)


@given(PACKETS)
def test_packets_put_on_pages_come_back(packets: list[bytes]) -> None:
    """Source: mutagen's reading of the lacing (RFC 3533)."""
    pages = []
    for number, page in enumerate(pages_from_packets(packets)):
        pages.append(OggPage(io.BytesIO(page_bytes(page, number))))
    assert OggPage.to_packets(pages) == packets


class Collected:
    def __init__(self) -> None:
        self.data = bytearray()

    def write(self, data: bytes | bytearray | memoryview) -> int:
        self.data += data
        return len(data)

    def seek(self, offset: int, whence: int = 0) -> int:
        return 0

    def tell(self) -> int:
        return len(self.data)


@given(st.lists(st.integers(1, 500), min_size=1, max_size=20), st.binary(max_size=80_000))
def test_pages_pass_whatever_pieces_they_come_in(pieces: list[int], comment: bytes) -> None:
    head = [Page(2, 0, bytes([5]), b"first"), *pages_from_packets([b"old comment"])]
    sound = [Page(0, 960 * number, bytes([255, 20]), bytes([number]) * 275) for number in range(5)]
    stream = b"".join(page_bytes(page, number) for number, page in enumerate([*head, *sound]))
    out = Collected()
    pages = OggPages(out, 2, lambda old: comment if old == b"old comment" else b"wrong")
    at = turn = 0
    while at < len(stream):
        pages.write(stream[at : at + pieces[turn % len(pieces)]])
        at += pieces[turn % len(pieces)]
        turn += 1
    read = []
    while (page := take_page(out.data)) is not None:
        read.append(page)
    assert not out.data
    assert read[-5:] == sound
    assert b"".join(page.content for page in read[1:-5]) == comment
