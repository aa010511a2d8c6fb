"""The table fits its width, keeps its columns straight, and tells everything in the full form."""

import unicodedata
from dataclasses import replace

import pytest
from export_samples import cue, lakeside, only_cues, span
from hypothesis import given
from hypothesis import strategies as st

from guide.drawing.text_width import cut, left, width, wrapped
from guide.export.plan_table import COUNTED, full_plan_table, plan_table
from guide.sequence.steps import CueKind, StepKind

NAMES = ["vīrabhadrāsana", "utthitahastapādāṅguṣṭhāsana", "vṛkṣāsana", "śavāsana", "parivṛttatrikoṇāsana"]


@pytest.mark.parametrize("columns", [60, 72, 80, 100, 132, 200])
def test_no_line_is_wider_than_asked_or_ends_in_a_space(columns: int) -> None:
    for text in (plan_table(lakeside(), columns), full_plan_table(lakeside(), columns)):
        lines = text.removesuffix("\n").split("\n")
        assert max(map(width, lines)) == columns
        assert not [line for line in lines if line != line.rstrip()]


def test_a_terminal_that_is_too_narrow_gets_the_narrowest_table() -> None:
    assert plan_table(lakeside(), 20) == plan_table(lakeside(), 60)


def test_marks_that_stand_alone_do_not_shift_a_column() -> None:
    """The same name in one letter or as letter and mark (Source: Unicode Annex 15) gives the same table but for it."""
    composed = lakeside()
    apart = replace(
        composed, spans=tuple(replace(one, title=unicodedata.normalize("NFD", one.title)) for one in composed.spans)
    )
    assert plan_table(apart, 80) != plan_table(composed, 80)
    assert unicodedata.normalize("NFC", plan_table(apart, 80)) == unicodedata.normalize("NFC", plan_table(composed, 80))


@pytest.mark.parametrize("name", NAMES)
def test_a_name_is_as_wide_as_its_letters(name: str) -> None:
    assert width(unicodedata.normalize("NFD", name)) == width(unicodedata.normalize("NFC", name)) == len(name)


def test_wide_letters_take_two_columns() -> None:
    """Source: Unicode Annex 11: 山 is W, full-width A is F."""
    assert width("山のポーズ") == 10 and width("Ａ") == 2


@given(st.text(st.characters(exclude_categories=["Cc", "Cs", "Zl", "Zp"])), st.integers(3, 30))
def test_cut_and_wrapped_text_fits(text: str, columns: int) -> None:
    assert width(cut(text, columns)) <= columns
    lines = wrapped(text, columns)
    assert all(width(line) <= columns for line in lines)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")
    assert width(left(cut(text, columns), columns)) == columns


def test_a_text_is_cut_after_a_whole_word() -> None:
    assert cut("Stand with your feet apart, arms long.", 28) == "Stand with your feet apart…"
    assert cut("utthitahastapādāṅguṣṭhāsana", 10) == "utthitaha…"


def test_the_full_table_has_every_word_of_every_cue() -> None:
    words = " ".join(full_plan_table(lakeside(), 80).split())
    for one in lakeside().cues:
        for word in one.words.split() if one.kind is not CueKind.COUNT else ():
            assert word in words


def test_numbers_counted_aloud_are_told_once_and_last() -> None:
    steps = (span(StepKind.POSE, "mountain", None, None, 0, 0, 16_000, 16_000, breaths=2),)
    cues = (cue(0, 500, "1", 0, CueKind.COUNT), cue(4000, 5000, "Breathe.", 0), cue(8000, 8500, "2", 0, CueKind.COUNT))
    shown = plan_table(replace(only_cues(*cues), spans=steps), 80)
    assert shown.count(COUNTED) == 1
    assert f"2 breaths  Breathe. {COUNTED}" in shown


def test_an_empty_class_still_has_a_table() -> None:
    assert "0 steps, 0 cues" in plan_table(only_cues(), 80)


def test_columns_without_sides_leave_room_for_words() -> None:
    steps = (span(StepKind.POSE, "mountain", None, None, 0, 0, 16_000, 16_000, breaths=2),)
    assert "side" not in plan_table(replace(only_cues(), spans=steps), 80).split("\n")[2]
