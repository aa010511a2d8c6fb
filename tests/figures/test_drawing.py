"""How figures are drawn: every part is there, in its tone, and the paths can be read by anybody."""

from xml.etree import ElementTree

import pytest
from examples import FULL
from rows import each_row

from guide.figures.drawing import Tone, draw
from guide.figures.outline import hull
from guide.figures.shipped_figures import read, shipped_figures, written
from guide.figures.svg import Paper, png, svg

FIGURES = shipped_figures()
SVG = "{http://www.w3.org/2000/svg}"


@each_row("name", sorted(FIGURES)[:: 1 if FULL else 12])
def test_a_picture_has_all_parts_within_its_box(name: str) -> None:
    drawing = draw(FIGURES[name])
    body = [shape for shape in drawing.shapes if shape.tone in (Tone.BODY, Tone.FAR)]
    assert len(body) == 6
    left, bottom, right, top = drawing.box
    for shape in drawing.shapes:
        for x, y in (point for outline in shape.outlines for point in outline):
            assert left - 1e-9 <= x <= right + 1e-9
            assert bottom - 1e-9 <= y <= top + 1e-9


def test_the_far_side_is_lighter_where_one_side_is_far() -> None:
    tones = [shape.tone for shape in draw(FIGURES["warrior three"]).shapes]
    assert tones.count(Tone.FAR) == 2
    assert tones.index(Tone.FAR) < tones.index(Tone.BODY)


@each_row("paper", list(Paper))
def test_svg_is_strict_xml_with_a_title(paper: Paper) -> None:
    root = ElementTree.fromstring(svg(draw(FIGURES["child's pose"]), paper, "child's <pose> & rest"))
    assert root.tag == f"{SVG}svg"
    assert root.findtext(f"{SVG}title") == "child's <pose> & rest"
    assert {each.tag for each in root} == {f"{SVG}title", f"{SVG}rect", f"{SVG}path"}


def test_the_same_figure_gives_the_same_bytes() -> None:
    once, again = (svg(draw(read(written(FIGURES))["triangle"]), Paper.LIGHT, "triangle") for _ in range(2))
    assert once == again == svg(draw(FIGURES["triangle"]), Paper.LIGHT, "triangle")


def test_a_hull_keeps_only_the_outermost_corners() -> None:
    assert hull([(0, 0), (2, 0), (1, 0), (1, 1), (2, 2), (0, 2)]) == ((0, 0), (2, 0), (2, 2), (0, 2))


@pytest.mark.real
def test_a_png_is_as_broad_as_asked() -> None:
    picture = png(svg(draw(FIGURES["triangle"]), Paper.LIGHT, "triangle"), 300)
    assert picture.startswith(b"\x89PNG")
    assert int.from_bytes(picture[16:20], "big") == 300
