"""What a teacher hears of her speech: one figure whatever the captions, what she says again and again, and quiet."""

from dataclasses import replace

import pytest
from page_samples import heard
from taught import LIGHT, shipped_plan, taught

from guide.review.captions.transcript import Segment, Transcript, folded
from guide.review.report_phrases import words_said
from guide.review.said_often import Often, fillers, phrases
from guide.review.speech import QuietTime, longest_quiet, speech


def test_words_a_minute_are_one_figure_however_the_captions_are_cut() -> None:
    _, timeline = shipped_plan("starter")
    found = [speech(taught(timeline, LIGHT, block_ms, 1).transcript) for block_ms in (5000, 10_000, 40_000)]
    rates = [one.words_a_minute_in_all for one in found]
    assert rates[0] is not None and rates == pytest.approx([rates[0]] * 3, rel=0.03)


def test_fillers_are_counted_and_rare_ones_are_not_told() -> None:
    said = folded("um so you know lift um so um you know so um and you know um rest you know")
    assert fillers(said) == (Often("um", 5), Often("you know", 4))


def test_a_phrase_is_told_whole_and_one_that_is_rare_is_not() -> None:
    said = folded("if you like to go on. One, two, three, four. " * 5)
    assert phrases([*said, "rest"])[0].words == "if you like to go on"
    assert phrases(["let", "it", "go"] * 3) == ()


def test_numbers_counted_aloud_are_no_phrase() -> None:
    assert phrases(["three", "two", "one"] * 20) == ()


def test_the_longest_quiet_is_told_with_when_it_began() -> None:
    assert longest_quiet([(0, 1000), (5000, 6000), (26_000, 27_000)]) == QuietTime(6000, 26_000)
    assert longest_quiet([(0, 1000), (900, 2000)]) is None


def test_the_report_has_what_was_said_often_and_the_longest_quiet() -> None:
    line = "and if you like to go on, um, you know, um"
    blocks = tuple(Segment(20_000 * number, 20_000 * number + 4000, line) for number in range(10))
    told = tuple(words_said(replace(heard(), speech=speech(Transcript("steady", blocks)))))
    assert told[2] == "About 36 words a minute, quiet and all"
    assert told[3].startswith("Longest quiet: about 16 s, from 0:0")
    assert told[4].startswith("How long before a move its words began cannot be told")
    assert told[5] == "Fillers said most: “um” 20 times, “you know” 10 times"
    assert told[6].startswith("Phrases said most: “")
