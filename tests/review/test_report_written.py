"""The report in lines: whole texts as they were looked at, never wider than asked, and of nothing that is not known."""

import re
from dataclasses import replace
from pathlib import Path

import pytest
from any_comparison import comparisons
from examples import tried
from hypothesis import HealthCheck, given, settings
from page_samples import BY_HAND, another, heard, led, odd_names, other, rehearsed, short, unknown

from guide.drawing.text_width import width
from guide.export.comparison_page.html_page import html_page
from guide.review.comparison import Comparison
from guide.review.confidence import Basis
from guide.review.speech import Speech
from guide.review.text_report import text_report

PAGES = Path(__file__).parent / "pages"


def below(comparison: Comparison, heading: str, columns: int = 100) -> list[str]:
    """The lines under a heading, or none where it is not there."""
    parts = text_report(comparison, columns).split(f"\n\n{heading}\n")
    return parts[1].split("\n\n")[0].splitlines() if len(parts) == 2 else []


@pytest.mark.parametrize("columns", [72, 100])
@pytest.mark.parametrize("name", BY_HAND)
def test_the_whole_text_is_as_it_was_looked_at(name: str, columns: int) -> None:
    """Made anew by `python tests/review/pages/make.py`; look at it before it is kept."""
    assert text_report(BY_HAND[name](), columns) == (PAGES / f"{name}-{columns}.txt").read_text(encoding="utf-8")


@settings(tried(30), suppress_health_check=[HealthCheck.too_slow])
@given(comparisons())
def test_no_line_is_wider_than_asked_or_ends_in_a_space(comparison: Comparison) -> None:
    """Widths as the plan's table counts them, which shares no code with this."""
    for columns in (10, 85, 200):
        for line in text_report(comparison, columns).splitlines():
            assert width(line) <= min(max(columns, 72), 100), line
            assert line == line.rstrip(), line


@pytest.mark.parametrize(
    ("made", "head"),
    [
        (short, "Six minutes by the lake: planned 6:00, rehearsed 5:39 (−21 s)"),
        (lambda: short(Basis.LED), "Six minutes by the lake: planned 6:00, led 5:39 (−21 s)"),
        (lambda: short(Basis.VOICE), "Six minutes by the lake: planned 6:00, taught 5:39 (−21 s)"),
        (unknown, "Evening by the lake: planned 44:54 of the plan's 45:00; how long it took cannot be told"),
    ],
    ids=["keys", "led", "voice", "nothing"],
)
def test_the_first_line_says_what_was_done_with_the_class(made, head: str) -> None:
    assert text_report(made(), 100).splitlines()[0] == head


@pytest.mark.parametrize("made", [short, rehearsed, led, unknown], ids=["short", "rehearsed", "led", "unknown"])
def test_where_nobody_listened_nothing_is_said_of_captions_or_of_what_was_heard(made) -> None:
    shown = text_report(made(), 100)
    for word in ("caption", "heard", "recording", "spoken", "\nwords\n", "words a minute"):
        assert word not in shown.casefold(), word


@pytest.mark.parametrize(
    ("slot_ms", "told"),
    [
        (345_000, "The class would take 6:09 (1 step as planned), 24 s over the slot of 5:45"),
        (169_000, "The class would take 6:09 (1 step as planned), 3:20 over the slot of 2:49"),
        (369_400, "The class would take 6:09 (1 step as planned), just the slot of 6:09"),
        (1_500_000, "The class would take 6:09 (1 step as planned), 18:51 short of the slot of 25:00"),
        (None, "The class would take 6:09 (1 step as planned), 9 s longer than the 6:00 planned"),
    ],
)
def test_how_long_it_would_be_is_told_against_the_slot(slot_ms: int | None, told: str) -> None:
    assert below(replace(short(), slot_ms=slot_ms), "The whole")[0] == f"  {told}"


def test_what_was_kept_out_is_told_and_nothing_where_there_was_nothing() -> None:
    assert below(short(), "The whole")[1:] == ["  1:10 kept out: pauses, and what was gone back on"]
    assert len(below(replace(short(), kept_out_ms=499), "The whole")) == 1


