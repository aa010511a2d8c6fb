"""Captions of other programs beside the whole transcript that each is: ASS, TTML, JSON, tables, named speakers."""

import json

import pytest

from guide.problem import UnusableChoice
from guide.review.captions.base import over_by
from guide.review.captions.transcript import MOST_WORDS, read_raw

Expected = list[tuple[int, int, str]]


def blocks(text: str) -> Expected:
    return [(one.start_ms, one.end_ms, one.text) for one in read_raw(text.encode(), "class").blocks]


ASS_HEAD = (
    "[Script Info]\n; made by hand\nScriptType: v4.00+\n\n[V4+ Styles]\nFormat: Name, Fontname\nStyle: A,Arial\n\n"
)
ASS_FIELDS = "Format: Layer, Start, End, Style, Name, MarginL, MarginR, MarginV, Effect, Text\n"

# From memory of files found; there is no standard but the header of each file.
SUBSTATION = {
    "looks, breaks, commas, comments and drawings": (
        f"{ASS_HEAD}[Events]\n{ASS_FIELDS}"
        "Comment: 0,0:00:00.00,0:00:01.00,A,,0,0,0,,not said\n"
        "Dialogue: 0,0:00:01.00,0:00:04.50,A,Anna,0,0,0,,{\\an8}Lift your arms,\\Nand {\\i1}fold{\\i0}.\n"
        "Dialogue: 0,0:00:04.50,0:00:05.00,A,,0,0,0,,{\\p1}m 0 0 l 10 10{\\p0}\n"
        "Dialogue: 0,never,0:00:05.00,A,,0,0,0,,lost\n"
        "Dialogue: 0,0:00:05.25,1:00:09.00,A,,0,0,0,,Rest\\hhere.\n",
        [(1_000, 4_500, "Lift your arms, and fold."), (5_250, 3_609_000, "Rest here.")],
    ),
    "fields in another order, and an older kind": (
        "[Script Info]\nScriptType: v4.00\n[Events]\nFormat: Start, End, Marked, Text\n"
        "Dialogue: 0:00:01.00,0:00:02.00,Marked=0,Lift, and fold\n",
        [(1_000, 2_000, "Lift, and fold")],
    ),
}


def ttml(body: str, root: str = "") -> str:
    names = 'xmlns="http://www.w3.org/ns/ttml" xmlns:ttp="http://www.w3.org/ns/ttml#parameter"'
    return (
        f'<?xml version="1.0" encoding="UTF-8"?>\n<tt {names} {root}>'
        f"<head><metadata><title>no words</title></metadata></head><body>{body}</body></tt>\n"
    )


# Source: W3C TTML2, "time expressions" and its examples of them.
TTML = {
    "clocks, breaks, entities and no end": (
        ttml(
            '<div><p begin="00:00:01.500" end="00:00:03.000">Lift<br/>your\n   arms &amp; <span>fold</span></p>'
            '<p begin="00:00:05">Rest</p></div>'
        ),
        [(1_500, 3_000, "Lift your arms & fold"), (5_000, over_by(5_000, "Rest"), "Rest")],
    ),
    "offsets, ticks and frames, from the time of what they stand in": (
        ttml(
            '<div begin="10s"><p begin="1.5s" dur="500ms">Lift</p><p begin="20000000t" end="0.001h">and fold</p>'
            '<p begin="00:00:05:05" end="150f">Rest</p></div>',
            'ttp:frameRate="25" ttp:tickRate="10000000"',
        ),
        [(11_500, 12_000, "Lift"), (12_000, 13_600, "and fold"), (15_200, 16_000, "Rest")],
    ),
    "spans with times": (
        ttml('<div><p begin="5s" end="9s"><span begin="0s">Rest</span> <span begin="1s">here</span></p></div>'),
        [(5_000, 6_000, "Rest"), (6_000, over_by(6_000, "here"), "here")],
    ),
    "names with a prefix, and broken off": (
        '<tt:tt xmlns:tt="http://www.w3.org/ns/ttml"><tt:body><tt:div><tt:p begin="1s" end="2s">Lift</tt:p>'
        '<tt:p begin="3s" end="4s">and fo',
        [(1_000, 2_000, "Lift"), (3_000, 4_000, "and fo")],
    ),
}

