"""The picture of a class: what it shows is what the plan says, and all of it lies inside."""

import base64
import re
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import pytest
from class_texts import expand, read
from examples import tried
from hypothesis import given
from hypothesis import strategies as st
from rows import each_row

from guide.drawing.text_size import width_px
from guide.export.picture.colours import PALETTES
from guide.export.picture.drawn import picture_for_page, picture_png, picture_svg
from guide.export.picture.exporters import COVER_DOTS
from guide.export.picture.layout import lay
from guide.export.picture.measures import BROAD, COVER, PictureMeasures
from guide.export.picture.rows import BOLD, bell_mark, shares
from guide.export.picture.seen import BELLS, LEVELS, ClassSeen, Lane, StepSeen, seen
from guide.export.picture.shapes import Dot, Letters, Oblong, PictureShape, Stroke
from guide.export.seal import CHANGED, MADE_ELSEWHERE, sealed_png, whose_png
from guide.export.time_axis import Axis
from guide.figures.shipped_figures import shipped_figures
from guide.figures.svg import Paper
from guide.plan.advice.estimated_plan import estimated_view
from guide.plan.timeline import Chapter, Ring, RingRole
from guide.sequence.expand import library_of
from guide.sequence.steps import Side, StepKind

FOLDER = Path(__file__).parent / "pictures"
SVG = "{http://www.w3.org/2000/svg}"

FIGURES = {name: shipped_figures()[name] for name in ("mountain", "final rest", "cat")}

#: Bodies are drawn elsewhere, and may change.
FIGURE = re.compile(r'<g class="figure".*?</g>\n')


def small() -> ClassSeen:
    class_file = read(FOLDER / "small.yaml")
    return seen(estimated_view(class_file, expand(class_file), library_of(class_file), 0.6))


def without_figures(svg: str) -> str:
    return FIGURE.sub("", svg)


@each_row("name, size, paper", [("broad", BROAD, Paper.LIGHT), ("cover", COVER, Paper.DARK)])
def test_a_small_class_is_drawn_as_expected(name: str, size: PictureMeasures, paper: Paper) -> None:
    """Made anew by `python tests/export/test_picture.py`."""
    expected = (FOLDER / f"small-{name}.svg").read_text(encoding="utf-8")
    assert without_figures(picture_svg(small(), size, paper)) == expected


def test_what_is_seen_is_what_a_teacher_would_say() -> None:
    """Common practice, no source: what carries people in these poses, and how strong they are."""
    told = {step.title: (step.lane, LEVELS[step.level or 0]) for step in small().steps if step.pose or step.level == 0}
    assert told == {
        "mountain": (Lane.STANDING, "gentle"),
        "warrior two": (Lane.STANDING, "moderate"),
        "seated forward fold": (Lane.SEATED, "moderate"),
        "rest": (None, "rest"),
    }
    sides = [step.side for step in small().steps if step.title == "warrior two"]
    assert sides == [Side.RIGHT, Side.LEFT]


def test_it_is_strict_xml_with_a_figure_for_each_pose_and_a_title_that_is_read_aloud() -> None:
    root = ElementTree.fromstring(picture_svg(small(), BROAD, Paper.LIGHT))
    assert root.findtext(f"{SVG}title") == "Small & <still>, śavāsana"
    assert "seated 1:" in (root.findtext(f"{SVG}desc") or "")
    assert len(root.findall(f"{SVG}g")) == len({step.pose for step in small().steps if step.pose}) == 3
    assert not root.findall(f".//{SVG}script") and not root.findall(f".//{SVG}image")


def test_inside_a_page_it_is_as_light_or_dark_as_the_page() -> None:
    head, _, held = picture_for_page(small()).partition(",")
    assert head == "data:image/svg+xml;base64"
    styles = ElementTree.fromstring(base64.b64decode(held)).findtext(f"{SVG}style") or ""
    light, dark = styles.split("@media (prefers-color-scheme: dark) {")
    assert PALETTES[Paper.LIGHT]["paper"] in light and PALETTES[Paper.DARK]["paper"] in dark


# ── Any class ──


