"""The figures of the pose library on contact sheets, by what carries the body."""

from collections.abc import Iterable, Mapping
from itertools import groupby

from guide.drawing.font_widths import Lettering
from guide.export.sheet.boxes import FigureBox, SheetBox, SheetPages, TextBox, TextRole
from guide.figures.drawing import Drawing, draw, small
from guide.figures.figure import Figure
from guide.sequence.poses.pose import Base, Pose
from guide.units import so_many

TITLE = "The figures of the poses"

#: A4, with so many figures beside each other, each this high at most; two lines of its name take as much below it.
WIDE_MM, HIGH_MM, MARGIN_MM = 210.0, 297.0, 12.0
COLUMNS, FIGURE_MM, NAME_MM, GAP_MM = 5, 30.0, 12.0, 2.5
COLUMN_MM = (WIDE_MM - 2 * MARGIN_MM) / COLUMNS

LARGE, HEADING, NAME = Lettering(16, bold=True), Lettering(11, bold=True), Lettering(7.5, lead=1.15)


def contact_sheets(poses: Iterable[Pose], figures: Mapping[str, Figure]) -> SheetPages:
    """All poses that have a figure, those of one base together, by name."""
    order = list(Base)
    shown = sorted((pose for pose in poses if pose.name in figures), key=lambda one: (order.index(one.base), one.name))
    drawings = {pose.name: small(draw(figures[pose.name])) for pose in shown}
    pages: list[list[SheetBox]] = [[TextBox(MARGIN_MM, MARGIN_MM, (TITLE,), LARGE, role=TextRole.TITLE)]]
    chapters: list[tuple[str, int, float]] = []
    y_mm = MARGIN_MM + LARGE.line_mm + 3
    for base, group in groupby(shown, key=lambda pose: pose.base):
        found = list(group)
        if y_mm + HEADING.line_mm + FIGURE_MM + NAME_MM > HIGH_MM - MARGIN_MM:
            pages.append([])
            y_mm = MARGIN_MM
        told = f"{base.value.capitalize()}: {so_many(len(found), 'pose')}"
        pages[-1].append(TextBox(MARGIN_MM, y_mm, (told,), HEADING, role=TextRole.HEADING))
        chapters.append((told, len(pages) - 1, y_mm))
        y_mm += HEADING.line_mm + 2
        for first in range(0, len(found), COLUMNS):
            row = found[first : first + COLUMNS]
            high_mm = max(_body_mm(drawings[pose.name]) * _high(drawings[pose.name]) for pose in row)
            if y_mm + high_mm + NAME_MM > HIGH_MM - MARGIN_MM:
                pages.append([])
                y_mm = MARGIN_MM
            for column, pose in enumerate(row):
                pages[-1] += _cell(pose.name, drawings[pose.name], MARGIN_MM + column * COLUMN_MM, y_mm + high_mm)
            y_mm += high_mm + NAME_MM
    return SheetPages(TITLE, WIDE_MM, HIGH_MM, tuple(map(tuple, pages)), drawings, tuple(chapters))


def _high(drawing: Drawing) -> float:
    _, bottom, _, top = drawing.box
    return top - bottom


def _body_mm(drawing: Drawing) -> float:
    """How high a body is drawn, so that its figure fits."""
    left, _, right, _ = drawing.box
    return min((COLUMN_MM - GAP_MM) / (right - left), FIGURE_MM / _high(drawing), FIGURE_MM)


def _cell(name: str, drawing: Drawing, x_mm: float, ground_mm: float) -> list[SheetBox]:
    """A figure on the ground of its row, with its name below it."""
    left, _, right, _ = drawing.box
    body_mm = _body_mm(drawing)
    wide_mm, high_mm = body_mm * (right - left), body_mm * _high(drawing)
    figure_x_mm = x_mm + (COLUMN_MM - wide_mm) / 2
    boxes: list[SheetBox] = [FigureBox(figure_x_mm, ground_mm - high_mm, wide_mm, high_mm, name, body_mm, name)]
    for number, line in enumerate(NAME.lines(name, COLUMN_MM - GAP_MM, 2)):
        line_x_mm = x_mm + (COLUMN_MM - NAME.wide_mm(line)) / 2
        boxes.append(TextBox(line_x_mm, ground_mm + 2 + number * NAME.line_mm, (line,), NAME))
    return boxes
