"""Captions: every word of the class, in order, in files that strict readers accept."""

import html
import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from export_samples import cue, lakeside, only_cues
from hypothesis import given, settings
from hypothesis import strategies as st

from guide.export.captions.base import LINE_CHARS, captions, plain
from guide.export.captions.lrc import lrc
from guide.export.captions.srt import srt
from guide.export.captions.webvtt import chapters_webvtt, webvtt
from guide.export.chapters import chapters, chapters_json
from guide.export.plan_table import full_plan_table, plan_table
from guide.export.registry import write
from guide.plan.timeline import Chapter, Timeline

EXPECTED = Path(__file__).parent / "expected"

WHOLE_TEXTS: dict[str, Callable[[Timeline], str]] = {
    "lakeside.vtt": webvtt,
    "lakeside.srt": srt,
    "lakeside.lrc": lrc,
    "lakeside.chapters.vtt": chapters_webvtt,
    "lakeside.chapters.json": chapters_json,
    "lakeside.80-columns.txt": lambda timeline: plan_table(timeline, 80),
    "lakeside.full.80-columns.txt": lambda timeline: full_plan_table(timeline, 80),
    "lakeside.100-columns.txt": lambda timeline: plan_table(timeline, 100),
}


@pytest.mark.parametrize("name", WHOLE_TEXTS)
def test_the_whole_text_is_the_expected_one(name: str) -> None:
    assert WHOLE_TEXTS[name](lakeside()) == (EXPECTED / name).read_text(encoding="utf-8")


# Words as people, keyboards and careless copying make them: markup, arrows, brackets, digits alone, blanks, joiners.
MARKUP = ["-->", "<b>", "&amp;", "&", "<", ">", "[00:01.00]", "1", "WEBVTT", "NOTE", "STYLE", "00:00:01.000"]
BLANKS = ["\n", "\r\n", "\t", "  ", "\x00", "\x85", "\u2028", "hip\u00a0width"]
PLAIN = ["śavāsana", "e\u0301", "Lift", "the", "left", "leg,"]
PIECES = st.sampled_from([*MARKUP, *BLANKS, *PLAIN])
WORDS = st.lists(PIECES | st.text(max_size=12), max_size=12).map("".join)


@st.composite
def timelines(draw: st.DrawFn) -> Timeline:
    """Cues in order with at least a quarter of a second between them, up to ten hours in."""
    cues = []
    at = draw(st.integers(0, 36_000_000))
    for words in draw(st.lists(WORDS, max_size=8)):
        end = at + draw(st.integers(0, 20_000))
        cues.append(cue(at, end, words))
        at = end + draw(st.integers(250, 5_000))
    return only_cues(*cues)


VTT_TIMES = re.compile(r"(\d{2,}):([0-5]\d):([0-5]\d)\.(\d{3}) --> (\d{2,}):([0-5]\d):([0-5]\d)\.(\d{3})")
SRT_TIMES = re.compile(r"(\d\d):([0-5]\d):([0-5]\d),(\d{3}) --> (\d\d):([0-5]\d):([0-5]\d),(\d{3})")


def times(match: re.Match[str] | None) -> tuple[int, int]:
    assert match is not None
    h, m, s, t, h2, m2, s2, t2 = map(int, match.groups())
    return ((h * 60 + m) * 60 + s) * 1000 + t, ((h2 * 60 + m2) * 60 + s2) * 1000 + t2


def shown(timeline: Timeline) -> list[tuple[int, int, str]]:
    return [(one.start_ms, max(one.end_ms, one.start_ms + 1), plain(one.words) or "…") for one in timeline.cues]


@given(timelines())
@settings(deadline=None)
def test_webvtt_shows_every_cue_and_keeps_the_rules(timeline: Timeline) -> None:
    """Source: W3C WebVTT, authoring rules 3 to 6: times, order, escapes, unique identifiers, hours of two digits."""
    head, *blocks = webvtt(timeline).removesuffix("\n").split("\n\n")
    assert head == "WEBVTT Lakeside"
    found = []
    for number, block in enumerate(blocks, start=1):
        identifier, time_line, *lines = block.split("\n")
        assert identifier == str(number)
        assert 1 <= len(lines) <= 2
        text = " ".join(lines)
        assert "-->" not in text and "<" not in text
        assert not re.search(r"&(?!(amp|lt|gt);)", text)
        found.append((*times(VTT_TIMES.fullmatch(time_line)), html.unescape(text)))
    # html.unescape also turns what the words themselves spelt, so the expected side must go the same way round.
    expected = [(start, end, html.unescape(html.escape(text, quote=False))) for start, end, text in shown(timeline)]
    assert found == expected
    assert all(start < end for start, end, _ in found)
    assert [start for start, _, _ in found] == sorted(start for start, _, _ in found)


@given(timelines())
@settings(deadline=None)
def test_subrip_shows_every_cue_unchanged(timeline: Timeline) -> None:
    """Source: common practice (SubRip has no standard): counter from 1, comma before the thousandths."""
    blocks = srt(timeline).removesuffix("\n").split("\n\n") if timeline.cues else []
    found = []
    for number, block in enumerate(blocks, start=1):
        counter, time_line, *lines = block.split("\n")
        assert counter == str(number)
        found.append((*times(SRT_TIMES.fullmatch(time_line)), " ".join(lines)))
    assert found == shown(timeline)