@st.composite
def classes(draw: st.DrawFn) -> ClassSeen:
    """From a moment to three hours, of up to 300 steps that follow each other."""
    length_ms = draw(st.integers(1, 3 * 3_600_000))
    inner = draw(st.lists(st.integers(0, length_ms), max_size=draw(st.sampled_from([0, 3, 40, 299]))))
    edges = sorted({0, length_ms, *inner})
    steps = tuple(
        StepSeen(
            kind=draw(st.sampled_from(StepKind)),
            title=draw(st.sampled_from(["warrior two", "ūrdhva mukha śvānāsana of the whole long lake", "x & <y>"])),
            side=draw(st.sampled_from([None, *Side])),
            start_ms=start_ms,
            hold_ms=(start_ms + end_ms) // 2,
            held_ms=end_ms,
            end_ms=end_ms,
            lane=draw(st.sampled_from([None, *Lane])),
            level=draw(st.sampled_from([None, *range(len(LEVELS))])),
            breath_ms=draw(st.sampled_from([None, 4000.0, 8000.0, 19_500.0])),
            pose=draw(st.sampled_from([None, None, "mountain", "final rest", "cat"])),
        )
        for start_ms, end_ms in pairwise(edges)
    )
    cuts = sorted({0, length_ms, *draw(st.lists(st.integers(0, length_ms), max_size=12))})
    words = st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cs")), max_size=80)
    titles = st.sampled_from(["Morning", "A long, long evening by the wide lake " * 3, "W" * 90]) | words
    return ClassSeen(
        title=draw(titles),
        by=draw(titles),
        length_ms=length_ms,
        steps=steps,
        sections=tuple(Chapter(draw(titles), start, end) for start, end in pairwise(cuts)),
        said=tuple((start, end) for start, end in pairwise(cuts) if draw(st.booleans())),
        figures=FIGURES,
        bells=tuple(Ring(ms, 1000, "bowl", draw(st.sampled_from(BELLS)), None) for ms in cuts),
    )


def corners(shape: PictureShape) -> Iterator[tuple[float, float]]:
    match shape:
        case Oblong():
            yield from ((shape.x_px, shape.y_px), (shape.x_px + shape.wide_px, shape.y_px + shape.high_px))
        case Dot():
            yield from ((shape.x_px + way * shape.radius_px, shape.y_px + way * shape.radius_px) for way in (-1, 1))
        case Stroke():
            yield from shape.points
        case Letters():
            wide_px = width_px(shape.words, shape.size_px) * (BOLD if "strong" in shape.look else 1)
            left_px = shape.x_px - wide_px * {"start": 0.0, "middle": 0.5, "end": 1.0}[shape.anchor]
            yield from ((left_px, shape.y_px - shape.size_px), (left_px + wide_px, shape.y_px))


@tried(40)
@given(classes(), st.sampled_from([BROAD, COVER]))
def test_all_lies_inside_the_picture_and_the_steps_cover_its_time(klass: ClassSeen, size: PictureMeasures) -> None:
    laid = lay(klass, size)
    for shape in laid.shapes:
        for x_px, y_px in corners(shape):
            assert -0.01 <= x_px <= size.wide_px + 0.01, shape
            assert -0.01 <= y_px <= laid.high_px + 0.01, shape
    axis = Axis(0, max(klass.length_ms, 1000), size.left_px, size.right_px - size.left_px)
    drawn = [shape for shape in laid.shapes if isinstance(shape, Oblong) and shape.tip]
    assert [bar.x_px for bar in drawn] == [axis.at_px(step.start_ms) for step in klass.steps]
    for bar, step in zip(drawn, klass.steps, strict=True):
        # Between two steps there may be a line of paper.
        assert -0.01 <= axis.at_px(step.end_ms) - bar.x_px - bar.wide_px <= 0.82
    half_px = 0.47 * size.figure_wide_px
    for shown in laid.figures:
        assert half_px <= shown.x_px <= size.wide_px - half_px
    assert all(two.x_px - one.x_px >= size.figure_wide_px - 0.01 for one, two in pairwise(laid.figures))


