"""Any text at all gives a draft that reads back, with words kept as comments or as words; nothing is invented."""

from pathlib import Path

import pytest
from drafts import kept_poses, steps_of
from examples import tried
from hypothesis import example, given
from hypothesis import strategies as st
from taught import CLEAN, GARBLED, TAUGHT_CLASSES, shipped_plan, taught

from guide.draft.class_text import SpokenWords, class_text
from guide.draft.from_captions import draft_class, understood
from guide.review.captions.transcript import Segment, Transcript, words
from guide.sequence.poses.names import key_of
from guide.sequence.poses.shipped_library import shipped
from guide.sequence.reader import look

SIGNS = [
    "<side>",
    "<b>",
    "- ",
    "#",
    " # ",
    ": ",
    "key: x",
    '"',
    "'",
    "\\",
    "{",
    "[",
    "&a",
    "*a",
    "|",
    ">",
    "%",
    "@",
    "-",
]
ODD = [
    "\x85",
    "\u2028",
    "\u200b",
    "\ufeff",
    "\0",
    "\x1b",
    "\ud800",
    "\ufffe",
    "\t",
    "e\u0301",
    "ś",
    "🧘",
    "null",
    "yes",
    "1",
]
CALLED = ["inhale", "Exhale,", "breathe in", "x hail", "right", "left side.", "one", "2", "three.", "from", "come to"]
NAMES = ["Warrior two,", "plank", "child's pose.", "tree", "downward dog", "final rest.", "sun salutation", "pose"]
PIECES = st.one_of(st.sampled_from([*SIGNS, *ODD]), st.sampled_from([*CALLED, *NAMES]), st.text(max_size=6))
TEXTS = st.lists(PIECES, max_size=25).map(" ".join)


@st.composite
def transcripts(draw: st.DrawFn) -> Transcript:
    """Blocks in order of time with any text."""
    blocks, at_ms = [], 0
    for text in draw(st.lists(TEXTS, max_size=12)):
        at_ms += draw(st.integers(0, 30_000))
        end_ms = at_ms + draw(st.integers(1, 40_000))
        blocks.append(Segment(at_ms, end_ms, text))
        at_ms = end_ms
    return Transcript("any", tuple(blocks))


@example(Transcript("any", (Segment(0, 1, "¼;"),)), "", SpokenWords.WORDS)
@tried(100)
@given(transcripts(), st.text(max_size=30), st.sampled_from(SpokenWords))
def test_any_text_drafts_a_file_that_reads_back(transcript: Transcript, title: str, kept: SpokenWords) -> None:
    draft = draft_class(transcript, title, kept)
    assert look(draft, "draft.yaml", Path()).problems == ()
    assert look(draft.encode(), "draft.yaml", Path()).problems == ()
    assert steps_of(draft).steps


MOVING = "Inhale, lift your arms. Exhale, fold. And now something else altogether. "
TALKING = "It is a long story, and nobody was there to hear how it ended, or when. " * 25


@pytest.mark.parametrize(("text", "count"), [(MOVING * 3, 400), (TALKING, 30)], ids=["moving", "talking"])
def test_a_class_too_long_for_a_class_file_is_drafted_as_far_as_it_goes(text: str, count: int) -> None:
    blocks = tuple(Segment(number * 9_000, number * 9_000 + 8_000, text) for number in range(count))
    nodes, pace = understood(Transcript("long", blocks))
    for kept in SpokenWords:
        draft = class_text("Long", nodes, pace, kept)
        assert steps_of(draft).steps
        assert ("too long for one class file" in draft) == (text != TALKING)


#: Words of classes in which no pose is named.
PLAIN = ["lift", "your", "arms", "slowly", "soften", "knees", "press", "heels", "breathe", "shoulders", "gently", "now"]


@tried(100)
@given(st.lists(st.lists(st.sampled_from(PLAIN), min_size=1, max_size=12).map(" ".join), min_size=1, max_size=10))
def test_where_no_pose_is_named_none_is_drafted_without_a_mark(texts: list[str]) -> None:
    blocks = tuple(Segment(number * 9_000, number * 9_000 + 5_000, f"{text}.") for number, text in enumerate(texts))
    draft = draft_class(Transcript("plain", blocks), "Plain", SpokenWords.COMMENTS)
    assert draft.count("pose:") == draft.count("not plainly named, but told to do so")


@pytest.mark.parametrize("name", TAUGHT_CLASSES)
def test_with_clean_captions_a_pose_whose_name_is_not_among_the_words_is_marked(name: str) -> None:
    one = taught(shipped_plan(name)[1], CLEAN, 5_000, 3)
    draft = draft_class(one.transcript, name, SpokenWords.COMMENTS)
    said = key_of(" ".join(word.text for word in words(one.transcript)))
    for known in kept_poses(steps_of(draft)):
        pose = shipped().find(known)
        assert pose is not None
        named = any(key_of(written) in said for written in (pose.name, *pose.also, pose.sanskrit) if written)
        assert named or f"`{known}`" in draft, known


@pytest.mark.parametrize("name", TAUGHT_CLASSES)
def test_what_was_only_heard_like_a_name_is_marked(name: str) -> None:
    one = taught(shipped_plan(name)[1], GARBLED, 5_000, 3)
    said = " ".join(word.text for word in words(one.transcript))
    draft = draft_class(one.transcript, name, SpokenWords.WORDS)
    for known in kept_poses(steps_of(draft)):
        pose = shipped().find(known)
        assert pose is not None
        spelt = any(key_of(written) in key_of(said) for written in (pose.name, *pose.also, pose.sanskrit) if written)
        assert spelt or f"`{known}`" in draft, known
