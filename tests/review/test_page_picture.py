"""The picture is to scale and well-formed, its words have room and can be read, and it is for light and dark paper."""

import importlib.util
import re
import sys
from functools import cache
from itertools import combinations, pairwise
from pathlib import Path
from types import ModuleType
from xml.etree.ElementTree import Element

import pytest
from any_comparison import comparisons
from examples import tried
from hypothesis import HealthCheck, given, settings
from page_reading import SVG, all_of, by_id, drawn_blocks, read_page, read_picture, seconds, told
from page_samples import SAMPLES, odd_names, short
from rows import each_row

from guide.drawing.text_size import fitting, width_px
from guide.export.comparison_page import colours
from guide.export.comparison_page.html_page import html_page
from guide.export.comparison_page.picture import picture
from guide.export.time_axis import Axis, ticks
from guide.review.comparison import Comparison

README = Path(__file__).parents[1] / "readme"


@cache
def made(name: str) -> tuple[Comparison, Element]:
    comparison = SAMPLES[name]()
    return comparison, read_picture(picture(comparison))


def scale(root: Element) -> tuple[float, float]:
    """Where the axis begins and the pixels of a second, from two of its ticks and what stands under them."""
    axis = by_id(root, "axis")
    marks = [(float(one.attrib["x"]), seconds(told(one))) for one in axis.iter(SVG + "text")]
    (first_px, first_s), (last_px, last_s) = marks[0], marks[-1]
    assert first_s is not None and last_s is not None
    px_per_s = (last_px - first_px) / (last_s - first_s)
    return first_px - first_s * px_per_s, px_per_s


@pytest.mark.parametrize("name", SAMPLES)
def test_every_block_lies_where_its_times_say_to_a_tenth_of_a_pixel(name: str) -> None:
    comparison, root = made(name)
    left_px, px_per_s = scale(root)
    begins_ms = comparison.steps[0].planned_start_ms
    planned = {step: (x, wide) for step, x, wide in drawn_blocks(root, "planned")}
    assert set(planned) == {step.number for step in comparison.steps}
    for step in comparison.steps:
        x, wide = planned[step.number]
        assert x == pytest.approx(left_px + (step.planned_start_ms - begins_ms) / 1000 * px_per_s, abs=0.1)
        assert wide == pytest.approx(step.planned_ms / 1000 * px_per_s, abs=0.1)
    real = {step: (x, wide) for step, x, wide in drawn_blocks(root, "real")}
    known = [step for step in comparison.steps if step.real_start_ms is not None]
    assert set(real) == {step.number for step in known}
    for step in known:
        x, wide = real[step.number]
        from_first_ms = (step.real_start_ms or 0) - (known[0].real_start_ms or 0)
        assert x == pytest.approx(planned[known[0].number][0] + from_first_ms / 1000 * px_per_s, abs=0.1)
        if step.real_ms is not None:
            assert wide == pytest.approx(step.real_ms / 1000 * px_per_s, abs=0.1)


@each_row("name", SAMPLES)
def test_steps_are_joined_from_both_ends_above_to_both_ends_below(name: str) -> None:
    _, root = made(name)
    planned = {step: (x, x + wide) for step, x, wide in drawn_blocks(root, "planned")}
    ends = [(*planned[step], x + wide, x) for step, x, wide in drawn_blocks(root, "real")]
    joins = [[float(point.split(",")[0]) for point in one.attrib["points"].split()] for one in by_id(root, "joins")]
    assert len(joins) == len(ends)
    for join, wanted in zip(joins, ends, strict=True):
        assert join == pytest.approx(wanted, abs=0.02)


@each_row("name", SAMPLES)
def test_the_slot_is_where_the_axis_has_its_time(name: str) -> None:
    comparison, root = made(name)
    left_px, px_per_s = scale(root)
    lines = all_of(root, "svg:path", "slot")
    assert len(lines) == (comparison.slot_ms is not None)
    for line in lines:
        at_px = float(re.match(r"M([\d.]+)", line.attrib["d"])[1])
        assert at_px == pytest.approx(left_px + (comparison.slot_ms or 0) / 1000 * px_per_s, abs=0.1)