@tried(40)
@given(classes())
def test_every_bell_has_its_mark_at_its_own_moment(klass: ClassSeen) -> None:
    axis = Axis(0, max(klass.length_ms, 1000), BROAD.left_px, BROAD.right_px - BROAD.left_px)
    shapes = lay(klass, BROAD).shapes
    marks = [shape for shape in shapes if isinstance(shape, Dot | Stroke) and shape.tip.startswith("bell of")]
    at_px = [mark.x_px if isinstance(mark, Dot) else mark.points[0][0] for mark in marks]
    assert at_px == pytest.approx([axis.at_px(ring.start_ms) for ring in klass.bells], abs=0.011)


def test_bells_differ_by_their_shape() -> None:
    shapes = [bell_mark(role, 0, 0) for role in BELLS]
    assert BELLS == (RingRole.CLASS, RingRole.SECTION, RingRole.STEP, RingRole.INTERVAL)
    assert [len(one.points) if isinstance(one, Stroke) else 0 for one in shapes] == [4, 0, 3, 2]


@tried(40)
@given(classes(), st.integers(1, 30))
def test_the_share_of_words_is_what_a_count_of_every_moment_finds(klass: ClassSeen, count: int) -> None:
    said = [(start % 5000, start % 5000 + 300) for start, _ in klass.said]
    said = [one for number, one in enumerate(sorted(said)) if number == 0 or one[0] >= sorted(said)[number - 1][1]]
    edges = sorted({0, 6000, *(number * 6000 // count for number in range(count))})
    spoken = [any(start <= ms < end for start, end in said) for ms in range(6000)]
    counted = [sum(spoken[one:two]) / (two - one) for one, two in pairwise(edges)]
    assert shares(said, edges) == pytest.approx(counted)


# ── Colours, and dots ──


def contrast(one: str, other: str) -> float:
    """Source: W3C WCAG 2.2, "contrast ratio" and "relative luminance"."""
    lights = sorted(map(light, (one, other)))
    return (lights[1] + 0.05) / (lights[0] + 0.05)


def light(colour: str) -> float:
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


@each_row("paper", list(Paper))
def test_words_can_be_read_and_bands_be_seen(paper: Paper) -> None:
    """Source: W3C WCAG 2.2, 1.4.3 and 1.4.11; that sides differ in grey by half as much again is a choice of ours."""
    colours = PALETTES[paper]
    assert all(contrast(colours[ink], colours["paper"]) >= 4.5 for ink in ("ink", "quiet"))
    assert all(contrast(colours[f"on-{side}"], colours[side]) >= 4.5 for side in ("right", "left"))
    for look in ("hold", "move", "right", "left", "said", "line", "bell"):
        for under in ("paper", "lane", "even") if look in ("hold", "move", "right", "left") else ("paper",):
            assert contrast(colours[look], colours[under]) >= 3, (look, under)
    assert contrast(colours["right"], colours["left"]) >= 1.5
    assert contrast(colours["hold"], colours["move"]) >= 1.5


def test_a_cover_is_small_square_and_the_same_each_time() -> None:
    png = picture_png(picture_svg(small(), COVER, Paper.LIGHT), COVER_DOTS)
    assert png[:8] == b"\x89PNG\r\n\x1a\n" and len(png) < 150_000
    assert {int.from_bytes(png[16:20]), int.from_bytes(png[20:24])} == {COVER_DOTS}
    assert png == picture_png(picture_svg(small(), COVER, Paper.LIGHT), COVER_DOTS)


def test_a_png_that_somebody_changed_is_hers(tmp_path: Path) -> None:
    path = tmp_path / "class.png"
    bare = b"\x89PNG\r\n\x1a\n" + bytes(25) + b"the rest of a picture"
    path.write_bytes(sealed_png(bare))
    assert whose_png(path) == ""
    path.write_bytes(sealed_png(bare)[:-1] + b"X")
    assert whose_png(path) == CHANGED
    path.write_bytes(bare)
    assert whose_png(path) == MADE_ELSEWHERE


if __name__ == "__main__":
    for made, (of, on) in {"broad": (BROAD, Paper.LIGHT), "cover": (COVER, Paper.DARK)}.items():
        (FOLDER / f"small-{made}.svg").write_text(
            without_figures(picture_svg(small(), of, on)), encoding="utf-8", newline="\n"
        )
