"""Tags in FLAC, Ogg Vorbis and Opus, taken apart by readers written from the standards alone.

Sources: RFC 9639 (FLAC); RFC 3533 (Ogg); xiph.org "Vorbis I specification" sections 4.2 and 5; RFC 7845 (Opus in Ogg);
wiki.xiph.org/Chapter_Extension.
"""

import hashlib
import re
import struct
from collections.abc import Callable
from dataclasses import dataclass
from io import BytesIO
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import soundfile
from export_samples import RATE_HZ, blocks, murmur
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from rows import each_row

from guide.export.audio import write_audio
from guide.export.audio.base import Encoder, Sink, Writable
from guide.export.audio.flac import FlacEncoder
from guide.export.audio.ogg import VorbisEncoder
from guide.export.audio.opus import SndfileOpusEncoder
from guide.export.audio.pump import encode, pieces
from guide.export.audio.vorbis_comment import vorbis_comment
from guide.export.tags import Tags
from guide.plan.timeline import Chapter

NAMES = ("Śavāsana · Vīrabhadrāsana II", "山のポーズ — 호흡 — 湖", "Plain = plain", "Café ÿ", "🧘 rest")

#: Titles of any writing, broken by line ends and tabs; lone surrogates and other control characters are not text.
TITLES = st.text(st.characters(exclude_categories=["Cs", "Cc"]) | st.sampled_from("\n\r\t\x00\u2028"), max_size=40)

HEADS = {"vorbis": 3, "opus": 2}
ENCODERS: dict[str, Callable[[Writable, Tags], Encoder]] = {"vorbis": VorbisEncoder, "opus": SndfileOpusEncoder}


@dataclass(frozen=True)
class Page:
    flags: int
    granule: int
    serial: int
    number: int
    lacing: bytes
    content: bytes


def crc(page: bytes) -> int:
    """RFC 3533, 6: polynomial 0x04C11DB7 from 0, nothing turned round, over the page with four zeros in its place."""
    value = 0
    for byte in page:
        value = (value << 8 & 0xFFFF_FFFF) ^ CRC_TABLE[value >> 24 ^ byte]
    return value


def _crc_row(value: int) -> int:
    for _ in range(8):
        value = (value << 1) ^ (0x1_04C1_1DB7 if value & 0x8000_0000 else 0)
    return value


CRC_TABLE = [_crc_row(byte << 24) for byte in range(256)]


def pages(data: bytes) -> list[Page]:
    """The pages that fill `data` to the last byte, each with its checksum right."""
    found = []
    while data:
        magic, version, flags, granule, serial, number, stated, count = struct.unpack_from("<4sBBqIIIB", data)
        assert (magic, version) == (b"OggS", 0)
        lacing = data[27 : 27 + count]
        end = 27 + count + sum(lacing)
        assert len(data) >= end
        assert stated == crc(data[:22] + bytes(4) + data[26:end])
        found.append(Page(flags, granule, serial, number, lacing, data[27 + count : end]))
        data = data[end:]
    return found


def packets(found: list[Page]) -> list[bytes]:
    """The packets of a stream; a page says that it continues one exactly where the last packet was not ended."""
    done, open_packet, is_open = [], b"", False
    for page in found:
        assert bool(page.flags & 1) == is_open
        at = 0
        for size in page.lacing:
            open_packet, at, is_open = open_packet + page.content[at : at + size], at + size, size == 255
            if not is_open:
                done.append(open_packet)
                open_packet = b""
    assert not is_open
    return done


def comments(block: bytes) -> tuple[bytes, list[tuple[str, str]], bytes]:
    """Vorbis I, 5.2.1: the vendor, the comments with names of printable ASCII, and what stands behind them."""

    def taken(at: int) -> tuple[bytes, int]:
        (size,) = struct.unpack_from("<I", block, at)
        assert at + 4 + size <= len(block)
        return block[at + 4 : at + 4 + size], at + 4 + size

    vendor, at = taken(0)
    (count,) = struct.unpack_from("<I", block, at)
    at += 4
    found = []
    for _ in range(count):
        line, at = taken(at)
        name, equals, value = line.decode("utf-8").partition("=")
        assert equals
        assert re.fullmatch(r"[ -<>-}]+", name)
        found.append((name, value))
    return vendor, found, block[at:]


def chapters(found: list[tuple[str, str]]) -> list[tuple[int, str]]:
    """Start in ms and title of `CHAPTER000=00:00:00.000`, `CHAPTER000NAME=…`, which must be numbered without a gap."""
    listed = [(name, value) for name, value in found if name.startswith("CHAPTER")]
    times, titles = listed[::2], listed[1::2]
    assert [name for name, _ in times] == [f"CHAPTER{n:03}" for n in range(len(times))]
    assert [name for name, _ in titles] == [f"CHAPTER{n:03}NAME" for n in range(len(times))]
    starts = []
    for _, value in times:
        parts = re.fullmatch(r"(\d\d):([0-5]\d):([0-5]\d)\.(\d{3})", value)
        assert parts
        hours, minutes, seconds, thousandths = map(int, parts.groups())
        starts.append(((hours * 60 + minutes) * 60 + seconds) * 1000 + thousandths)
    return [(start, title) for start, (_, title) in zip(starts, titles, strict=True)]


