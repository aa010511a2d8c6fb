"""Recordings of a whole script, cut into lines: which stretch is which line, and what is not sure."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import pytest
from readings_heard import LINES, as_lines, reading

from guide.problem import UnusableChoice
from guide.record.cutting import AFTER_MS, BEFORE_MS, Cuts, LineCut, cut
from guide.record.line_fits import as_sounds


def cuts_of(said: Sequence[str], pace: float = 1.0) -> Cuts:
    stretches, transcript, length_ms = reading(said, pace)
    return cut("reading.wav", as_lines(LINES), stretches, length_ms, transcript)


def by_lengths(said: Sequence[str], pace: float = 1.0, lines: Sequence[str] = LINES) -> Cuts:
    stretches, _, length_ms = reading(said, pace)
    return cut("reading.wav", as_lines(lines), stretches, length_ms, None)


def found_at(cuts: Cuts) -> dict[int, tuple[int, int]]:
    """Where the speech of each line that is sure lies."""
    return {one.number: (one.start_ms + BEFORE_MS, one.end_ms - AFTER_MS) for one in cuts.cuts if not one.doubt}


def edges(said: Sequence[str], first: int, last: int | None = None, pace: float = 1.0) -> tuple[int, int]:
    """Where stretches `first` to `last` of what is said lie."""
    stretches = reading(said, pace)[0]
    return stretches[first].start_ms, stretches[first if last is None else last].end_ms


@pytest.mark.parametrize("pace", [0.7, 1.0, 1.5])
def test_a_reading_without_slips_is_cut_at_its_lines_at_any_pace(pace: float) -> None:
    expected = {number: edges(LINES, number - 1, pace=pace) for number in range(1, len(LINES) + 1)}
    cuts = cuts_of(LINES, pace)
    assert (found_at(cuts), cuts.missing) == (expected, ())


def test_pauses_within_a_line_do_not_part_it() -> None:
    said = [LINES[0].replace(", ", ",|"), LINES[1], LINES[2].replace(", ", ",|"), *LINES[3:]]
    found = found_at(cuts_of(said))
    assert (found[1], found[2], found[3]) == (edges(said, 0, 1), edges(said, 2), edges(said, 3, 4))


def test_of_a_line_that_was_read_again_the_last_counts() -> None:
    said = [*LINES[:3], "Again.", LINES[2], *LINES[3:7], LINES[6], *LINES[7:]]
    found = found_at(cuts_of(said))
    assert (found[3], found[7]) == (edges(said, 4), edges(said, 9))


def test_a_line_that_was_begun_and_broken_off_is_left_out() -> None:
    said = [*LINES[:3], "Let your right ear sink", *LINES[3:]]
    assert found_at(cuts_of(said))[4] == edges(said, 4)


def test_what_has_no_words_is_no_part_of_a_line() -> None:
    said = [*LINES[:5], "[hm]", *LINES[5:]]
    found = found_at(cuts_of(said))
    assert (found[5], found[6]) == (edges(said, 4), edges(said, 6))


def test_a_line_that_was_left_out_is_missing_and_an_exchanged_one_is_found_by_its_words() -> None:
    said = [LINES[1], LINES[0], *LINES[2:7], *LINES[8:]]
    cuts = cuts_of(said)
    assert [number for number, _ in cuts.missing] == [8]
    assert (found_at(cuts)[1], found_at(cuts)[2]) == (edges(said, 1), edges(said, 0))


def test_a_line_of_which_other_words_are_heard_is_not_sure() -> None:
    said = [*LINES[:4], "Preach to a deaf clown.", *LINES[5:]]
    assert 5 not in found_at(cuts_of(said))


def test_without_words_lines_are_told_by_their_lengths() -> None:
    cuts = by_lengths(LINES).cuts
    assert [(one.start_ms + BEFORE_MS, one.end_ms - AFTER_MS) for one in cuts] == [
        edges(LINES, number) for number in range(len(LINES))
    ]
    assert len(LINES) // 2 < len(found_at(by_lengths(LINES))) < len(LINES)


def test_without_words_what_could_be_another_line_says_which() -> None:
    said = [LINES[0], LINES[2], *LINES[4:]]
    doubts = [one.doubt for one in by_lengths(said).cuts if one.doubt]
    assert any(doubt.startswith("could also be “") for doubt in doubts), doubts


def test_without_words_lines_that_differ_by_their_side_are_never_sure() -> None:
    """Read in the wrong order they are as long as in the right one."""
    lines = [*LINES[:4], "Bird dog, right side.", "Bird dog, left side.", *LINES[5:]]
    said = [*lines[:4], lines[5], lines[4], *lines[6:]]
    assert not {5, 6} & found_at(by_lengths(said, lines=lines)).keys()
    as_written = {one.number: one.doubt for one in by_lengths(lines, lines=lines).cuts}
    assert "“Bird dog, left side.”" in as_written[5] and "“Bird dog, right side.”" in as_written[6]


def test_numbers_are_the_same_as_figures_and_as_words() -> None:
    figures, words = [str(number) for number in range(9, 24)], ["nine", "ten", "eleven", "twelve", "thirteen"]
    words += ["fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen", "twenty"]
    words += ["twenty-one", "twenty-two", "twenty-three"]
    assert [as_sounds(figure) for figure in figures] == [as_sounds(word) for word in words]


OTHERS = (
    "Welcome to Reed House. For twelve minutes there is nothing to do but breathe.",
    "Never do this in the water, or while you drive.",
    "Close your eyes.",
    "Feel the breath come in and go out, without helping it, and without any hurry at all this evening.",
    "Hum.",
    "Count four as you breathe in, and six as you breathe out.",
)


@pytest.mark.parametrize("cut_by", [cuts_of, by_lengths])
def test_the_reading_of_another_class_is_refused(cut_by: "type[Cuts]") -> None:
    with pytest.raises(UnusableChoice, match=r"^reading.wav: \d+ % of what is spoken there is known for lines of this"):
        cut_by(OTHERS)


def test_a_cut_in_which_words_are_lost_is_doubtful() -> None:
    """A recogniser that leaves out a line broken off gives its words to the line that follows."""
    said = [
        *LINES[:7],
        "Stretch your right arm|out in front, palm up, and draw the fingers back with your left hand.",
        *LINES[8:],
    ]
    stretches, transcript, length_ms = reading(said)
    first, second = transcript.blocks[7], transcript.blocks[8]
    moved = replace(first, text="Stretch"), replace(second, text=f"your right arm {second.text}")
    lost = replace(transcript, blocks=(*transcript.blocks[:7], *moved, *transcript.blocks[9:]))
    cuts = cut("reading.wav", as_lines(LINES), stretches, length_ms, lost).cuts
    assert [(one.number, one.doubt) for one in cuts if one.doubt] == [(8, "a part of it is not understood")]


def test_no_cut_reaches_into_the_next_line() -> None:
    stretches, transcript, length_ms = reading(LINES)
    cuts: Sequence[LineCut] = cut("reading.wav", as_lines(LINES), stretches, length_ms, transcript).cuts
    for before, after in pairwise(cuts):
        assert before.end_ms <= after.start_ms
