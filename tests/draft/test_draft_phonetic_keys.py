"""Names and breaths are told by their sounds: what sounds alike is heard, what only looks like it is not.

The pairs are English words that dictionaries give one pronunciation, and words of the library with a letter changed.
"""

import pytest

from guide.draft.class_text import SpokenWords
from guide.draft.from_captions import draft_class
from guide.draft.heard_names import sounding
from guide.draft.phonetic_keys import alike, breath_word, breathing_word, key
from guide.draft.phrases import side_of
from guide.review.captions.transcript import read_raw
from guide.sequence.steps import Breath, Side


def body(text: str) -> str:
    return draft_class(read_raw(text.encode(), "evening.txt"), "Evening", SpokenWords.COMMENTS).partition("class:\n")[2]


@pytest.mark.parametrize(
    ("one", "other"),
    [("night", "knight"), ("rap", "wrap"), ("faze", "phase"), ("witch", "which"), ("rays", "raise"), ("too", "two")],
)
def test_words_that_sound_the_same_have_one_key(one: str, other: str) -> None:
    assert key(one) == key(other)


@pytest.mark.parametrize(("one", "other"), [("lake", "rope"), ("moon", "star"), ("sit", "roll")])
def test_words_that_sound_different_have_two_keys(one: str, other: str) -> None:
    assert key(one) != key(other)
    assert alike(one, other) < 0.6


@pytest.mark.parametrize(
    ("word", "breath"),
    [
        ("inhale", Breath.INHALE),
        ("inhaling", None),
        ("enhale", Breath.INHALE),
        ("exhaled", Breath.EXHALE),
        ("eksale", Breath.EXHALE),
        ("exactly", None),
        ("easily", None),
        ("angle", None),
    ],
)
def test_a_word_that_sounds_like_a_breath_calls_it(word: str, breath: Breath | None) -> None:
    assert breath_word(word) is breath


@pytest.mark.parametrize(("word", "is_one"), [("breathe", True), ("breeth", True), ("both", False), ("bring", False)])
def test_a_word_that_sounds_like_breathe_says_so(word: str, is_one: bool) -> None:
    assert breathing_word(word) is is_one


@pytest.mark.parametrize(
    ("word", "side"), [("rite", Side.RIGHT), ("leftt", Side.LEFT), ("light", None), ("let", None), ("lift", None)]
)
def test_a_side_is_told_by_its_sound_or_but_for_a_letter(word: str, side: Side | None) -> None:
    assert side_of(word) is side


@pytest.mark.parametrize(
    ("words", "pose"),
    [
        (("reversed", "warriar"), "reverse warrior"),
        (("the", "lake"), None),
        (("dolfine",), "dolphin"),
        (("hafl", "moom"), "half moon"),
    ],
)
def test_the_words_of_a_name_are_heard_one_by_one(words: tuple[str, ...], pose: str | None) -> None:
    heard = sounding(words)
    assert (heard[0].pose.name if heard else None) == pose


def test_hand_and_stand_is_no_handstand() -> None:
    drafted = body("0:01 Let your arms hang, hand and stand.\n0:20 Look out.\n")
    assert "handstand" not in drafted
    assert drafted.count("pose:") == drafted.count("doubtful at") == drafted.count("pose: mountain")


def test_a_name_that_was_not_heard_plainly_is_told_with_its_time_and_not_drafted() -> None:
    draft = body("0:05 Toulvin, and breathe.\n0:40 That is all.\n")
    assert "pose:" not in draft
    assert "# doubtful at 0:05: perhaps `dolphin`, not told plainly enough: Toulvin, and breathe." in draft


def test_a_name_heard_on_one_side_is_meant_on_the_other() -> None:
    said = """\
0:01 Mutton, right side. Slide your right shin forward, and let the left leg be long.
0:20 Fold over your shin as far as is easy.
1:00 Pigeon, left side. Slide your left shin forward, and let the right leg be long.
1:20 Fold over your shin as far as is easy.
2:00 That is all.
"""
    draft = body(said)
    assert "  - both sides:\n" in draft
    assert draft.count("- pose: pigeon\n") == 1
    assert "doubtful at 0:01: `pigeon`" in draft