def words(title: str) -> list[str]:
    return title.replace("\0", " ").split()


def in_a_row(count: int, each_ms: int = 13, longer: str = "") -> tuple[Chapter, ...]:
    return tuple(Chapter(f"{NAMES[n % 5]}{longer} {n}", n * each_ms, (n + 1) * each_ms) for n in range(count))


ABOUT = {
    "nothing": Tags(""),
    "one": Tags(NAMES[1], chapters=in_a_row(1)),
    "300": Tags(NAMES[0], "Śānti", "2026-11-25", "Stop\nat pain.", "Lakeside", in_a_row(300), 3900),
    "long": Tags("x", comment="śa " * 60_000, chapters=in_a_row(1000, 3, " and the lake" * 12)),
}
ANY_ABOUT = pytest.mark.parametrize("about", ABOUT.values(), ids=ABOUT)


def encoded(start: Callable[[Writable, Tags], Encoder], sound: NDArray[np.float32], about: Tags) -> bytes:
    file = BytesIO()
    sink = Sink(file)
    encode(blocks(sound), start(sink, about), sink)
    return file.getvalue()


def untouched(kind: str, sound: NDArray[np.float32]) -> bytes:
    """What libsndfile writes by itself at the same settings."""
    from guide.export.audio import ogg, opus

    level = {"vorbis": ogg.LEVEL, "opus": opus.LEVEL}[kind]
    file = BytesIO()
    with soundfile.SoundFile(file, "w", RATE_HZ, 2, kind.upper(), format="OGG", compression_level=level) as out:
        for piece in pieces(blocks(sound)):
            out.write(piece)
    return file.getvalue()


@given(st.lists(TITLES, max_size=8), TITLES, TITLES, TITLES, st.integers(0, 359_000_000), st.binary(max_size=30))
def test_every_text_and_every_chapter_comes_back(
    titles: list[str], title: str, by: str, said: str, ms: int, vendor: bytes
) -> None:
    listed = tuple(Chapter(name, ms + n, ms + n + 1) for n, name in enumerate(titles))
    written = Tags(title, by, "2026-11", said, "Lakeside", listed, track="2/6")
    kept, found, behind = comments(vorbis_comment(vendor, written))
    assert (kept, behind) == (vendor, b"")
    assert [start for start, _ in chapters(found)] == [ms + n for n in range(len(titles))]
    assert [words(name) for _, name in chapters(found)] == [words(name) for name in titles]
    texts = dict(found)
    assert (texts["DATE"], texts["ALBUM"]) == ("2026-11", "Lakeside")
    assert (texts["TRACKNUMBER"], texts["TRACKTOTAL"]) == ("2", "6")
    for name, wanted in {"TITLE": title, "ARTIST": by, "COMMENT": said}.items():
        assert words(texts.get(name, "")) == words(wanted)
    assert not any(re.search(r"[\n\r\t\0\u2028]", value) for _, value in found)


@ANY_ABOUT
def test_a_flac_is_whole_and_holds_every_sample(about: Tags) -> None:
    """RFC 9639, 8.2: the blocks before the sound, and the MD5 of the samples that STREAMINFO states."""
    sound = murmur(3000)
    data = encoded(FlacEncoder, sound, about)
    samples = np.concatenate(list(pieces(blocks(sound))))
    assert data[:4] == b"fLaC"
    at, last, blocks_found = 4, 0, []
    while not last:
        last, kind, size = data[at] >> 7, data[at] & 0x7F, int.from_bytes(data[at + 1 : at + 4], "big")
        blocks_found.append((kind, data[at + 4 : at + 4 + size]))
        at += 4 + size
    assert [kind for kind, _ in blocks_found] == [0, 4]
    (_, streaminfo), (_, block) = blocks_found
    assert int.from_bytes(streaminfo[13:18], "big") & 0xF_FFFF_FFFF == len(samples)
    assert streaminfo[18:] == hashlib.md5(samples.astype("<i2").tobytes()).digest()
    assert data[at] == 0xFF
    assert data[at + 1] in (0xF8, 0xF9)
    _, found, behind = comments(block)
    assert behind == b""
    assert chapters(found) == [(one.start_ms, one.title) for one in about.chapters]
    assert np.array_equal(soundfile.read(BytesIO(data), dtype="int16")[0], samples)


