"""A file of captions beside the whole transcript that it is, in each format."""

from pathlib import Path

import pytest
from rows import each_row

from guide.problem import UnusableChoice
from guide.review.captions.base import over_by
from guide.review.captions.transcript import (
    MOST_BYTES,
    WHAT_IT_MAY_BE,
    Segment,
    Transcript,
    Word,
    folded,
    read,
    read_raw,
    words,
)


def blocks(text: str) -> list[tuple[int, int, str]]:
    return [(one.start_ms, one.end_ms, one.text) for one in read_raw(text.encode(), "class").blocks]


# Source of the first four: W3C WebVTT, its own examples, each named.
WEBVTT = {
    "line breaking": (
        "WEBVTT\n\n00:01.000 --> 00:04.000\nNever drink liquid nitrogen.\n\n"
        "00:05.000 --> 00:09.000\n— It will perforate your stomach.\n— You could die.\n",
        [
            (1_000, 4_000, "Never drink liquid nitrogen."),
            (5_000, 9_000, "— It will perforate your stomach. — You could die."),
        ],
    ),
    "styles, notes and a name of a caption": (
        "WEBVTT\n\nSTYLE\n::cue {\n  color: papayawhip;\n}\n\nNOTE comment blocks can be used between style blocks.\n\n"
        "hello\n00:00:00.000 --> 00:00:10.000\nHello <b>world</b>.\n\n"
        "NOTE style blocks cannot appear after the first cue.\n",
        [(0, 10_000, "Hello world.")],
    ),
    "voices": (
        "WEBVTT\n\n00:00.000 --> 00:02.000\n<v.first.loud Esme>It's a blue apple tree!\n\n"
        "00:04.000 --> 00:06.000\n<v Esme>Hee!</v> <i>laughter</i>\n",
        [(0, 2_000, "It's a blue apple tree!"), (4_000, 6_000, "Hee! laughter")],
    ),
    "regions, with captions that stay": (
        "WEBVTT\n\nREGION\nid:fred\nwidth:40%\nlines:3\nscroll:up\n\n"
        "00:00:00.000 --> 00:00:20.000 region:fred align:left\n<v Fred>Hi, my name is Fred\n\n"
        "00:00:02.500 --> 00:00:22.500 region:bill align:right\n<v Bill>Hi, I'm Bill\n",
        [(0, 2_500, "Hi, my name is Fred"), (2_500, 22_500, "Hi, I'm Bill")],
    ),
    # Source: W3C WebVTT, "collect a WebVTT block"; the platform tests for it, arrows.
    "arrows in wrong places": (
        "WEBVTT\n\n-->\n00:00:00.000 --> 00:00:01.000\none\nfoo-->\n00:00:01.000 --> 00:00:02.000\ntwo\n-->foo\n"
        "00:00:02.000 --> 00:00:03.000\nthree\n--->\n"
        "00:00:03.000 --> 00:00:04.000\nfour\n\n00:00:04.000 -- -->\nlost\n",
        [(0, 1_000, "one"), (1_000, 2_000, "two"), (2_000, 3_000, "three"), (3_000, 4_000, "four")],
    ),
    # Source: the platform tests for WebVTT, times, white space and signature.
    "times in other clothes, and impossible ones": (
        "WEBVTT\ttitle\nKind: captions\n\n  0:00:00.000-->\t000:00:01.000 align:start\none\n\n"
        "00:60.000 --> 00:61.000\nlost\n\n00:00:00.000 - 00:00:01.000\nlost\n\n00:01:02.250 --> 01:00:00.000\ntwo",
        [(0, 1_000, "one"), (62_250, 3_600_000, "two")],
    ),
    # Source: W3C WebVTT, "WebVTT timestamp tag", and "Source" of HTML's references.
    "words with times, references and tags": (
        "WEBVTT\n\n00:10.000 --> 00:14.000\n<c.white>Fold</c> &amp; breathe,<00:00:12.500> <lang sa>śavāsana</lang>"
        "<00:00:09.000> &lt;now&gt;<00:00:14.500> soft <c\n",
        [(10_000, over_by(10_000, "Fold & breathe,"), "Fold & breathe,"), (12_500, 14_000, "śavāsana <now> soft")],
    ),
    # From memory of files found: commas, and no empty line after the header.
    "slips that are read": (
        "WEBVTT\n0:01,5 --> 0:02,000\none\n",
        [(1_500, 2_000, "one")],
    ),
}