def test_the_steps_that_ran_over_most_are_told_the_furthest_first_and_of_two_alike_the_earlier() -> None:
    assert below(short(), "Ran over most") == [
        "  0:14 Mountain: +14 s, 1:02 in place of 48 s",
        "  0:00 Talk: +2 s, 14 s in place of 12 s",
        "  1:20 Low lunge, right: +2 s, 42 s in place of 40 s",
    ]
    assert len(below(odd_names(), "Ran over most")) == 5


@pytest.mark.parametrize("made", [other, another, unknown], ids=["other", "another", "unknown"])
def test_where_no_step_is_known_nothing_is_told_of_the_whole(made) -> None:
    for heading in ("The whole", "Ran over most", "Both sides", "Left and right exchanged"):
        assert not below(made(), heading), heading


def test_of_another_class_that_was_only_heard_no_captions_are_asked_for() -> None:
    voice = Speech(None, 400_000, 1_000_000, True)
    told = " ".join(text_report(replace(other(), speech=voice, recording="a.wav"), 100).split())
    assert "1 could be found in a.wav: too few to be the same class" in told
    assert "(name a recording of this class)" in told and "caption" not in told


def test_a_step_that_is_not_known_was_left_out_by_keys_and_not_heard_by_ear() -> None:
    voice = Speech(None, 400_000, 1_000_000, True)
    for comparison, word in (
        (short(), "left out"),
        (replace(short(), speech=voice), "left out"),
        (short(Basis.LED), "left out"),
        (heard(), "not heard"),
        (short(Basis.VOICE), "not heard"),
        (unknown(), "not known"),
        (replace(unknown(), speech=voice), "not heard"),
    ):
        shown = text_report(comparison, 100)
        assert {one for one in ("left out", "not heard", "not known") if one in shown} == {word}
        assert ("that of the recording" in shown) == (word == "not heard")


def test_where_the_end_is_not_known_it_is_told_how_long_it_was_at_least() -> None:
    """To the last words where they go on after the start of the last step that is known."""
    for speech, least in ((None, "2:32"), (Speech(9, 5_000, 60_000, True), "2:32"), (heard().speech, "5:30")):
        assert text_report(replace(heard(), speech=speech), 100).split("\n")[0].endswith(f"taught at least {least}")
        assert f"at least {least}" in html_page(replace(heard(), speech=speech), "today")
    welcomed = replace(heard(), speech=Speech(9, 5_000, 330_000, True, from_ms=-60_000))
    assert "taught at least 4:30" in text_report(welcomed, 100)


def test_where_the_plan_has_more_than_its_steps_that_is_told_beside_their_length() -> None:
    longer = replace(short(), plan_ms=374_000)
    assert text_report(longer, 100).startswith("Six minutes by the lake: planned 6:00 of the plan's 6:14, rehearsed")
    assert "of the plan&#39;s 6:14" in html_page(longer, "today")
    assert "of the plan" not in text_report(replace(short(), plan_ms=360_000), 100)


def test_what_comes_after_a_class_that_was_broken_off_was_not_reached() -> None:
    *before, last = short(Basis.LED).steps
    before[-1] = replace(before[-1], real_ms=None)
    gone = replace(last, real_start_ms=None, real_ms=None, sure=0.0, rests_on=Basis.NOTHING)
    broken = replace(short(Basis.LED), real_ms=None, steps=(*before, gone))
    shown = text_report(broken, 100)
    assert re.findall("left out|not reached", shown) == ["left out", "not reached"]
    assert "left out or not reached" in html_page(broken, "today")


def test_how_sure_an_unsure_start_is_stands_beside_what_it_ran_over() -> None:
    unsure = replace(short(), steps=tuple(replace(step, sure=0.49) for step in short().steps))
    assert below(unsure, "Ran over most")[0] == "  0:14 Mountain: +14 s, 1:02 in place of 48 s (49 % sure)"
    assert "1:02 in place of 48 s (49 % sure)" in html_page(unsure, "today")


def test_a_number_stays_with_its_unit() -> None:
    for columns in range(72, 101):
        assert not [
            line for line in text_report(odd_names(), columns).splitlines() if line.strip().startswith(("s ", "% "))
        ]


def test_a_voice_tells_how_much_was_spoken_but_not_how_fast() -> None:
    spoken, *others = below(odd_names(), "Words")
    assert spoken == "  About 27 % of the time was spoken: 5:00, and 13:20 was quiet"
    assert "words a minute" not in " ".join(others)
    assert "  About 76 words a minute, quiet and all" in below(heard(), "Words")