JSON = {
    # Source: the podcast namespace's specification of transcripts, and what its example has.
    "a podcast's": (
        {"version": "1.0.0", "segments": [{"speaker": "Anna", "startTime": 0.5, "endTime": 1.5, "body": "Lift"}]},
        [(500, 1_500, "Lift")],
    ),
    # From memory of files found, all below.
    "a video site's, with words that come later": (
        {
            "wireMagic": "pb3",
            "events": [
                {"tStartMs": 0, "dDurationMs": 9_000, "id": 1},
                {
                    "tStartMs": 1_000,
                    "dDurationMs": 3_000,
                    "segs": [{"utf8": "Lift"}, {"utf8": " up", "tOffsetMs": 500}],
                },
                {"tStartMs": 4_000, "dDurationMs": 10, "segs": [{"utf8": "\n"}]},
            ],
        },
        [(1_000, 1_500, "Lift"), (1_500, over_by(1_500, "up"), "up")],
    ),
    "a recogniser's, with words, and the whole text besides": (
        {
            "text": " Lift up and fold",
            "segments": [
                {
                    "start": 1.0,
                    "end": 2.0,
                    "text": " Lift up",
                    "words": [{"word": " Lift", "start": 1.0}, {"word": " up", "start": 1.5}],
                },
                {"start": 3.0, "end": 4.5, "text": " and fold"},
            ],
        },
        [(1_000, 1_500, "Lift"), (1_500, 2_000, "up"), (3_000, 4_500, "and fold")],
    ),
    "another recogniser's, with clocks": (
        {"transcription": [{"timestamps": {"from": "00:00:01,000", "to": "00:00:03,500"}, "text": " Lift"}]},
        [(1_000, 3_500, "Lift")],
    ),
    "a bare list, with lengths": ([{"text": "Lift", "start": 1.5, "duration": 2}], [(1_500, 3_500, "Lift")]),
    "pairs of times": ({"chunks": [{"timestamp": [1.5, 2.0], "text": "Lift"}]}, [(1_500, 2_000, "Lift")]),
    "thousandths, told twice": (
        {
            "words": [{"text": "Lift", "start": 1_000, "end": 1_500}, {"text": "up", "start": 1_600, "end": 2_000}],
            "utterances": [{"text": "Lift up", "start": 1_000, "end": 2_000}],
        },
        [(1_000, 1_500, "Lift"), (1_600, 2_000, "up")],
    ),
    "whole seconds": ([{"start": 2, "end": 4, "text": "Lift your arms"}], [(2_000, 4_000, "Lift your arms")]),
}

# From memory of files found.
TABLES = {
    "a recogniser's, in thousandths": (
        "start\tend\ttext\n0\t3000\tLift your arms\n3000\t6000\tand fold\n",
        [(0, 3_000, "Lift your arms"), (3_000, 6_000, "and fold")],
    ),
    "labels of an editor of sound, in seconds": (
        "1.250000\t3.500000\tLift your arms\n4.000000\t5.000000\tand fold\n",
        [(1_250, 3_500, "Lift your arms"), (4_000, 5_000, "and fold")],
    ),
    "numbered, with speakers, clocks, quotes and a line that goes on": (
        '#\tSpeaker\tStart\tEnd\tText\n1\tAnna\t0:05\t0:09\t"Lift your arms"\n2\tTom\t0:09\t0:12\tand fold\nand rest\n',
        [(5_000, 9_000, "Lift your arms"), (9_000, 12_000, "and fold and rest")],
    ),
    "lengths in whole seconds": (
        "5\t3\tLift your arms\n20\t3\tand fold\n",
        [(5_000, 8_000, "Lift your arms"), (20_000, 23_000, "and fold")],
    ),
    "a start alone, with a time code": (
        "Anna\t00:00:05:12\tLift\nAnna\t00:00:07:00\tand fold\n",
        [(5_000, 7_000, "Lift"), (7_000, over_by(7_000, "and fold"), "and fold")],
    ),
}

