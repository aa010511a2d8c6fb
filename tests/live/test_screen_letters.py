"""Large letters: every name of the pose library can be written in them, and they keep to their columns and rows."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from guide.live.screen import letters
from guide.live.screen.letters import Size
from guide.sequence.poses.shipped_library import shipped

WRITABLE = st.text(alphabet="ABCXYZ 0189:/,'-", min_size=1, max_size=20)
SIZES = st.builds(Size, st.integers(5, 20), st.integers(1, 8))


def test_letters_are_drawn_as_they_stand_in_their_table() -> None:
    assert letters.written("To 5", letters.PLAIN) == (
        "▀▀█▀▀ ▄▀▀▄     █▀▀▀",
        "  █   █  █     ▀▀▀▄",
        "  ▀    ▀▀      ▀▀▀ ",
    )


def test_twice_as_large_is_twice_as_wide_and_as_high() -> None:
    assert letters.written("L:", Size(10, 4)) == (
        "██          ",
        "██        ██",
        "██          ",
        "██        ██",
        "████████    ",
    )


def test_half_as_wide_is_made_of_quarters() -> None:
    assert letters.written("To 5", Size(5, 1)) == (
        "▀▛▘▞▚  ▐▀▘",
        " ▌ ▌▐  ▝▀▖",
        " ▘ ▝▘  ▝▀ ",
    )


def test_what_is_higher_by_less_than_a_whole_has_longer_stems_and_beams_as_they_were() -> None:
    assert letters.written("E", Size(8, 2)) == ("█▀▀▀", "█▄▄ ", "█   ", "█▄▄▄")


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


def test_a_sign_without_a_letter_is_left_out_and_the_words_are_written_all_the_same() -> None:
    assert letters.plain_letters("“Inhale” ☼ — long…") == "“INHALE” — LONG..."
    assert letters.can_write("wait ☼ here") and not letters.can_write("☼")


@given(WRITABLE, SIZES)
def test_a_text_is_as_wide_and_as_high_as_it_is_said_to_be(text: str, size: Size) -> None:
    rows = letters.written(text, size)
    assert len(rows) == size.rows
    assert {len(row) for row in rows} == {letters.width(text, size)}
    if letters.plain_letters(text).strip(" -.,':"):
        # From its first half row to its last.
        assert set(rows[0]) & set("▘▝▀▌▐▛▜▞▚▙▟█") and set(rows[-1]) - {" "}


@given(WRITABLE, st.integers(5, 20), st.integers(1, 4))
def test_letters_of_even_width_need_no_quarter_blocks(text: str, high: int, half: int) -> None:
    assert set("".join(letters.written(text, Size(high, 2 * half)))) <= set(" ▀▄█")


@given(st.lists(st.text(alphabet="ABCI", min_size=1, max_size=6), max_size=6), st.integers(10, 60))
def test_wrapped_lines_hold_all_the_words_and_fit(words: list[str], columns: int) -> None:
    lines = letters.wrapped(" ".join(words), letters.PLAIN, columns)
    if lines is None:
        assert any(letters.width(word, letters.PLAIN) > columns for word in words)
        return
    assert " ".join(lines).split() == words
    assert all(letters.width(line, letters.PLAIN) <= columns for line in lines)


@given(WRITABLE, SIZES, st.integers(20, 200), st.integers(1, 4))
def test_what_is_shortened_fits_and_tells_that_it_is(text: str, size: Size, columns: int, most: int) -> None:
    columns = max(columns, letters.width("W", size))
    lines = letters.shortened(text, size, columns, most)
    assert len(lines) <= most and all(letters.width(line, size) <= columns for line in lines)
    kept, whole = "".join(lines).replace(" ", ""), letters.plain_letters(text).replace(" ", "")
    assert kept == whole or kept.endswith(".")


@pytest.mark.parametrize("scale", [1, 2, 3, 4])
def test_a_word_wider_than_the_room_is_not_cut(scale: int) -> None:
    assert letters.wrapped("tree W", Size(5 * scale, 2 * scale), 4 * scale) is None
