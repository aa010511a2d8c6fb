"""Several performances beside each other: whole reports as they were looked at, and what they may say of what is known.

No outside source but the median (NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.1) and the number of orders of
n things, n! (of which one rises all along): the lengths are worked out by hand.
"""

import json
import re
from dataclasses import replace
from pathlib import Path

import pytest
from any_comparison import comparisons
from examples import tried
from history_samples import history, performed
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from page_reading import all_of, read_page, told
from page_samples import SAMPLES, short
from taught import shipped_plan

from guide.drawing.text_width import width
from guide.export.comparison_page.history_page import history_page
from guide.problem import UnusableChoice
from guide.review.comparison import Comparison
from guide.review.comparison_json import comparison_as_json
from guide.review.confidence import Basis
from guide.review.history.history_json import history_as_json, history_schema
from guide.review.history.history_text import history_text
from guide.review.history.performances import History, HowSeen, Performance, beside_each_other
from guide.review.history.recurrences import always_over, by_chance, missing, trends, varies_most
from guide.review.kept_comparison import compare_kept, kept_comparison
from guide.review.text_report import text_report

PAGES = Path(__file__).parent / "pages"


def of(*compared: Comparison) -> History:
    return beside_each_other([Performance(one) for one in compared])


@pytest.mark.parametrize("columns", [72, 100])
def test_the_whole_text_is_as_it_was_looked_at(columns: int) -> None:
    """Made anew by `python tests/review/pages/make.py`; look at it before it is kept."""
    shown = history_text(history(), columns)
    assert shown == (PAGES / f"history-{columns}.txt").read_text(encoding="utf-8")
    assert max(map(width, shown.splitlines())) <= columns
    assert not [line for line in shown.splitlines() if line != line.rstrip()]


def test_the_whole_page_is_as_it_was_looked_at_and_keeps_to_html() -> None:
    shown = history_page(history(), "25 November 2026")
    assert shown == (PAGES / "history.html").read_text(encoding="utf-8")
    steps = [row for row in all_of(all_of(read_page(shown), "table")[1], "tr") if all_of(row, "td")]
    assert [told(all_of(row, "td")[-1]) for row in steps][1] == "55 s, 1:02?, 1:06, 1:10"


def test_a_program_can_read_it() -> None:
    shown = history_as_json(history())
    Draft202012Validator(history_schema()).validate(json.loads(shown))
    assert shown == (PAGES / "history.json").read_text(encoding="utf-8")


def test_usual_is_the_median_of_what_is_surely_known() -> None:
    mountain, lunge = history().steps[1].lengths, history().steps[4].lengths
    unsure = [[one.seen is HowSeen.UNSURE for one in each.times] for each in (mountain, lunge)]
    assert unsure == [[False, True, False, False], [False, False, False, True]], "the inhale after it, and itself"
    assert (mountain.usual_ms, lunge.usual_ms) == (66_400, 40_000), "of 55, 66.4 and 70 s; of 29.5, 40 and 58 s"
    assert history().steps[6].lengths.usual_ms == 180_000 and history().whole.usual_ms == 353_900


def test_what_was_left_out_is_told_apart_from_what_nobody_heard_and_what_was_not_reached() -> None:
    tree = next(one for one in missing(history()) if one.step.step.title == "tree")
    assert (tree.left_out, tree.not_heard, tree.of) == (1, 2, 4)
    broken = performed("a.jsonl", {})
    *before, last = broken.steps
    before[-1] = replace(before[-1], real_ms=None)
    gone = replace(last, real_start_ms=None, real_ms=None, sure=0.0, rests_on=Basis.NOTHING)
    broken = replace(broken, real_ms=None, steps=(*before, gone))
    found = of(broken, short())
    assert found.steps[-1].lengths.times[0].seen is HowSeen.NOT_REACHED
    assert [one.step.step.title for one in missing(found)] == ["tree"]
    assert re.search("Silence .* ·, 7 s\n", history_text(found, 100))


def test_over_always_is_each_time_that_is_known_and_no_length_that_is_unsure_counts() -> None:
    names = [one.name for one in always_over(of(performed("a", {}), performed("b", {1: 47_000})))]
    assert "0:12 Mountain" not in names and "0:00 Talk" in names
    unsure = performed("b", {1: 47_000}, sure=0.79)
    assert not always_over(of(performed("a", {}), unsure)), "known once is no always"
    assert not varies_most(of(performed("a", {}), unsure))


