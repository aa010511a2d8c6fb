"""The tag before an MP3, taken apart by a reader written from the standard alone.

Source: id3.org "ID3 tag version 2.3.0" sections 3 and 4; "ID3v2 Chapter Frame Addendum" 1.0.
"""

import re
import struct
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from export_samples import blocks, murmur
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from guide.export.audio import write_audio
from guide.export.audio.id3 import id3_tag
from guide.export.tags import Tags
from guide.plan.timeline import Chapter
from guide.problem import UnusableChoice

NAMES = ("Śavāsana · Vīrabhadrāsana II", "山のポーズ — 호흡 — 湖", "Plain", "Café ÿ", "🧘 rest")

#: A date, and what TYER and TDAT say of it.
DATES = [("2026", "2026", None), ("2026-03", "2026", None), ("2026-03-09", "2026", "0903")]

#: Titles of any writing, broken by line ends and tabs; lone surrogates and other control characters are not text.
TITLES = st.text(st.characters(exclude_categories=["Cs", "Cc"]) | st.sampled_from("\n\r\t\x00\u2028"), max_size=40)


@dataclass
class Read:
    """What the reader found, in the order of the file."""

    texts: dict[str, str] = field(default_factory=dict)
    chapters: list[tuple[bytes, int, int, str]] = field(default_factory=list)
    contents: dict[bytes, tuple[int, list[bytes]]] = field(default_factory=dict)


def frames(data: bytes) -> list[tuple[str, bytes]]:
    """Frames that fill `data` to the last byte: name, plain big-endian size of at least 1, two flag bytes of zero."""
    found = []
    while data:
        name, size, flags = struct.unpack_from(">4sIH", data)
        assert re.fullmatch(rb"[A-Z][A-Z0-9]{3}", name)
        assert flags == 0
        assert 1 <= size <= len(data) - 10
        found.append((name.decode(), data[10 : 10 + size]))
        data = data[10 + size :]
    return found


def text(content: bytes) -> str:
    """Encoding 0 is Latin-1; 1 is UTF-16, which must begin with its byte order mark."""
    encoding, rest = content[0], content[1:]
    if encoding == 0:
        return rest.decode("latin-1")
    assert encoding == 1
    assert rest[:2] in (b"\xff\xfe", b"\xfe\xff")
    return rest.decode("utf-16")


def comment(content: bytes) -> str:
    """Encoding, three letters of language, a description that is ended by zero, the text."""
    assert re.fullmatch(rb"[a-z]{3}", content[1:4])
    if content[0] == 0:
        description, _, rest = content[4:].partition(b"\0")
    else:
        end = next(at for at in range(4, len(content), 2) if content[at : at + 2] == b"\0\0")
        description, rest = content[4:end], content[end + 2 :]
    assert text(content[:1] + description) == ""
    return text(content[:1] + rest)


def read(tag: bytes) -> Read:
    assert tag[:3] == b"ID3"
    assert tag[3:6] == b"\x03\x00\x00"
    assert all(byte < 0x80 for byte in tag[6:10])
    assert sum(byte << 7 * place for place, byte in enumerate(reversed(tag[6:10]))) == len(tag) - 10
    found = Read()
    for name, content in frames(tag[10:]):
        if name == "CHAP":
            element, _, rest = content.partition(b"\0")
            start, end, *offsets = struct.unpack_from(">IIII", rest)
            assert offsets == [0xFFFF_FFFF, 0xFFFF_FFFF]
            ((title_name, title),) = frames(rest[16:])
            assert title_name == "TIT2"
            found.chapters.append((element, start, end, text(title)))
        elif name == "CTOC":
            element, _, rest = content.partition(b"\0")
            children = rest[2:].split(b"\0")
            assert children.pop() == b""
            assert len(children) == rest[1] >= 1
            found.contents[element] = (rest[0], children)
        else:
            assert name not in found.texts
            found.texts[name] = comment(content) if name == "COMM" else text(content)
    return found


def listed(found: Read) -> list[bytes]:
    """The chapters in the order of the one table of contents at the top; every table is an ordered one."""
    assert all(flags & 1 for flags, _ in found.contents.values())
    (top,) = [element for element, (flags, _) in found.contents.items() if flags & 2]
    waiting, order, seen = [top], [], set()
    while waiting:
        element = waiting.pop(0)
        assert element not in seen
        seen.add(element)
        if element in found.contents:
            waiting = found.contents[element][1] + waiting
        else:
            order.append(element)
    assert seen >= found.contents.keys()
    return order


def words(title: str) -> list[str]:
    return title.replace("\0", " ").split()


def in_a_row(titles: list[str], each_ms: int = 13) -> tuple[Chapter, ...]:
    return tuple(Chapter(title, n * each_ms, (n + 1) * each_ms) for n, title in enumerate(titles))