SPEAKERS = {
    "a name before the time, on the line above": (
        "Morning class\n\nAnna Lake  0:05\nLift your arms\n\nSpeaker 1 (1:05):\nand fold\n",
        [
            (5_000, over_by(5_000, "Lift your arms"), "Lift your arms"),
            (65_000, over_by(65_000, "and fold"), "and fold"),
        ],
    ),
    "a name before the time, and the words after it": (
        "Anna: [0:05] Lift\nTom O'Hara: [0:09] Hm\n",
        [(5_000, over_by(5_000, "Lift"), "Lift"), (9_000, over_by(9_000, "Hm"), "Hm")],
    ),
    "names after the time": (
        "0:05 Anna: Lift your arms\n0:07 SPEAKER_01: Hm\n0:09 Anna: and fold\n",
        [
            (5_000, 7_000, "Lift your arms"),
            (7_000, 9_000, "Hm"),
            (9_000, over_by(9_000, "Anna: and fold"), "and fold"),
        ],
    ),
    "turns": (
        "1\n00:00:01,000 --> 00:00:02,000\n>> ANNA: Lift\n>> TOM: Hm\n\n"
        "2\n00:00:03,000 --> 00:00:04,000\n>> ANNA: and fold\n>>> Rest\n",
        [(1_000, 2_000, "Lift Hm"), (3_000, 4_000, "and fold Rest")],
    ),
    "poses and breaths are no names": (
        "0:05 Mountain: stand\n0:07 Inhale: up\n0:09 Mountain: stand\n0:11 Inhale: up\n",
        [
            (5_000, 7_000, "Mountain: stand"),
            (7_000, 9_000, "Inhale: up"),
            (9_000, 11_000, "Mountain: stand"),
            (11_000, over_by(11_000, "Inhale: up"), "Inhale: up"),
        ],
    ),
}


@pytest.mark.parametrize(("text", "expected"), SUBSTATION.values(), ids=SUBSTATION)
def test_substation_alpha_is_read_for_what_is_spoken(text: str, expected: Expected) -> None:
    assert blocks(text) == expected


@pytest.mark.parametrize(("text", "expected"), TTML.values(), ids=TTML)
def test_ttml_is_read_with_the_times_that_the_standard_gives_it(text: str, expected: Expected) -> None:
    assert blocks(text) == expected


def test_xml_with_entities_of_its_own_is_not_read() -> None:
    grown = '<!DOCTYPE tt [<!ENTITY a "aaaa">]><tt><body><div><p begin="1s">&a;</p></div></body></tt>'
    with pytest.raises(UnusableChoice, match="no line in it begins with a time"):
        read_raw(grown.encode(), "class")


@pytest.mark.parametrize(("found", "expected"), JSON.values(), ids=JSON)
def test_json_is_read_wherever_words_have_times(found: object, expected: Expected) -> None:
    assert blocks(json.dumps(found)) == expected
    assert blocks(json.dumps(found, indent=2)) == expected


@pytest.mark.parametrize("text", ['{"a": 1', '{"a": 1}', '{"a":' * 5_000, '[{"start": NaN, "text": "Lift"}]'])
def test_json_without_words_that_have_times_is_told(text: str) -> None:
    with pytest.raises(UnusableChoice, match="there are no words with times in it"):
        read_raw(text.encode(), "class")


@pytest.mark.parametrize(("text", "expected"), TABLES.values(), ids=TABLES)
def test_a_table_is_read_by_what_stands_in_its_columns(text: str, expected: Expected) -> None:
    assert blocks(text) == expected


@pytest.mark.parametrize(("text", "expected"), SPEAKERS.values(), ids=SPEAKERS)
def test_who_speaks_is_left_out(text: str, expected: Expected) -> None:
    assert blocks(text) == expected


@pytest.mark.parametrize("encoding", ["utf-16-le", "utf-16-be"])
@pytest.mark.parametrize("text", ["WEBVTT\n\n00:01.000 --> 00:04.000\nCafé\n", "0:01 – 0:04 Café\r\n"])
def test_utf_16_is_known_without_its_mark(text: str, encoding: str) -> None:
    assert [one.text for one in read_raw(text.encode(encoding), "class").blocks] == ["Café"]


def test_more_words_than_a_class_can_have_are_told() -> None:
    assert len(read_raw(b"0:05 " + b"inhale " * MOST_WORDS, "class").blocks) == 1
    with pytest.raises(UnusableChoice) as told:
        read_raw(b"0:05 " + b"inhale " * (MOST_WORDS + 1), "class")
    assert str(told.value) == (
        "class: 60001 words, and an hour of talk has some 10000 (give the captions of one class of six hours at most)"
    )
