"""The page keeps to HTML, says what the comparison says and nothing else, and needs nothing from anywhere."""

import re
from functools import cache
from pathlib import Path
from xml.etree.ElementTree import Element

import pytest
from any_comparison import comparisons
from examples import tried
from hypothesis import HealthCheck, given, settings
from page_reading import SVG, all_of, by_id, read_page, seconds, told
from page_samples import BY_HAND, SAMPLES
from rows import each_row

from guide.export.comparison_page.html_page import html_page
from guide.review.comparison import Comparison
from guide.review.report_phrases import SURE, at_least_ms, plain, rests_on
from guide.units import clock

PAGES = Path(__file__).parent / "pages"
MADE_ON = "25 November 2026"

#: All that a page is made of; nothing in a name may add to it.
HTML_ONES = {
    "html",
    "head",
    "meta",
    "title",
    "style",
    "body",
    "main",
    "header",
    "section",
    "footer",
    "figure",
    "figcaption",
    "h1",
    "h2",
    "p",
    "div",
    "span",
    "strong",
    "bdi",
    "dl",
    "dt",
    "dd",
    "ol",
    "ul",
    "li",
    "table",
    "caption",
    "thead",
    "tbody",
    "tr",
    "th",
    "td",
}
SVG_ONES = {"svg", "title", "desc", "defs", "pattern", "path", "circle", "rect", "g", "text", "polygon"}
MADE_OF = HTML_ONES | {f"svg:{name}" for name in SVG_ONES}


@cache
def made(name: str) -> tuple[Comparison, str, Element]:
    comparison = SAMPLES[name]()
    shown = html_page(comparison, MADE_ON)
    return comparison, shown, read_page(shown)


def whole_s(ms: int) -> int:
    return (ms + 500) // 1000


@pytest.mark.parametrize("name", BY_HAND)
def test_the_whole_page_is_as_it_was_looked_at(name: str) -> None:
    """Made anew by `python tests/review/pages/make.py`; look at it before it is kept."""
    assert made(name)[1] == (PAGES / f"{name}.html").read_text(encoding="utf-8")


@pytest.mark.parametrize("name", SAMPLES)
def test_a_page_is_made_of_known_elements_and_each_name_stands_once(name: str) -> None:
    _, _, root = made(name)
    elements = {re.sub(r"^\{[^}]*\}", "svg:" if SVG in one.tag else "", one.tag) for one in root.iter()}
    assert elements <= MADE_OF
    ids = [one.get("id") for one in root.iter() if one.get("id")]
    assert len(ids) == len(set(ids))
    for one in root.iter():
        assert set((one.get("aria-labelledby") or "").split()) <= set(ids)


@each_row("name", SAMPLES)
def test_a_page_asks_for_nothing_from_anywhere(name: str) -> None:
    _, shown, root = made(name)
    assert set(re.findall(r"\w+://[^\"]+", shown)) <= {"http://www.w3.org/2000/svg"}
    assert set(re.findall(r"url\(([^)]*)\)", shown)) <= {"#unsure", "#gone", "#open"}
    assert "@import" not in shown
    for one in root.iter():
        assert not {"src", "href", "srcset", "action", "data", "style"} & set(one.keys())
        assert not [key for key in one.keys() if key.startswith("on")]  # noqa: SIM118 (an Element is no mapping)


