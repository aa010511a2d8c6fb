"""Captions: every word of the class, in order, in files that strict readers accept."""

import html
import json
import re
import sys
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from export_samples import cue, lakeside, only_cues
from hypothesis import given, settings
from hypothesis import strategies as st

from guide.drawing.text_width import width
from guide.export.captions.base import LINE_CHARS, captions, plain
from guide.export.captions.for_reading import CHARS_A_SECOND, LEAST_MS, LINGERS_MS, reading_captions
from guide.export.captions.lrc import lrc
from guide.export.captions.srt import srt
from guide.export.captions.webvtt import chapters_webvtt, exact_webvtt, webvtt
from guide.export.chapters import chapters, chapters_json
from guide.export.plan_table import full_plan_table, plan_table
from guide.export.registry import write
from guide.plan.timeline import Chapter, Timeline

sys.path.append(str(Path(__file__).parents[1] / "review"))

from taught import shipped_plan

EXPECTED = Path(__file__).parent / "expected"

WHOLE_TEXTS: dict[str, Callable[[Timeline], str]] = {
    "lakeside.vtt": webvtt,
    "lakeside.exact.vtt": exact_webvtt,
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


#: When a caption comes and goes, and its words.
Shown = tuple[int, int, str]


def shown(timeline: Timeline) -> list[Shown]:
    return [(one.start_ms, max(one.end_ms, one.start_ms + 1), plain(one.words) or "…") for one in timeline.cues]


def read(timeline: Timeline) -> list[Shown]:
    return [(one.start_ms, one.end_ms, one.text) for one in reading_captions(timeline)]


@pytest.mark.parametrize(("write_it", "expected_of"), [(exact_webvtt, shown), (webvtt, read)], ids=["exact", "read"])
@given(timelines())
@settings(deadline=None)
def test_webvtt_shows_every_cue_and_keeps_the_rules(
    write_it: Callable[[Timeline], str], expected_of: Callable[[Timeline], list[Shown]], timeline: Timeline
) -> None:
    """Source: W3C WebVTT, authoring rules 3 to 6: times, order, escapes, unique identifiers, hours of two digits."""
    head, *blocks = write_it(timeline).removesuffix("\n").split("\n\n")
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
    expected = [
        (start, end, html.unescape(html.escape(text, quote=False))) for start, end, text in expected_of(timeline)
    ]
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
    assert found == read(timeline)


@given(timelines())
@settings(deadline=None)
def test_lrc_shows_every_cue_within_five_milliseconds(timeline: Timeline) -> None:
    """Source: common practice (LRC has no standard): `[mm:ss.xx]`, hundredths, minutes count on."""
    lines = [re.fullmatch(r"\[(\d{2,}):([0-5]\d)\.(\d\d)\](.*)", line) for line in lrc(timeline).split("\n")[2:-1]]
    assert all(lines)
    timed = [((int(m[1]) * 60 + int(m[2])) * 1000 + int(m[3]) * 10, m[4]) for m in lines if m]
    assert [at for at, _ in timed] == sorted(at for at, _ in timed)
    texts = [(at, text) for at, text in timed if text]
    for (at, text), (start, _, words) in zip(texts, read(timeline), strict=True):
        assert abs(at - start) <= 5
        assert text == ("\u200b" if words.startswith("[") else "") + words
        assert not text.startswith("[")


@given(timelines())
@settings(deadline=None)
def test_a_caption_has_at_most_two_lines_and_short_words_fit_them(timeline: Timeline) -> None:
    for one, caption in zip(timeline.cues, captions(timeline), strict=True):
        assert len(caption.lines) <= 2
        assert caption.text == (plain(one.words) or "…")


@given(timelines())
@settings(deadline=None)
def test_captions_for_readers_have_all_words_on_lines_that_fit_and_stay_while_there_is_room(timeline: Timeline) -> None:
    """Source: the guides that `for_reading` names; times of parts of a cue lie within the time of its words."""
    made = list(reading_captions(timeline))
    assert all(len(one.lines) <= 2 and max(map(width, one.lines)) <= LINE_CHARS for one in made)
    assert "".join(one.text for one in made).replace(" ", "") == "".join(
        text for _, _, text in shown(timeline)
    ).replace(" ", "")
    starts = {one.start_ms for one in made}
    assert all(start in starts for start, _, _ in shown(timeline))
    for one, after in pairwise(made):
        assert one.start_ms < one.end_ms <= after.start_ms
        is_last_of_cue = any(after.start_ms == start for start, _, _ in shown(timeline))
        if is_last_of_cue and one.end_ms < after.start_ms:
            assert after.start_ms - one.end_ms >= 1000
            length_ms = one.end_ms - one.start_ms
            assert length_ms >= max(LEAST_MS, LINGERS_MS) and len(one.text) * 1000 <= CHARS_A_SECOND * length_ms


@pytest.mark.parametrize("name", ["starter", "breathing-practice", "evening-lake"])
def test_nothing_that_is_said_in_a_shipped_class_goes_too_soon_to_be_read(name: str) -> None:
    """Of these three classes 29 captions ended within 5/6 s, 3 were faster than 17 characters a second, and lines had
    up to 86 characters, when captions ended with their words."""
    _, timeline = shipped_plan(name)
    made = list(reading_captions(timeline))
    assert len(made) >= len(timeline.cues)
    assert min(one.end_ms - one.start_ms for one in made) >= LEAST_MS
    assert all(len(one.text) * 1000 <= CHARS_A_SECOND * (one.end_ms - one.start_ms) for one in made)
    assert max(width(line) for one in made for line in one.lines) <= LINE_CHARS


def test_long_words_are_parted_after_sentences_then_clauses_each_at_its_share_of_the_time() -> None:
    words = (
        "Reach up through both hands, and let the shoulders be heavy on the way down. "
        "Breathe. Then fold forward from the hips, long through the spine, and bend your knees as you like."
    )
    made = list(reading_captions(only_cues(cue(1000, 11_000, words), cue(11_500, 12_000, "In."))))
    assert [(one.start_ms, one.end_ms, one.lines) for one in made] == [
        (1000, 5393, ("Reach up through both hands, and let", "the shoulders be heavy on the way down.")),
        (5393, 7763, ("Breathe. Then fold forward from the hips,",)),
        (7763, 11_500, ("long through the spine,", "and bend your knees as you like.")),
        (11_500, 13_500, ("In.",)),
    ]


def test_a_music_player_is_told_the_teacher_where_the_class_names_one() -> None:
    assert lrc(replace(lakeside(), by="Maya\nReed")).splitlines()[:3] == [
        "[ti:Lakeside morning]",
        "[ar:Maya Reed]",
        "[length: 61:40]",
    ]
    assert "[ar:" not in lrc(lakeside())


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


def test_the_poses_of_a_class_without_sections_are_its_chapters() -> None:
    bare = replace(lakeside(), chapters=())
    assert [(each.title, each.start_ms, each.end_ms) for each in chapters(bare)] == [
        ("Lakeside morning", 0, 9500),
        ("Mountain", 9500, 66_500),
        ("Vīrabhadrāsana II, right", 66_500, 82_000),
        ("Vīrabhadrāsana II, left", 82_000, 93_500),
        ("Rest", 93_500, 3_700_000),
    ]


def test_a_class_of_more_poses_than_help_has_no_chapters() -> None:
    mountain = lakeside().spans[1]
    assert chapters(replace(lakeside(), chapters=(), spans=(mountain,) * 101)) == ()


def test_a_class_without_sections_and_poses_has_no_chapters() -> None:
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
        expected = read(one)
        assert [cue["text"].replace("\n", " ") for cue in found["cues"]] == [text for _, _, text in expected]
        assert [round(cue["start"] * 1000) for cue in found["cues"]] == [start for start, _, _ in expected]
        assert len({cue["id"] for cue in found["cues"]}) == len(expected)


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
