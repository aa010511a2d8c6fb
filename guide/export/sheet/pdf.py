"""A sheet as PDF: tagged, so that it is read in order, with its sections as chapters."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

from guide.drawing.font_widths import CONDENSED, MM_PER_PT, composed, shapeless, with_stand_ins
from guide.drawing.pdf import FONT, PdfTags, empty_pdf, untold
from guide.export.sheet.boxes import FigureBox, LineBox, SheetBox, SheetPages, TextBox
from guide.export.sheet.content import ClassSheet
from guide.export.sheet.markdown import sheet_markdown
from guide.figures.drawing import Drawing, Tone
from guide.figures.outline import Polygon
from guide.figures.svg import COLOURS, GAP, Paper

if TYPE_CHECKING:
    from fpdf import FPDF


#: One body's height has so many units.
_UNITS = 1000


def sheet_pdf(sheet: SheetPages) -> bytes:
    """The pages of a sheet. Raises MachineTrouble where what writes PDF is not installed."""
    pdf = empty_pdf(composed(sheet.title), (sheet.wide_mm, sheet.high_mm))
    pdf.set_auto_page_break(False)
    pdf.set_stretching(100 * CONDENSED)
    tags = PdfTags(pdf)
    shapes = {name: _shapes(drawing) for name, drawing in sheet.drawings.items()}
    for number, page in enumerate(sheet.pages):
        pdf.add_page()
        for title, on_page, y_mm in sheet.chapters:
            if on_page == number:
                pdf.set_y(y_mm)
                pdf.start_section(composed(title))
        for box in page:
            _draw(tags, box, shapes)
    return bytes(pdf.output())


def without_shapes(sheet: ClassSheet) -> str:
    """What there is to say of letters on a sheet that a PDF does not show as they are; nothing where all are."""
    missing = shapeless(sheet_markdown(sheet))
    if not missing:
        return ""
    return f"its font does not show {' '.join(missing)} as they are (a page, .html, does)"


def _draw(tags: PdfTags, box: SheetBox, shapes: Mapping[str, str]) -> None:
    if isinstance(box, TextBox):
        with tags.element(box.role.value):
            _write(tags.pdf, box)
    elif isinstance(box, FigureBox):
        with tags.element("Figure", box.told):
            _place_figure(tags.pdf, box, shapes[box.drawn])
    else:
        with untold(tags.pdf):
            _draw_line(tags.pdf, box)


def _write(pdf: "FPDF", box: TextBox) -> None:
    letters = box.letters
    pdf.set_font(FONT, "B" if letters.bold else "", letters.size_pt)
    pdf.set_text_color(box.ink.value)
    for number, line in enumerate(box.lines):
        # The space keeps the last word of a line from the first one of the next where they are read on.
        text = line if line is box.lines[-1] else f"{line} "
        y_mm = box.y_mm + number * letters.line_mm + letters.base_mm
        pdf.text(box.x_mm, y_mm, with_stand_ins(text, letters.bold))


def _draw_line(pdf: "FPDF", box: LineBox) -> None:
    pdf.set_draw_color(box.ink.value)
    pdf.set_line_width(box.thick_mm)
    if box.is_frame:
        pdf.rect(box.x_mm, box.y_mm, box.wide_mm, box.high_mm, round_corners=True, corner_radius=1)
    else:
        pdf.line(box.x_mm, box.y_mm, box.x_mm + box.wide_mm, box.y_mm + box.high_mm)


def _place_figure(pdf: "FPDF", box: FigureBox, shapes: str) -> None:
    """The shapes of a figure, as large as its box says, in points from the lower left corner of the page."""
    unit = box.body_mm / MM_PER_PT / _UNITS
    x, y = box.x_mm / MM_PER_PT, (pdf.h - box.y_mm - box.high_mm) / MM_PER_PT
    pdf._out(f"q {unit:.5f} 0 0 {unit:.5f} {x:.2f} {y:.2f} cm\n{shapes}\nQ")


def _shapes(drawing: Drawing) -> str:
    """Each shape over a gap of white around it, from the lower left corner of the drawing."""
    left, bottom, _, _ = drawing.box
    made = [f"1 j {_units(2 * GAP)} w {_colour(None)} RG"]
    for shape in drawing.shapes:
        path = "\n".join(_path(outline, left, bottom) for outline in shape.outlines)
        if shape.tone not in (Tone.FLOOR, Tone.JOINED):
            made.append(f"{path} S")
        made.append(f"{_colour(shape.tone)} rg {path} f")
    return "\n".join(made)


def _path(corners: Polygon, left: float, bottom: float) -> str:
    first, *others = (f"{_units(x - left)} {_units(y - bottom)}" for x, y in corners)
    return f"{first} m {' l '.join(others)} l h"


def _units(heights: float) -> int:
    return round(_UNITS * heights)


def _colour(tone: Tone | None) -> str:
    """A colour as three shares of light."""
    code = COLOURS[Paper.LIGHT][tone]
    return " ".join(f"{int(code[at : at + 2], 16) / 255:.3f}" for at in (1, 3, 5))