@each_row("name", SAMPLES)
def test_every_row_of_the_table_says_what_the_comparison_says(name: str) -> None:
    comparison, _, root = made(name)
    if comparison.is_another:
        assert not all_of(root, "table")
        return
    rows = [row for row in all_of(root, "tr") if row.get("class") != "section" and all_of(row, "td")]
    assert len(rows) == len(comparison.steps)
    for step, row in zip(comparison.steps, rows, strict=True):
        head, cells = all_of(row, "th")[0], [told(cell) for cell in all_of(row, "td")]
        assert head.get("scope") == "row"
        assert (
            told(head).casefold()
            == " ".join((plain(step.title), step.side.value if step.side else "")).strip().casefold()
        )
        began, planned, took, more, sure, rests = cells
        assert seconds(planned) == whole_s(step.planned_ms)
        assert seconds(took) == (None if step.real_ms is None else whole_s(step.real_ms))
        assert seconds(more) == (None if step.real_ms is None else whole_s(step.real_ms) - whole_s(step.planned_ms))
        assert sure == ("–" if step.real_start_ms is None else f"{round(step.sure * 100)} %")
        assert rests == rests_on(comparison, step)
        assert seconds(began) == (None if step.real_start_ms is None else step.real_start_ms // 1000)


@each_row("name", SAMPLES)
def test_the_table_has_headers_for_columns_and_sections_and_a_caption(name: str) -> None:
    comparison, _, root = made(name)
    if comparison.is_another:
        return
    columns = all_of(all_of(root, "thead")[0], "th")
    assert [told(one) for one in columns] == ["Began", "Step", "Planned", "Took", "More or less", "Sure", "Rests on"]
    assert {one.get("scope") for one in columns} == {"col"}
    groups = [one for row in all_of(root, "tr", "section") for one in all_of(row, "th")]
    assert {one.get("scope") for one in groups} == {"rowgroup"}
    assert [told(one) for one in groups] == [plain(title) for title in comparison.sections]
    assert len(all_of(root, "caption")) == 1


@each_row("name", SAMPLES)
def test_what_stands_at_the_top_is_what_the_comparison_says(name: str) -> None:
    comparison, _, root = made(name)
    facts = {told(all_of(one, "dt")[0]): one for one in all_of(root, "div") if all_of(one, "dt")}
    much = {what: told(all_of(one, "span", "much")[0]) for what, one in facts.items()}
    about = {what: told(found[0]) for what, one in facts.items() if (found := all_of(one, "span", "about"))}
    assert seconds(much.pop("Planned")) == whole_s(comparison.planned_ms)
    how = next(what for what in much if what in ("Taught", "Rehearsed", "Led"))
    if comparison.real_ms is None:
        assert much.pop(how) in ("not known", f"at least {clock(at_least_ms(comparison))}")
    else:
        assert seconds(much.pop(how)) == whole_s(comparison.real_ms)
        assert seconds(about[how]) == whole_s(comparison.real_ms) - whole_s(comparison.planned_ms)
    if comparison.slot_ms is not None:
        assert seconds(much.pop("Slot")) == whole_s(comparison.slot_ms)
        if any(step.real_ms is not None for step in comparison.steps):
            over_s = whole_s(comparison.would_take_ms) - whole_s(comparison.slot_ms)
            length, word = about["Slot"].rsplit(" ", 1)
            assert (seconds(length), word) == (abs(over_s), "over" if over_s > 0 else "short")
    if comparison.kept_out_ms >= 500:
        assert seconds(much.pop("Kept out")) == whole_s(comparison.kept_out_ms)
    speech = comparison.speech
    if speech is not None:
        assert much.pop("Spoken") == f"{round(100 * speech.spoken_ms / speech.over_ms)} %"
        if speech.words is not None:
            assert much.pop("Words a minute") == f"{round(speech.words * 60_000 / speech.over_ms)}"
    assert not much


@each_row("name", SAMPLES)
def test_what_ran_over_most_comes_first_with_what_it_took(name: str) -> None:
    comparison, _, root = made(name)
    over = {step.number: whole_s(step.real_ms) - whole_s(step.planned_ms) for step in comparison.steps if step.real_ms}
    furthest = sorted((one for one in over if over[one] >= 2), key=lambda one: (-over[one], one))[:5]
    items = [told(one) for item in all_of(root, "ol") for one in all_of(item, "li")]
    assert len(items) == len(furthest)
    for number, item in zip(furthest, items, strict=True):
        step = comparison.steps[number]
        title = plain(step.title)
        side = f", {step.side.value}" if step.side else ""
        assert step.real_start_ms is not None and step.real_ms is not None
        head, at, more, took, planned, sure = re.fullmatch(
            r"(.*), at ([\d:]+): (.+), (.+) in place of (.+?)(?: \((\d+) % sure\))?", item
        ).groups()
        assert head == title[:1].upper() + title[1:] + side
        assert seconds(at) == step.real_start_ms // 1000
        assert (seconds(more), seconds(took)) == (over[number], whole_s(step.real_ms))
        assert seconds(planned) == whole_s(step.planned_ms)
        assert (sure is not None) == (step.sure < SURE) and sure in (None, str(round(100 * step.sure)))


@each_row("name", SAMPLES)
def test_both_sides_are_bars_to_one_scale_with_a_mark_where_each_was_planned_to_end(name: str) -> None:
    comparison, _, root = made(name)
    held = [
        (first, second)
        for pair in comparison.both_sides
        if (first := comparison.steps[pair.first]).kind.value != "move" and first.real_ms is not None
        if (second := comparison.steps[pair.second]).real_ms is not None
    ]
    drawn = [one for item in all_of(root, "ul", "pairs") for one in all_of(item, "li")]
    assert len(drawn) == len(held)
    longest_ms = max((max(one.real_ms or 0, one.planned_ms) for pair in held for one in pair), default=0)
    for pair, item in zip(held, drawn, strict=True):
        bars, marks = all_of(item, "svg:rect"), all_of(item, "svg:path")
        texts = [told(one) for one in all_of(item, "svg:text")]
        assert texts[0::2] == [one.side.value if one.side else "no side" for one in pair]
        assert [seconds(shown) for shown in texts[1::2]] == [whole_s(one.real_ms or 0) for one in pair]
        for one, bar, mark in zip(pair, bars, marks, strict=True):
            left = float(bar.attrib["x"])
            assert float(bar.attrib["width"]) == pytest.approx(236 * (one.real_ms or 0) / longest_ms, abs=0.1)
            assert float(mark.attrib["d"][1:].split()[0]) == pytest.approx(
                left + 236 * one.planned_ms / longest_ms, abs=0.1
            )
        longer_s = whole_s(pair[1].real_ms or 0) - whole_s(pair[0].real_ms or 0)
        differ = told(all_of(item, "p")[0])
        if abs(longer_s) < 2:
            assert differ.endswith("both alike")
        else:
            side = pair[longer_s > 0].side
            assert f"{side.value if side else 'the second'} " in differ
            assert f"{abs(longer_s)} s longer" in differ or seconds(differ.split()[-2]) == abs(longer_s)


def test_slips_are_told_with_their_time_place_and_words() -> None:
    comparison, _, root = made("odd-names")
    slip = comparison.slips[0]
    said = [told(one) for item in all_of(root, "ul", "slips") for one in all_of(item, "p")]
    assert said == [f"2:10 {slip.place}", f"planned “{slip.planned}”", f"heard “{slip.heard}”"]


def test_of_another_class_the_page_says_so_and_nothing_of_its_steps() -> None:
    _, _, root = made("another")
    assert told(all_of(root, "p", "notice")[0]).startswith("Of the plan's 64 cues 2 could be found in lakeside.srt")
    assert not list(by_id(root, "real"))
    assert not all_of(root, "ol") and not all_of(root, "table")


@settings(tried(30), suppress_health_check=[HealthCheck.too_slow])
@given(comparisons())
def test_any_comparison_gives_a_page_without_a_fault_that_names_stay_out_of(comparison: Comparison) -> None:
    root = read_page(html_page(comparison, MADE_ON))
    elements = {re.sub(r"^\{[^}]*\}", "svg:" if SVG in one.tag else "", one.tag) for one in root.iter()}
    assert elements <= MADE_OF
    assert told(all_of(root, "h1")[0]) == plain(comparison.title)
    assert f"From {plain(comparison.recording)}".strip() in told(all_of(root, "footer")[0])
    if not comparison.is_another:
        assert len(all_of(root, "td")) == 6 * len(comparison.steps)