def test_what_is_longer_shorter_unsure_unknown_or_left_out_looks_so() -> None:
    comparison, root = made("odd-names")
    looks = {
        int(group.attrib["data-step"]): next(group.iter(SVG + "rect")).attrib["class"].split()[0]
        for group in by_id(root, "real")
        if group.get("data-step")
    }
    for step in comparison.steps:
        if step.real_start_ms is None:
            assert step.number not in looks
        elif step.real_ms is None:
            assert looks[step.number] == "open"
        else:
            over_ms = step.real_ms - step.planned_ms
            assert looks[step.number] == ("held" if abs(over_ms) < 1500 else "over" if over_ms > 0 else "under")
    planned = [one.attrib["class"] for one in by_id(root, "planned").iter(SVG + "rect") if "class" in one.attrib]
    assert planned.count("gone") == 1
    striped = [one for one in by_id(root, "real").iter(SVG + "rect") if one.get("fill") == "url(#unsure)"]
    assert len(striped) == sum(step.sure < 0.8 and step.real_start_ms is not None for step in comparison.steps)
    gaps = [told(one.find(SVG + "title")) for one in by_id(root, "real") if one.get("data-step") is None]
    assert gaps[-1] == "20 s that belong to no step"


def test_each_look_that_there_is_has_its_word_in_the_legend() -> None:
    words = [told(one) for one in by_id(made("odd-names")[1], "legend").iter(SVG + "text")]
    assert words == [
        "step as planned",
        "took longer",
        "was shorter",
        "start unsure",
        "end not known",
        "not heard",
        "counts for no step",
    ]
    assert "left out" in [told(one) for one in by_id(made("rehearsed")[1], "legend").iter(SVG + "text")]


def test_the_picture_is_told_to_those_who_do_not_see_it() -> None:
    root = made("short")[1]
    assert root.get("role") == "img"
    assert root.get("aria-labelledby") == "bands-title bands-description"
    assert told(by_id(root, "bands-title")) == "Six minutes by the lake: planned and rehearsed"
    assert told(by_id(root, "bands-description")) == (
        "Two bands over one time axis: the steps as planned above, as they were below. The class would take 6:09 "
        "(1 step as planned), 9 s over the slot of 6:00. Ran over most: Mountain +14 s; Talk +2 s; "
        "Low lunge, right +2 s."
    )


@each_row("minutes", [1, 5, 12, 25, 45, 60, 90, 180, 600, 3000])
def test_ticks_are_few_enough_to_be_read_and_many_enough_to_be_of_use(minutes: int) -> None:
    found = ticks(Axis(0, minutes * 60_000, 84, 828))
    assert 4 <= len(found) <= 14
    assert (found[0].x_px, found[0].words) == (84, "0:00")
    steps_s = {(seconds(after.words) or 0) - (seconds(before.words) or 0) for before, after in pairwise(found)}
    assert len(steps_s) == 1
    for before, after in pairwise(found):
        assert after.x_px - before.x_px >= (width_px(before.words, 11.5) + width_px(after.words, 11.5)) / 2 + 4


def box(text: Element) -> tuple[float, float, float, float]:
    """About where words lie, by how wide they are guessed to be: left, top, right, bottom."""
    words = told(text)
    wide, x, y = width_px(words, 13 if "name" in text.get("class", "") else 11.5), text.get("x"), text.get("y")
    if x is None or y is None:
        x, y = re.match(r"translate\(([\d.]+) ([\d.]+)\)", text.attrib["transform"]).groups()
        return float(x) - 10, float(y) - wide / 2, float(x) + 3, float(y) + wide / 2
    left = float(x) - {"middle": wide / 2, "end": wide, "start": 0}[text.get("text-anchor", "start")]
    return left, float(y) - 10, left + wide, float(y) + 3


@each_row("name", SAMPLES)
def test_no_words_lie_over_others_or_outside(name: str) -> None:
    """By widths that are guessed; `tests/real/test_pages_seen.py` measures them."""
    _, root = made(name)
    boxes = [(told(one), box(one)) for one in root.iter(SVG + "text")]
    for (words, one), (others, other) in combinations(boxes, 2):
        apart = one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]
        assert apart, (words, others)
    wide, high = (float(root.attrib[size]) for size in ("width", "height"))
    for words, (left, top, right, bottom) in boxes:
        assert left >= 0 and top >= 0 and right <= wide and bottom <= high, words


@settings(tried(100), suppress_health_check=[HealthCheck.too_slow])
@given(comparisons())
def test_any_comparison_gives_well_formed_xml_with_a_block_for_every_step(comparison: Comparison) -> None:
    root = read_picture(picture(comparison))
    assert len(list(drawn_blocks(root, "planned"))) == len(comparison.steps)
    known = [step.number for step in comparison.steps if step.real_start_ms is not None]
    assert [step for step, _, _ in drawn_blocks(root, "real")] == known
    for band in ("planned", "real"):
        for _, x, wide in drawn_blocks(root, band):
            assert x >= 83.9 and wide >= 0 and x + wide <= 912.1


def test_a_name_that_has_no_room_is_shortened_or_left_out() -> None:
    assert fitting("Warrior two", 100, 11.5, 3) == "Warrior two"
    assert fitting("Warrior two", 60, 11.5, 3) == "Warrior…"
    assert fitting("Warrior two", 20, 11.5, 3) == ""