# There is no standard for these two; from memory of files found.
SUBRIP = {
    "as it should be": (
        "1\n00:00:01,000 --> 00:00:04,000\nLift your arms,\nand fold.\n\n2\n00:00:05,250 --> 01:00:09,000\nRest.\n",
        [(1_000, 4_000, "Lift your arms, and fold."), (5_250, 3_609_000, "Rest.")],
    ),
    "looks, places and references": (
        "7\n00:00:01,000 --> 00:00:02,000  X1:40 X2:600\n"
        '{\\an8}<font color="#fff">Don&#39;t</font> <i>rush</i>, 3 < 4\n',
        [(1_000, 2_000, "Don't rush, 3 < 4")],
    ),
    "counted aloud, with empty lines and without numbers": (
        "00:00:01.000 --> 00:00:02.000\n5\n\n00:00:02.000 -> 00:00:03.000\n\n4\n\nthree\n\n12\n0:0:4 --> 0:0:5\n2\n13\n"
        "00:00:05,000 --> 00:00:06,000\n1",
        [(1_000, 2_000, "5"), (2_000, 3_000, "4 three"), (4_000, 5_000, "2"), (5_000, 6_000, "1")],
    ),
    "a number said last": (
        "1\n00:00:01,000 --> 00:00:02,000\n3\n2\n\n2\n00:00:02,000 --> 00:00:03,000\n1\n",
        [(1_000, 2_000, "3 2"), (2_000, 3_000, "1")],
    ),
    "out of order, together and within each other": (
        "1\n00:00:05,000 --> 00:00:09,000\nlater\n\n2\n00:00:01,000 --> 00:00:08,000\nLeft foot\n\n"
        "3\n00:00:01,000 --> 00:00:02,000\nback\n\n4\n00:00:06,000 --> 00:00:06,000\nat once\n",
        [(1_000, 5_000, "Left foot back"), (5_000, 6_000, "later"), (6_000, 6_001, "at once")],
    ),
    "sounds that are told": (
        "1\n00:00:01,000 --> 00:00:02,000\n[soft music]\n\n2\n00:00:03,000 --> 00:00:04,000\n♪ [bell] Sit. ♪\n\n"
        "3\n00:00:05,000 --> 00:00:06,000\n…\n",
        [(3_000, 4_000, "Sit.")],
    ),
}

# The end of words without one is when a very slow voice has said them; see `over_by`.
PLAIN = {
    "in brackets": (
        "[0:05] Lift your arms\n[0:07] and fold\n[1:02:03] Rest here\n",
        [
            (5_000, 7_000, "Lift your arms"),
            (7_000, over_by(7_000, "and fold"), "and fold"),
            (3_723_000, over_by(3_723_000, "Rest here"), "Rest here"),
        ],
    ),
    "without brackets, with a title, going on in the next line": (
        "Morning class\n\n0:05 - Lift your arms\nand fold\n75:00 Rest here\n",
        [
            (5_000, over_by(5_000, "Lift your arms and fold"), "Lift your arms and fold"),
            (4_500_000, over_by(4_500_000, "Rest here"), "Rest here"),
        ],
    ),
    "on the line before": (
        "0:05\nLift your arms\n\n1:05:00\nRest here\n",
        [
            (5_000, over_by(5_000, "Lift your arms"), "Lift your arms"),
            (3_900_000, over_by(3_900_000, "Rest here"), "Rest here"),
        ],
    ),
    "from and to": (
        "[00:01.000 --> 00:09.500]  Lift your arms\n0:10 – 0:12.5 and fold\n"
        "0:00:15.000,0:00:16.000\nstand\n(0:20) Rest here\n",
        [
            (1_000, 9_500, "Lift your arms"),
            (10_000, 12_500, "and fold"),
            (15_000, 16_000, "stand"),
            (20_000, over_by(20_000, "Rest here"), "Rest here"),
        ],
    ),
    "out of order": (
        "0:20 Rest here\n0:05 and fold\n",
        [(5_000, over_by(5_000, "and fold"), "and fold"), (20_000, over_by(20_000, "Rest here"), "Rest here")],
    ),
    "as to a song": (
        "[ti:Morning]\n[length: 1:00]\n[00:05.25]Lift your arms\n[00:06.50]\n[00:10.00]\u200b[breathe] Rest here\n",
        [(5_250, 6_500, "Lift your arms"), (10_000, over_by(10_000, "Rest here"), "Rest here")],
    ),
    "with words that look like times": (
        "0:05 At 1:05 breathe\n3 times 4:4\n0:06x is none\n10:05am too\n",
        [
            (
                5_000,
                over_by(5_000, "At 1:05 breathe 3 times 4:4 0:06x is none 10:05am too"),
                "At 1:05 breathe 3 times 4:4 0:06x is none 10:05am too",
            )
        ],
    ),
}


@pytest.mark.parametrize(("text", "expected"), WEBVTT.values(), ids=WEBVTT)
def test_webvtt_is_read_as_the_standard_says(text: str, expected: list[tuple[int, int, str]]) -> None:
    assert blocks(text) == expected


@pytest.mark.parametrize(("text", "expected"), SUBRIP.values(), ids=SUBRIP)
def test_subrip_is_read_as_it_is_found(text: str, expected: list[tuple[int, int, str]]) -> None:
    assert blocks(text) == expected


@pytest.mark.parametrize(("text", "expected"), PLAIN.values(), ids=PLAIN)
def test_a_plain_transcript_is_read_with_its_times(text: str, expected: list[tuple[int, int, str]]) -> None:
    assert blocks(text) == expected