@given(timelines())
@settings(deadline=None)
def test_lrc_shows_every_cue_within_five_milliseconds(timeline: Timeline) -> None:
    """Source: common practice (LRC has no standard): `[mm:ss.xx]`, hundredths, minutes count on."""
    lines = [re.fullmatch(r"\[(\d{2,}):([0-5]\d)\.(\d\d)\](.*)", line) for line in lrc(timeline).split("\n")[2:-1]]
    assert all(lines)
    timed = [((int(m[1]) * 60 + int(m[2])) * 1000 + int(m[3]) * 10, m[4]) for m in lines if m]
    assert [at for at, _ in timed] == sorted(at for at, _ in timed)
    texts = [(at, text) for at, text in timed if text]
    assert len(texts) == len(timeline.cues)
    for (at, text), (start, _, words) in zip(texts, shown(timeline), strict=True):
        assert abs(at - start) <= 5
        assert text == ("\u200b" if words.startswith("[") else "") + words
        assert not text.startswith("[")


@given(timelines())
@settings(deadline=None)
def test_a_caption_has_at_most_two_lines_and_short_words_fit_them(timeline: Timeline) -> None:
    for one, caption in zip(timeline.cues, captions(timeline), strict=True):
        assert len(caption.lines) <= 2
        assert caption.text == (plain(one.words) or "…")


def test_a_long_caption_is_broken_near_its_middle() -> None:
    words = "Reach up through both hands and let the shoulders be heavy on the way down."
    (caption,) = captions(only_cues(cue(0, 5000, words)))
    assert caption.lines == ("Reach up through both hands and let", "the shoulders be heavy on the way down.")
    assert all(len(line) <= LINE_CHARS for line in caption.lines)


def test_words_that_show_nothing_still_count() -> None:
    assert [caption.lines for caption in captions(only_cues(cue(0, 5, " \n ")))] == [("…",)]


def test_a_hundred_hours_have_three_digits_in_webvtt() -> None:
    assert "\n100:00:00.000 --> 100:00:01.000\n" in webvtt(only_cues(cue(360_000_000, 360_001_000, "Still here.")))


def test_time_before_the_first_section_is_a_chapter_named_after_the_class() -> None:
    assert chapters(lakeside())[0] == Chapter("Lakeside morning", 0, 7000)
    assert chapters(lakeside())[1:] == lakeside().chapters


def test_a_class_without_sections_has_no_chapters() -> None:
    assert chapters(only_cues()) == ()
    assert json.loads(chapters_json(only_cues()))["chapters"] == []


def test_json_chapters_have_what_the_format_requires() -> None:
    """Source: podcast namespace, JSON chapters 1.2: `version` a string, `startTime` in seconds, ascending."""
    document = json.loads(chapters_json(lakeside()))
    assert document["version"] == "1.2.0"
    starts = [chapter["startTime"] for chapter in document["chapters"]]
    assert starts == sorted(starts) == [0.0, 7.0, 60.0]


NASTY = [
    "a --> b",
    "<b>bold</b> & <i",
    "&lt; &amp",
    "1",
    "00:00:01.000 --> 00:00:02.000",
    "NOTE this",
    "\n\nblank\n\n",
    "STYLE",
    "WEBVTT",
    "[00:01.00]x",
    "śavāsana — “rest”",
    "x" * 2000,
    "&nbsp;&lrm;",
    "<00:00:01.000>",
    "-" * 5 + ">",
    "",
    "\ufeff",
]


@pytest.mark.real
def test_the_strict_parser_finds_no_fault(tmp_path: Path, strict_vtt: Callable[[Path, str], dict[str, Any]]) -> None:
    """Source: npm webvtt-parser 2.2.0, "parser and validator" of W3C WebVTT."""
    timeline = only_cues(*(cue(n * 4000, n * 4000 + 3001, words) for n, words in enumerate(NASTY * 10)))
    for name, one in (("nasty.vtt", timeline), ("lakeside.vtt", lakeside())):
        write(one, tmp_path / name)
        found = strict_vtt(tmp_path / name, "metadata")
        assert found["errors"] == []
        found = strict_vtt(tmp_path / name, "subtitles/captions/descriptions")
        assert found["errors"] == []
        assert [read["text"].replace("\n", " ") for read in found["cues"]] == [text for _, _, text in shown(one)]
        assert [round(read["start"] * 1000) for read in found["cues"]] == [start for start, _, _ in shown(one)]
        assert len({read["id"] for read in found["cues"]}) == len(one.cues)


@pytest.mark.real
def test_the_strict_parser_finds_no_fault_in_chapters(
    tmp_path: Path, strict_vtt: Callable[[Path, str], dict[str, Any]]
) -> None:
    write(lakeside(), tmp_path / "class.chapters.vtt")
    found = strict_vtt(tmp_path / "class.chapters.vtt", "chapters")
    assert found["errors"] == []
    assert [read["text"] for read in found["cues"]] == [chapter.title for chapter in chapters(lakeside())]


@pytest.mark.real
def test_the_strict_parser_does_find_faults(tmp_path: Path, strict_vtt: Callable[[Path, str], dict[str, Any]]) -> None:
    path = tmp_path / "bad.vtt"
    path.write_text("WEBVTT\n\n00:00:02.000 --> 00:00:01.000\na & b\n", encoding="utf-8")
    assert strict_vtt(path, "subtitles/captions/descriptions")["errors"]