@pytest.mark.parametrize(("times", "one_in"), [(4, 12), (5, 60), (6, 360)])
def test_how_often_chance_looks_like_a_trend_is_told(times: int, one_in: int) -> None:
    grown = [performed(f"{number}", {1: 50_000 + 2_000 * number}) for number in range(times)]
    assert by_chance(times) == one_in
    assert [one.name for one in trends(of(*grown))] == ["The whole class", "Section Arriving", "0:12 Mountain"]
    assert not trends(of(*grown[:3])), "of three, one in three looks so"
    assert not trends(of(*grown[:2], grown[3], grown[2]))


def test_a_performance_that_is_given_twice_counts_once() -> None:
    with pytest.raises(UnusableChoice, match=r"1 of 2 counts .b: the same performance as a.: name another"):
        of(performed("a", {}), performed("b", {}))
    with pytest.raises(UnusableChoice, match=r"one is given: name another"):
        of(performed("a", {}))


@settings(tried(15), suppress_health_check=[HealthCheck.too_slow])
@given(comparisons(), st.integers(2, 5), st.randoms(use_true_random=False))
def test_any_performances_can_be_shown(comparison: Comparison, count: int, random) -> None:
    """Every figure lies between the least and the most of what is known, and every page keeps to HTML."""
    made = [
        replace(
            comparison,
            is_another=False,
            steps=tuple(
                replace(one, real_ms=None if one.real_ms is None else one.real_ms + random.randrange(9000), sure=0.9)
                for one in comparison.steps
            ),
        )
        for _ in range(count)
    ]
    try:
        found = of(*made)
    except UnusableChoice:
        return
    for one in json.loads(history_as_json(found))["steps"]:
        if one["surely"]:
            assert one["least_ms"] <= one["usual_ms"] <= one["most_ms"]
    for columns in (72, 100):
        assert max(map(width, history_text(found, columns).splitlines())) <= columns
    read_page(history_page(found, "today"))


@pytest.mark.parametrize("name", ["desk-break", "led"])
def test_a_comparison_that_was_kept_says_the_same_when_it_is_read_again(name: str) -> None:
    comparison = SAMPLES[name]()
    steps, timeline = shipped_plan("starter" if name == "led" else name)
    kept = kept_comparison(b"\xef\xbb\xbf" + comparison_as_json(comparison).encode())
    assert kept is not None
    assert compare_kept(steps, timeline, comparison.recording, kept) == comparison
    assert (
        text_report(compare_kept(steps, timeline, "x", kept), 100).partition("\n")[2]
        == (text_report(replace(comparison, recording="x"), 100).partition("\n")[2])
    )


def test_a_comparison_from_before_a_step_came_in_still_tells_of_the_others() -> None:
    comparison = SAMPLES["led"]()
    steps, timeline = shipped_plan("starter")
    kept = json.loads(comparison_as_json(comparison))
    del kept["steps"][4]
    found = compare_kept(steps, timeline, "old.json", kept)
    starts = [one.real_start_ms for one in comparison.steps]
    assert [one.real_start_ms for one in found.steps] == [*starts[:4], None, *starts[5:]]


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"steps": []}, "0 of its 0 poses and rests are among the [0-9]+ of this class"),
        ({"how": "sung"}, "this comparison cannot be read"),
        ({"slips": [{}]}, "this comparison cannot be read"),
        ({"heard": "many"}, "this comparison cannot be read"),
    ],
)
def test_a_kept_comparison_that_tells_nothing_is_refused_in_a_sentence(change: dict[str, object], message: str) -> None:
    steps, timeline = shipped_plan("starter")
    kept = json.loads(comparison_as_json(SAMPLES["led"]())) | change
    with pytest.raises(UnusableChoice, match=f"old.json: {message}"):
        compare_kept(steps, timeline, "old.json", kept)


@pytest.mark.parametrize("raw", [b"", b"[1]", b"{", b'{"start": 1, "text": "Lift"}', b"WEBVTT", b"{" * 9999])
def test_no_other_file_is_taken_for_a_comparison(raw: bytes) -> None:
    assert kept_comparison(raw) is None