ONE_OF_EACH = [WEBVTT["line breaking"], SUBRIP["as it should be"], PLAIN["on the line before"]]


@each_row("text, expected", ONE_OF_EACH)
@each_row("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
@each_row("line_end", ["\n", "\r\n", "\r"])
def test_marks_line_ends_and_encodings_change_nothing(
    text: str, expected: list[tuple[int, int, str]], encoding: str, line_end: str
) -> None:
    raw = text.replace("\n", line_end).encode(encoding)
    assert [(one.start_ms, one.end_ms, one.text) for one in read_raw(raw, "class").blocks] == expected


def test_letters_of_western_europe_are_read_where_it_is_not_utf_8() -> None:
    assert read_raw("0:05 Café à l'œuvre\n".encode("cp1252"), "class").blocks[0].text == "Café à l'œuvre"
    assert read_raw(b"0:05 Caf\xe9 \x81\n", "class").blocks[0].text.startswith("Café")


def test_a_format_is_known_by_what_is_in_the_file_whatever_it_is_called(tmp_path: Path) -> None:
    path = tmp_path / "class.srt"
    path.write_text("WEBVTT\n\n00:01.000 --> 00:04.000\nLift\n\n1\n00:05.000 --> 00:06.000\nFold\n", encoding="utf-8")
    assert read(path) == Transcript(str(path), (Segment(1_000, 4_000, "Lift"), Segment(5_000, 6_000, "Fold")))


UNUSABLE = {
    "nothing": (b"", "class: there is nothing in it"),
    "blanks alone": (b" \r\n\t\n", "class: there is nothing in it"),
    "a film": (b"\x00\x00\x00\x18ftypmp42", "class: this is not a text file"),
    "words without times": (b"Lift your arms\nand fold\n", "class: no line in it begins with a time"),
    "a class file": (b"title: T\nclass:\n  - pose: tree\n    hold: 1:30\n", "class: no line in it begins with a time"),
    "captions without words": (
        b"WEBVTT\n\n00:01.000 --> 00:02.000\n[music]\n",
        "class: there are no words with times in it",
    ),
    "a header alone": (b"WEBVTT", "class: there are no words with times in it"),
    "times alone": (b"0:05\n0:10\n", "class: there are no words with times in it"),
}


@pytest.mark.parametrize(("raw", "sentence"), UNUSABLE.values(), ids=UNUSABLE)
def test_anything_else_is_told_with_what_to_give(raw: bytes, sentence: str) -> None:
    with pytest.raises(UnusableChoice) as told:
        read_raw(raw, "class")
    assert str(told.value) == f"{sentence} ({WHAT_IT_MAY_BE})"


def test_what_cannot_be_opened_is_told(tmp_path: Path) -> None:
    with pytest.raises(UnusableChoice) as told:
        read(tmp_path / "none.vtt")
    assert str(told.value) == f"{tmp_path / 'none.vtt'}: there is no such file (give the captions of the class)"
    with pytest.raises(UnusableChoice) as told:
        read(tmp_path)
    assert str(told.value) == f"{tmp_path}: this is a folder, not a file (give the captions of the class)"
    with pytest.raises(UnusableChoice) as told:
        read(Path("a\0b"))
    assert str(told.value) == "a\0b: this file cannot be read (embedded null byte)"
    with pytest.raises(UnusableChoice, match="this file cannot be read"):
        read(tmp_path / ("long" * 100))


def test_a_file_too_long_for_captions_is_told_without_being_read(tmp_path: Path) -> None:
    path = tmp_path / "film.mp4"
    with path.open("wb") as file:
        file.truncate(MOST_BYTES + 1)
    with pytest.raises(UnusableChoice) as told:
        read(path)
    assert str(told.value) == f"{path}: longer than 8 MB, too long for captions ({WHAT_IT_MAY_BE})"


def test_a_word_has_the_share_of_time_that_its_letters_have() -> None:
    said = Transcript("class", (Segment(1_000, 3_000, "Śvāsa, hip-width!"), Segment(4_000, 4_001, "Don’t — 4x")))
    assert words(said) == (
        Word("svasa", 1_000, 1_769),
        Word("hip", 1_769, 2_230),
        Word("width", 2_230, 3_000),
        Word("dont", 4_000, 4_000),
        Word("4x", 4_000, 4_001),
    )


def test_words_are_compared_in_lower_case_without_marks() -> None:
    text = "Adho Mukha ŚVĀNĀSANA — it's_hip-width, CAFÉ ½ e\u0301"
    assert folded(text) == ("adho", "mukha", "svanasana", "its", "hip", "width", "cafe", "1", "2", "e")
    assert folded("… ♪ -") == ()


def test_words_without_an_end_are_over_when_the_slowest_voice_has_said_them() -> None:
    # Twelve letters: 285 ms and 54 ms a letter, as `guide.plan.estimate` has it, at four tenths of its speed.
    assert over_by(5_000, "Lift your arms") == 5_000 + 2_332
