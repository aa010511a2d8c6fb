"""Large letters: every name of the pose library can be written in them, and they keep to their columns and rows."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from guide.live.screen import letters
from guide.sequence.poses.shipped_library import shipped

WRITABLE = st.text(alphabet="ABCXYZ 0189:/,'-", min_size=1, max_size=20)


def test_letters_are_drawn_as_they_stand_in_their_table() -> None:
    assert letters.written("To 5", 1) == (
        "▀▀█▀▀ ▄▀▀▄     █▀▀▀",
        "  █   █  █     ▀▀▀▄",
        "  ▀    ▀▀      ▀▀▀ ",
    )


def test_twice_as_large_is_twice_as_wide_and_as_high() -> None:
    assert letters.written("L:", 2) == (
        "██          ",
        "██        ██",
        "██          ",
        "██        ██",
        "████████    ",
        "            ",
    )


def test_every_name_of_the_library_can_be_written() -> None:
    for pose in shipped():
        assert letters.can_write(pose.name), pose.name
        assert letters.can_write(pose.sanskrit or ""), pose.sanskrit


def test_marks_are_left_out_as_unicode_takes_them_apart() -> None:
    # Source: Unicode Standard Annex 15, normalization form KD.
    assert letters.plain_letters("trikoṇāsana") == "TRIKONASANA"
    assert all(unicodedata.combining(letter) == 0 for letter in letters.plain_letters("śavāsana é"))


def test_what_has_no_letters_cannot_be_written() -> None:
    assert not letters.can_write("поза")
    assert letters.can_write("")


@given(WRITABLE, st.integers(1, 4))
def test_a_text_is_as_wide_and_as_high_as_it_is_said_to_be(text: str, scale: int) -> None:
    rows = letters.written(text, scale)
    assert len(rows) == letters.rows_of(scale)
    assert {len(row) for row in rows} == {letters.width(text, scale)}


@given(st.lists(st.text(alphabet="ABCI", min_size=1, max_size=6), max_size=6), st.integers(10, 60))
def test_wrapped_lines_hold_all_the_words_and_fit(words: list[str], columns: int) -> None:
    lines = letters.wrapped(" ".join(words), 1, columns)
    if lines is None:
        assert any(letters.width(word, 1) > columns for word in words)
        return
    assert " ".join(lines).split() == words
    assert all(letters.width(line, 1) <= columns for line in lines)


@pytest.mark.parametrize("scale", [1, 2, 3, 4])
def test_a_word_wider_than_the_room_is_not_cut(scale: int) -> None:
    assert letters.wrapped("tree W", scale, 4 * scale) is None