def luminance(colour: str) -> float:
    """Source: W3C WCAG 2.2, "relative luminance"."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (one / 12.92 if one <= 0.04045 else ((one + 0.055) / 1.055) ** 2.4 for one in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Source: W3C WCAG 2.2, "contrast ratio"."""
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


@pytest.mark.parametrize("paper", [colours.LIGHT, colours.DARK], ids=["light", "dark"])
def test_words_and_lines_stand_out_as_the_guidelines_ask(paper: colours.Colours) -> None:
    """Source: W3C WCAG 2.2, 1.4.3 (words, 4.5 : 1) and 1.4.11 (what tells something, 3 : 1)."""
    assert contrast("#ffffff", "#000000") == pytest.approx(21)
    for under in ("paper", "card", "held", "move", "over", "under", "faint"):
        assert contrast(paper.ink, getattr(paper, under)) >= 4.5, under
    for under in ("paper", "card"):
        assert contrast(paper.quiet, getattr(paper, under)) >= 4.5, under
    assert contrast(paper.mark, paper.paper) >= 4.5
    assert contrast(paper.edge, paper.paper) >= 3


#: What an eye without one kind of cone makes of red, green and blue, which are linear.
#: Source: Viénot, Brettel and Mollon, "Digital video colourmaps for checking the legibility of displays by dichromats"
#: (1999), for protanopes and deuteranopes (from memory, as commonly given for sRGB).
WITHOUT = {
    "protan": ((0.11238, 0.88762, 0.0), (0.11238, 0.88762, 0.0), (0.00401, -0.00401, 1.0)),
    "deutan": ((0.29275, 0.70725, 0.0), (0.29275, 0.70725, 0.0), (-0.02234, 0.02234, 1.0)),
}


def seen(colour: str, kind: str) -> tuple[float, ...]:
    linear = [((int(colour[at : at + 2], 16) / 255 + 0.055) / 1.055) ** 2.4 for at in (1, 3, 5)]
    mixed = [sum(share * one for share, one in zip(row, linear, strict=True)) for row in WITHOUT[kind]]
    return tuple(255 * max(one, 0) ** (1 / 2.4) for one in mixed)


@pytest.mark.parametrize("paper", [colours.LIGHT, colours.DARK], ids=["light", "dark"])
@pytest.mark.parametrize("kind", WITHOUT)
def test_longer_shorter_and_as_planned_look_different_without_one_kind_of_cone(
    kind: str, paper: colours.Colours
) -> None:
    fills = [seen(one, kind) for one in (paper.over, paper.under, paper.held)]
    for one, other in combinations(fills, 2):
        assert max(abs(a - b) for a, b in zip(one, other, strict=True)) >= 40


@pytest.mark.parametrize("made_of", [picture, lambda one: html_page(one, "today")], ids=["picture", "page"])
def test_no_colour_is_used_that_is_not_among_those_looked_at(made_of) -> None:
    palette = {getattr(one, name) for one in (colours.LIGHT, colours.DARK) for name in colours.Colours.__slots__}
    shown = made_of(odd_names())
    used = set(re.findall(r"#[0-9a-f]{3,8}\b", shown))
    assert used == palette if "<html" in shown else used < palette
    assert not re.findall(r"\b(?:rgba?|hsla?|oklch)\(", shown)


def test_the_picture_of_a_page_and_that_in_a_file_are_the_same() -> None:
    comparison = short()
    inside = next(one for one in read_page(html_page(comparison, "today")).iter(SVG + "svg"))
    alone = read_picture(picture(comparison))
    assert list(drawn_blocks(inside, "real")) == list(drawn_blocks(alone, "real"))
    assert [told(one) for one in inside.iter(SVG + "text")] == [told(one) for one in alone.iter(SVG + "text")]
    assert alone.find(SVG + "style") is not None and inside.find(SVG + "style") is None
    assert "prefers-color-scheme: dark" in told(alone.find(SVG + "style"))


def page_picture() -> ModuleType:
    spec = importlib.util.spec_from_file_location("page_picture", README / "page_picture.py")
    assert spec is not None and spec.loader is not None
    loaded = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = loaded
    spec.loader.exec_module(loaded)
    return loaded


def test_the_readmes_picture_is_what_the_program_draws() -> None:
    """Made anew by `python tests/readme/page_picture.py`."""
    module = page_picture()
    assert module.PICTURE.read_text(encoding="utf-8") == module.drawn()
    # Bodies are drawn elsewhere, and may change.
    shown, drawn = (
        re.sub(r'<g class="figure".*?</g>', "", svg)
        for svg in (module.CLASS_PICTURE.read_text(encoding="utf-8"), module.class_drawn())
    )
    assert shown == drawn
