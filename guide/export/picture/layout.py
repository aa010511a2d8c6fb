"""Where everything in the picture of a class lies: rows one below the other over one axis of time."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from guide.drawing.text_size import fitting, width_px
from guide.export.picture import rows
from guide.export.picture.gallery import Shown, longest_held, placed
from guide.export.picture.measures import PictureMeasures
from guide.export.picture.seen import LEVELS, ClassSeen
from guide.export.picture.shapes import Letters, PictureShape, Stroke, rounded
from guide.export.time_axis import Axis

#: The axis of a class that lasts no time at all.
LEAST_AXIS_MS = 1000

Row = Callable[[ClassSeen, PictureMeasures, Axis, float], Iterator[PictureShape]]


@dataclass(frozen=True, slots=True)
class Laid:
    """A picture without its figures: its shapes, how high it is, and where which figure stands on `floor_px`."""

    shapes: tuple[PictureShape, ...]
    high_px: float
    figures: tuple[Shown, ...]
    floor_px: float


def lay(klass: ClassSeen, size: PictureMeasures) -> Laid:
    """The picture of a class."""
    axis = Axis(0, max(klass.length_ms, LEAST_AXIS_MS), size.left_px, size.right_px - size.left_px)
    shapes = list(rows.head(klass, size, axis, 0))
    figures = _figures(klass, size, axis)
    if size.high_px and not figures:
        size = replace(size, breath_px=4 * size.level_px, said_px=4 * size.level_px)
    highest_px = max((shown.high_px(size) for shown in figures), default=0.0)
    figures_px = highest_px + size.figure_name_px + size.leader_px if figures else 0.0
    head_px = max(shape.y_px for shape in shapes if isinstance(shape, Letters)) + size.letters_px
    needed_px = head_px + figures_px + sum(high_px for high_px, _ in _rows(klass, size)) + size.edge_px / 2
    spare_px = size.high_px - needed_px
    if size.high_px and spare_px < 0:
        lanes_px = rows.lane_high_px(klass, size) * max(1, len(rows.lanes_of(klass)))
        size, spare_px = replace(size, lanes_px=lanes_px + spare_px), 0.0
    # What is left over lies in equal parts above the figures and below the times.
    top_px = head_px + max(0.0, spare_px) / 2
    below = list(_rows(klass, size))
    floor_px = top_px + highest_px
    plot_px = top_px + figures_px
    y_px = plot_px
    for high_px, row in below:
        shapes += row(klass, size, axis, round(y_px, 2))
        y_px += high_px
    divided_px = plot_px + sum(high_px for high_px, row in below if row not in _BELOW)
    shapes += _dividers(klass, axis, plot_px, divided_px)
    shapes += _leaders(klass, size, figures, floor_px, plot_px)
    return Laid(tuple(shapes), round(size.high_px or y_px + size.edge_px / 2, 2), tuple(figures), round(floor_px, 2))


#: Rows below the times, which sections do not divide.
_BELOW = (rows.time_axis, rows.sections, rows.legend)


def _rows(klass: ClassSeen, size: PictureMeasures) -> Iterator[tuple[float, Row]]:
    """The rows that there are, from above, each with how high it is."""
    gap_px = size.gap_px
    yield rows.lane_high_px(klass, size) * max(1, len(rows.lanes_of(klass))) + gap_px, rows.carried
    yield size.level_px * (len(LEVELS) - 1) + gap_px, rows.levels
    if size.breath_px:
        yield size.breath_px + gap_px, rows.breaths
        yield size.said_px + gap_px, rows.said
    if size.bells_px and klass.bells:
        yield size.bells_px + 6, rows.bells
    yield size.axis_px + 6, rows.time_axis
    if size.sections_px and klass.sections:
        yield size.sections_px + 10, rows.sections
    if size.legend_px:
        yield size.legend_px, rows.legend


def _figures(klass: ClassSeen, size: PictureMeasures, axis: Axis) -> list[Shown]:
    half_px = size.figure_wide_px / 2
    left_px, right_px = size.edge_px, size.right_px
    chosen = longest_held(klass, int((right_px - left_px) // size.figure_wide_px))
    at_px = [axis.at_px((step.hold_ms + step.held_ms) // 2) for step in chosen]
    places_px = placed(at_px, left_px + half_px, right_px - half_px, size.figure_wide_px)
    return [
        Shown(step, klass.figures[step.pose or ""], at, x_px)
        for step, at, x_px in zip(chosen, at_px, places_px, strict=True)
    ]


def _leaders(
    klass: ClassSeen, size: PictureMeasures, figures: list[Shown], floor_px: float, plot_px: float
) -> Iterator[PictureShape]:
    """The names of the figures, and the lines that lead from them to their steps."""
    lanes, lane_px = rows.lanes_of(klass), rows.lane_high_px(klass, size)
    for shown in figures:
        lines = name_lines(shown.step.title, size) if size.figure_name_px else []
        for number, words in enumerate(lines):
            y_px = round(floor_px + (number + 1.2) * (size.small_px + 1.5), 2)
            yield Letters(round(shown.x_px, 2), y_px, words, size.small_px, "quiet", "middle")
        lane = shown.step.lane
        end_px = plot_px + (lanes.index(lane) * lane_px if lane else 0) + rows.INSET_PX
        begin_px = floor_px + len(lines) * (size.small_px + 1.5) + 6
        points = [(shown.x_px, begin_px), (shown.x_px, plot_px - size.leader_px + 6), (shown.at_px, plot_px - 4)]
        yield Stroke(rounded([*points, (shown.at_px, end_px)]), "leader")


def name_lines(title: str, size: PictureMeasures) -> list[str]:
    """The name of a figure in two lines at most, as much of it as fits."""
    room_px = size.figure_wide_px - 4
    words = title.split()
    first = words[0] if words else ""
    rest = words[1:]
    while rest and width_px(f"{first} {rest[0]}", size.small_px) <= room_px:
        first += f" {rest.pop(0)}"
    return [line for line in (fitting(text, room_px, size.small_px, 1) for text in (first, " ".join(rest))) if line]


def _dividers(klass: ClassSeen, axis: Axis, top_px: float, bottom_px: float) -> Iterator[PictureShape]:
    """A line where each section but the first begins."""
    for section in klass.sections[1:]:
        x_px = axis.at_px(section.start_ms)
        yield Stroke(rounded([(x_px, top_px), (x_px, bottom_px)]), "divider")
