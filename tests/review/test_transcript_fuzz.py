"""Any text at all, and any bytes, give a transcript that keeps its promises, or one sentence."""

from itertools import pairwise

from examples import some, tried
from hypothesis import given, settings
from hypothesis import strategies as st

from guide.problem import UnusableChoice
from guide.review.captions.transcript import WHAT_IT_MAY_BE, Transcript, folded, read_raw, words

STAMPS = st.builds(
    "{}{}:{:02}{}".format,
    st.sampled_from(["", "0:", "00:", "1:", "999999:", "-1:"]),
    st.integers(0, 70),
    st.integers(0, 70),
    st.sampled_from(["", ".000", ",5", ".25", ".0000", ":12"]),
)

MARKS = [
    "WEBVTT",
    "[Events]\nDialogue: 0,",
    "<tt><body><p begin='1s'>",
    "</p>",
    '[{"start": 1, "text": "',
    '"}]',
    "Anna: ",
    "Tom  ",
    "NOTE",
    "STYLE",
    " --> ",
    "-->",
    "->",
    "\n",
    "\n\n",
    "\r\n",
    "\r",
    " ",
    "\t",
    "\0",
    "\ufeff",
    "[",
    "]",
]
TAGS = ["<", ">", "<c>", "</c>", "<v Anna>", "<00:00:01.500>", "&amp;", "&#x0;", "&", "{\\an8}", "♪", "1", "2"]
SAID = ["Lift", "lift", "your", "arms,", "śavāsana", "e\u0301", "\u0301", "½", "\u200b", "\u2028", "\x85", "𝟙"]

PIECES = st.one_of(
    st.sampled_from([*MARKS, *TAGS, *SAID]),
    STAMPS,
    st.builds("{} --> {}\n".format, STAMPS, STAMPS),
    st.text(max_size=8),
)

TEXTS = st.builds(
    "{}{}".format, st.sampled_from(["", "WEBVTT\n\n", "\ufeff"]), st.lists(PIECES, max_size=40).map("".join)
)


def promises_kept(transcript: Transcript) -> None:
    assert transcript.blocks
    assert all(0 <= one.start_ms < one.end_ms for one in transcript.blocks)
    assert all(one.end_ms <= after.start_ms for one, after in pairwise(transcript.blocks))
    assert all(one.text == " ".join(one.text.split()) and one.text for one in transcript.blocks)
    found = words(transcript)
    assert [word.text for word in found] == [text for one in transcript.blocks for text in folded(one.text)]
    assert all(word.text and word.start_ms <= word.end_ms for word in found)
    assert all(word.end_ms <= after.start_ms for word, after in pairwise(found))


def read_or_told(raw: bytes) -> Transcript | None:
    try:
        return read_raw(raw, "class")
    except UnusableChoice as told:
        fixes = (f" ({WHAT_IT_MAY_BE})", " (give the captions of one class of six hours at most)")
        assert str(told).startswith("class: ") and str(told).endswith(fixes)
        return None


@tried(300)
@given(TEXTS)
def test_any_text_gives_a_transcript_or_a_sentence(text: str) -> None:
    transcript = read_or_told(text.encode("utf-8", "surrogatepass"))
    if transcript is not None:
        promises_kept(transcript)


@tried(150)
@given(st.binary(max_size=200) | TEXTS.map(lambda text: text.encode("utf-16", "replace")[:-1]))
def test_any_bytes_give_a_transcript_or_a_sentence(raw: bytes) -> None:
    transcript = read_or_told(raw)
    if transcript is not None:
        promises_kept(transcript)


@settings(deadline=None)
@given(st.text(max_size=60))
def test_folded_words_fold_to_themselves(text: str) -> None:
    once = folded(text)
    assert folded(" ".join(once)) == once


def test_long_files_without_end_are_read_in_one_walk() -> None:
    """A caption for each of a quarter of a million tags, stamps or brackets would take hours if each looked at all."""
    for many, times in (("<", 250), ("[", 250), ("1:05", 55), ("0:05 a\n", 19), ("&amp", 55), ("\n", 250)):
        for head in ("WEBVTT\n\n00:01.000 --> 00:02.000\nwords ", "1\n0:0:1,0 --> 0:0:2,0\nwords ", "0:01 words "):
            transcript = read_or_told((head + many * some(times * 1000)).encode())
            assert transcript is not None
            assert folded(transcript.blocks[0].text)[0] == "words"


def test_openings_of_other_formats_that_never_end_are_read_in_one_walk() -> None:
    """What is looked for at the start would take hours if it were tried in every way that it can be cut."""
    endless = (("<?xml?>", "<!---->"), ("<!--", "--><!--"), ("[Script", ";a\n"), ('[{"a":', '{"a":'), ("", "1\t2\t"))
    for head, many in endless:
        transcript = read_or_told((head + many * some(60_000)).encode())
        assert transcript is None or transcript.blocks