@given(st.lists(TITLES, min_size=1, max_size=8), TITLES, TITLES, TITLES, st.integers(1, 2**32 - 200))
def test_every_text_and_every_chapter_comes_back(titles: list[str], title: str, by: str, said: str, ms: int) -> None:
    chapters = tuple(Chapter(name, ms + n, ms + n + 1) for n, name in enumerate(titles))
    found = read(id3_tag(Tags(title, by, "2026-11-25", said, "Lakeside", chapters, ms, track="2/6")))
    assert [(start, end) for _, start, end, _ in found.chapters] == [(ms + n, ms + n + 1) for n in range(len(titles))]
    assert [words(name) for *_, name in found.chapters] == [words(name) for name in titles]
    assert listed(found) == [element for element, *_ in found.chapters]
    for frame, wanted in {"TIT2": title, "TPE1": by, "COMM": said, "TALB": "Lakeside"}.items():
        assert words(found.texts.get(frame, "")) == words(wanted)
        assert not re.search(r"[\n\r\t\0\u2028]", found.texts.get(frame, ""))
    assert found.texts["TRCK"] == "2/6"
    assert (found.texts["TYER"], found.texts["TDAT"], found.texts["TLEN"]) == ("2026", "2511", str(ms))


@pytest.mark.parametrize("count", [1, 2, 255, 256, 300, 510, 511])
def test_any_number_of_chapters_is_listed_once_and_in_order(count: int) -> None:
    """Source: addendum 1.0, 3.2: a table counts at most 255 entries; exactly one is at the top; ids are unique."""
    found = read(id3_tag(Tags("", chapters=in_a_row([NAMES[n % len(NAMES)] for n in range(count)]))))
    elements = [element for element, *_ in found.chapters]
    assert len(set(elements) | found.contents.keys()) == count + len(found.contents)
    assert listed(found) == elements
    assert (len(found.contents) == 1) == (count <= 255)
    assert [start for _, start, _, _ in found.chapters] == [13 * n for n in range(count)]


def test_no_chapters_mean_no_table_and_nothing_to_say_means_no_tag() -> None:
    """Source: ID3 2.3.0, 3.1 and 3.3: a tag holds at least one frame, and a table at least one child."""
    found = read(id3_tag(Tags("Still lake")))
    assert (found.texts, found.chapters, found.contents) == ({"TIT2": "Still lake"}, [], {})
    assert id3_tag(Tags("")) == b""


def test_more_chapters_than_two_levels_of_tables_hold_are_refused() -> None:
    with pytest.raises(UnusableChoice, match=r"the class has 65026 sections, more than an \.mp3 can list"):
        id3_tag(Tags("", chapters=in_a_row(["x"] * (255 * 255 + 1), 1)))


@pytest.mark.parametrize(("date", "year", "day"), DATES)
def test_the_date_is_a_year_and_where_known_a_day(date: str, year: str, day: str | None) -> None:
    """Source: ID3 2.3.0, 4.2.1: TYER is four digits, TDAT is DDMM."""
    texts = read(id3_tag(Tags("", date=date))).texts
    assert (texts["TYER"], texts.get("TDAT")) == (year, day)


@pytest.mark.parametrize("about", [Tags("山", chapters=in_a_row(["湖"] * 300)), Tags("x", comment="śa " * 40_000)])
def test_the_sound_of_an_mp3_is_the_same_whatever_stands_before_it(tmp_path: Path, about: Tags) -> None:
    for name, tags in {"plain": Tags(""), "tagged": about}.items():
        write_audio(tmp_path / f"{name}.mp3", blocks(murmur(20_000)), tags)
    tag = id3_tag(about)
    tagged = (tmp_path / "tagged.mp3").read_bytes()
    assert len(tag) > 10_000
    assert tagged.startswith(tag)
    assert tagged[len(tag) :] == (tmp_path / "plain.mp3").read_bytes()


@pytest.mark.real
@pytest.mark.parametrize("count", [0, 1, 300])
def test_ffprobe_and_ffmpeg_read_a_tagged_mp3(
    tmp_path: Path,
    ffprobe: Callable[[Path], dict[str, Any]],
    decoded: Callable[[Path], NDArray[np.float32]],
    count: int,
) -> None:
    """Source: ffprobe for texts and times, ffmpeg for the sound."""
    titles = [f"{NAMES[n % len(NAMES)]} {n}" for n in range(count)]
    sound = murmur(4 * 48_000)
    write_audio(tmp_path / "plain.mp3", blocks(sound), Tags(""))
    path = tmp_path / "tagged.mp3"
    about = Tags(NAMES[1], NAMES[0], "2026", "Stop\nat pain. " * 900, "", in_a_row(titles), 4000)
    write_audio(path, blocks(sound), about)
    probed = ffprobe(path)
    assert [(one["tags"]["title"], float(one["start_time"]), float(one["end_time"])) for one in probed["chapters"]] == [
        (title, n * 13 / 1000, (n + 1) * 13 / 1000) for n, title in enumerate(titles)
    ]
    texts = probed["format"]["tags"]
    assert (texts["title"], texts["artist"], texts["date"]) == (NAMES[1], NAMES[0], "2026")
    assert texts["comment"] == ("Stop at pain. " * 900).strip()
    assert np.array_equal(decoded(path), decoded(tmp_path / "plain.mp3"))
