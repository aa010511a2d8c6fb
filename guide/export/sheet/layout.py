"""A sheet laid out: from what stands on it to boxes in millimetres, as large as its pages let it be."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from guide.export.sheet.boxes import LineBox, SheetBox, SheetInk, SheetPages, TextBox, TextRole
from guide.export.sheet.content import ClassSheet
from guide.export.sheet.rows import rows_of, shape_of
from guide.export.sheet.scales import SCALES, SheetScale, inside_mm, most_pages
from guide.export.sheet.script_strips import script_strips
from guide.export.sheet.strips import (
    Strip,
    high_mm,
    in_columns,
    labelled,
    level_columns,
    paged,
    side_by_side,
    spread,
    words_strip,
)
from guide.figures.drawing import Drawing, draw, small

NOTES, CARE = "Notes", "With care for"

#: Lines for notes lie so far apart.
_NOTE_LINE_MM = 8.0

_COLUMN_GAP_MM = 7.0

#: What stands at the bottom of the last page may take this share of it; more goes on like the rest of the class.
_MOST_FOOT = 0.4


@dataclass(frozen=True, slots=True)
class _Page:
    """Strips from `top_mm` down, what stands at the bottom, and the least room for notes, None where there is none."""

    strips: Sequence[Strip]
    top_mm: float
    notes_mm: float | None = None
    foot: Strip | None = None

    def foot_mm(self, scale: SheetScale) -> float:
        """How much the bottom takes, with the gap above it."""
        return self.foot.high_mm + scale.row_gap_mm if self.foot else 0.0

    def needs_mm(self, scale: SheetScale) -> float:
        """How high all of it is at least."""
        return self.top_mm + high_mm(self.strips) + self.foot_mm(scale) + (self.notes_mm or 0.0)


def laid_out(sheet: ClassSheet) -> SheetPages:
    """The pages of a sheet: at the largest scale at which the class fits its pages, else at the smallest."""
    drawings = {name: small(draw(figure)) for name, figure in sheet.figures().items()}
    for scale in SCALES[sheet.look.size]:
        pages = _class_pages(sheet, scale, drawings)
        if len(pages) <= most_pages(sheet.minutes):
            break
    pages += _script_pages(sheet, scale)
    wide_mm, full_mm = inside_mm(sheet.look.paper, scale)
    made, chapters = [], []
    for number, page in enumerate(pages):
        boxes = list(_running(sheet, scale, page, number, len(pages), wide_mm))
        for y_mm, strip in _set(page, full_mm, wide_mm, scale):
            boxes += (box.moved(0, y_mm) for box in strip.boxes)
            chapters += [(title, number, scale.margin_mm + y_mm) for title in strip.begins]
        made.append(tuple(box.moved(scale.margin_mm, scale.margin_mm) for box in boxes))
    return SheetPages(sheet.title, *sheet.look.paper.value, tuple(made), drawings, tuple(chapters))


def _class_pages(sheet: ClassSheet, scale: SheetScale, drawings: Mapping[str, Drawing]) -> list[_Page]:
    """The pages of the class itself: on the last of them room for notes, and whom to have an eye on."""
    wide_mm, full_mm = inside_mm(sheet.look.paper, scale)
    top_mm = _running_mm(scale)
    strips = [*_head(sheet, scale, wide_mm), *_rows(sheet, scale, drawings, wide_mm)]
    column_mm = (wide_mm - _COLUMN_GAP_MM * (scale.columns - 1)) / scale.columns
    care = level_columns(_care(sheet, scale, column_mm), scale.columns, column_mm + _COLUMN_GAP_MM)
    foot = care if care.high_mm <= _MOST_FOOT * full_mm else None
    if foot is None:
        strips += _care(sheet, scale, wide_mm)
    parted = paged(strips, full_mm, full_mm - top_mm)
    pages = [_Page(page, top_mm if number else 0.0) for number, page in enumerate(parted)]
    last = replace(pages[-1], notes_mm=scale.notes_mm, foot=foot)
    if last.needs_mm(scale) <= full_mm:
        return [*pages[:-1], last]
    return [*pages, _Page((), top_mm, scale.notes_mm, foot)]


def _rows(sheet: ClassSheet, scale: SheetScale, drawings: Mapping[str, Drawing], wide_mm: float) -> Iterator[Strip]:
    rows = rows_of(sheet.sections, scale, drawings, wide_mm)
    section = ""
    for row, before, after in zip(rows, [None, *rows[:-1]], [*rows[1:], None], strict=True):
        shape = shape_of(row, before, after, scale, wide_mm)
        goes_on = section if row.placed and row.placed[0].begins is None else ""
        yield Strip(shape.boxes, shape.high_mm, scale.row_gap_mm, 0.6 * scale.row_gap_mm, shape.begins, goes_on)
        section = shape.begins[-1] if shape.begins else section


def _head(sheet: ClassSheet, scale: SheetScale, wide_mm: float) -> Iterator[Strip]:
    """The title, what there is to know of the class, what it needs, and what the signs mean."""
    yield words_strip(sheet.title, scale.title, wide_mm - _of_mm(scale), role=TextRole.TITLE)
    yield words_strip(sheet.facts, scale.small, wide_mm, SheetInk.GREY)
    facts = [strip for each in sheet.props for strip in labelled([each], scale.small, wide_mm)]
    if sheet.legend:
        facts.append(words_strip(sheet.legend, scale.small, wide_mm, SheetInk.GREY))
    if facts:
        facts[0] = replace(facts[0], gap_mm=0.8)
        yield from side_by_side(facts, 2 * scale.gap_mm, wide_mm)


def _care(sheet: ClassSheet, scale: SheetScale, wide_mm: float) -> list[Strip]:
    """Whom to have an eye on in which poses, and what goes for everybody."""
    head = words_strip(CARE, replace(scale.small, bold=True), wide_mm, role=TextRole.HEADING, gap_mm=scale.row_gap_mm)
    said = labelled([(name, f"{words.rstrip('.')}.") for name, words in sheet.cautions], scale.small, wide_mm)
    warning = scale.small.lines(sheet.warning, wide_mm)
    lines = [words_strip(line, scale.small, wide_mm, SheetInk.GREY) for line in warning]
    lines[0] = replace(lines[0], gap_mm=1.0)
    return [head, *said, *lines] if said else lines


def _script_pages(sheet: ClassSheet, scale: SheetScale) -> list[_Page]:
    """The script behind the class, on pages of its own."""
    wide_mm, full_mm = inside_mm(sheet.look.paper, scale)
    top_mm = _running_mm(scale)
    column_mm = (wide_mm - _COLUMN_GAP_MM * (scale.columns - 1)) / scale.columns
    strips = script_strips(sheet.scripts, scale, column_mm)
    made = in_columns(strips, scale.columns, full_mm - top_mm, column_mm + _COLUMN_GAP_MM) if strips else []
    return [_Page((strip,), top_mm) for strip in made]


def _set(page: _Page, full_mm: float, wide_mm: float, scale: SheetScale) -> Iterator[tuple[float, Strip]]:
    """The strips of a page with their heights; what room is left on the last one is for notes."""
    end_mm = full_mm - page.foot_mm(scale)
    y_mm = page.top_mm
    for at_mm, strip in spread(page.strips, end_mm - page.top_mm - (page.notes_mm or 0.0)):
        yield page.top_mm + at_mm, strip
        y_mm = page.top_mm + at_mm + strip.high_mm
    if page.notes_mm is not None:
        yield y_mm, _notes(scale, wide_mm, end_mm - y_mm)
    if page.foot:
        yield full_mm - page.foot.high_mm, page.foot


def _notes(scale: SheetScale, wide_mm: float, high_mm: float) -> Strip:
    """Lines for a pencil, as many as there is room for."""
    head = TextBox(0, scale.row_gap_mm, (NOTES,), scale.small, SheetInk.GREY)
    first_mm = head.y_mm + head.high_mm + _NOTE_LINE_MM - 3
    count = max(0, 1 + int((high_mm - first_mm) // _NOTE_LINE_MM))
    lines = (LineBox(0, first_mm + number * _NOTE_LINE_MM, wide_mm, 0, SheetInk.FAINT) for number in range(count))
    return Strip((head, *lines), high_mm)


def _running_mm(scale: SheetScale) -> float:
    """How much what stands at the top of every page but the first takes."""
    return scale.small.line_mm + 3


def _of_mm(scale: SheetScale) -> float:
    """How much room the number of a page may take."""
    return scale.small.wide_mm("99 of 99") + 4


def _running(
    sheet: ClassSheet, scale: SheetScale, page: _Page, number: int, count: int, wide_mm: float
) -> Iterator[SheetBox]:
    """The titles of the class and of a section that goes on there, at the top of a page that is not the first, and the
    number of each page where there are several.
    """
    if number:
        goes_on = page.strips[0].goes_on if page.strips else ""
        title = scale.small.lines(" · ".join(filter(None, (sheet.title, goes_on))), wide_mm - _of_mm(scale), 1)
        yield TextBox(0, 0, title, scale.small, SheetInk.GREY)
    if count > 1:
        of = f"{number + 1} of {count}"
        yield TextBox(wide_mm - scale.small.wide_mm(of), 0, (of,), scale.small, SheetInk.GREY)