@ANY_ABOUT
@pytest.mark.parametrize("kind", HEADS)
def test_an_ogg_stream_is_whole_and_only_its_comment_differs(kind: str, about: Tags) -> None:
    """RFC 3533, 6; Vorbis I, A.2; RFC 7845, 3: one stream, numbered from 0, the first head packet alone on its page,
    the sound begins on a page of its own, the heads stand at position 0."""
    sound = murmur(20_000)
    found = pages(encoded(ENCODERS[kind], sound, about))
    assert [page.number for page in found] == list(range(len(found)))
    assert len({page.serial for page in found}) == 1
    assert [bool(page.flags & 2) for page in found] == [True] + [False] * (len(found) - 1)
    assert [bool(page.flags & 4) for page in found] == [False] * (len(found) - 1) + [True]
    assert len(packets(found[:1])) == 1

    sound_from = next(n for n in range(1, len(found)) if packets_ended(found[:n]) == HEADS[kind])
    assert all(page.granule == (0 if ends(page) else -1) for page in found[:sound_from])
    heads, other = packets(found[:sound_from]), pages(untouched(kind, sound))
    assert len(heads) == HEADS[kind]
    wanted = packets(other)
    assert heads[:1] + heads[2:] + packets(found[sound_from:]) == wanted[:1] + wanted[2:]
    assert [page.granule for page in found[sound_from:]] == [page.granule for page in other][sound_from - len(found) :]
    assert all(one <= two for one, two in pairwise(page.granule for page in found[sound_from:]))

    start, ended_by = {"vorbis": (b"\x03vorbis", b"\x01"), "opus": (b"OpusTags", b"")}[kind]
    assert heads[1].startswith(start)
    vendor, read, behind = comments(heads[1][len(start) :])
    assert vendor == comments(wanted[1][len(start) :])[0]
    assert behind == ended_by
    assert chapters(read) == [(one.start_ms, one.title) for one in about.chapters]


def ends(page: Page) -> bool:
    """Whether a packet ends on the page."""
    return any(size < 255 for size in page.lacing)


def packets_ended(found: list[Page]) -> int:
    return sum(size < 255 for page in found for size in page.lacing)


@each_row("kind", HEADS)
@each_row("segments", [1, 2, 254, 255, 256, 510])
@each_row("more", [-1, 0, 1])
def test_a_comment_that_just_fills_its_segments_is_ended_rightly(kind: str, segments: int, more: int) -> None:
    """RFC 3533, 5: a packet of a whole number of 255 bytes ends with a segment of none, on the next page if need be."""
    shortest = len(packets(pages(encoded(ENCODERS[kind], murmur(10), Tags("x", comment="y"))))[1])
    about = Tags("x", comment="y" * (255 * segments + more - shortest + 1))
    packet = packets(pages(encoded(ENCODERS[kind], murmur(10), about)))[1]
    assert len(packet) == 255 * segments + more
    start = {"vorbis": 7, "opus": 8}[kind]
    assert dict(comments(packet[start:])[1])["COMMENT"] == about.comment


@ANY_ABOUT
@pytest.mark.parametrize("kind", HEADS)
def test_an_ogg_file_decodes_to_the_same_samples_with_and_without_our_tags(kind: str, about: Tags) -> None:
    sound = murmur(20_000)
    ours, _ = soundfile.read(BytesIO(encoded(ENCODERS[kind], sound, about)), dtype="float32")
    theirs, _ = soundfile.read(BytesIO(untouched(kind, sound)), dtype="float32")
    assert len(ours) == 20_000
    assert np.array_equal(ours, theirs)


@pytest.mark.real
@pytest.mark.parametrize("count", [0, 1, 300])
@pytest.mark.parametrize("suffix", [".flac", ".ogg", ".opus"])
def test_ffprobe_and_ffmpeg_read_a_tagged_file(
    tmp_path: Path,
    ffprobe: Callable[[Path], dict[str, Any]],
    decoded: Callable[[Path], NDArray[np.float32]],
    suffix: str,
    count: int,
) -> None:
    """Source: ffprobe for texts and times, ffmpeg for the sound."""
    listed, sound, path = in_a_row(count), murmur(4 * RATE_HZ), tmp_path / f"tagged{suffix}"
    about = Tags(NAMES[1], NAMES[0], "2026-11-25", "Stop\nat pain. " * 900, "", listed, 4000)
    write_audio(path, blocks(sound), about)
    write_audio(tmp_path / f"plain{suffix}", blocks(sound), Tags(""))
    probed = ffprobe(path)
    assert [(one["tags"]["title"], float(one["start_time"])) for one in probed["chapters"]] == [
        (one.title, one.start_ms / 1000) for one in listed
    ]
    ends_s = [float(one["end_time"]) for one in probed["chapters"]]
    assert ends_s[:-1] == [one.end_ms / 1000 for one in listed[:-1]]
    raw = probed["format"].get("tags") or probed["streams"][0]["tags"]
    texts = {name.lower(): value for name, value in raw.items()}
    assert (texts["title"], texts["artist"], texts["date"]) == (NAMES[1], NAMES[0], "2026-11-25")
    assert texts["comment"] == ("Stop at pain. " * 900).strip()
    assert np.array_equal(decoded(path), decoded(tmp_path / f"plain{suffix}"))
