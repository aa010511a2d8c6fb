"""A sheet as SVG: all its pages, one below the other."""

from collections.abc import Iterator
from html import escape

from guide.export.sheet.boxes import FigureBox, LineBox, SheetBox, SheetInk, SheetPages, TextBox
from guide.figures.drawing import Drawing
from guide.figures.svg import COLOURS, Paper, paths

#: Between two pages.
_APART_MM = 8.0

_FONTS = "'DejaVu Sans Condensed', 'DejaVu Sans', Verdana, sans-serif"


def sheet_svg(sheet: SheetPages) -> str:
    """The pages of a sheet as one picture in millimetres; each figure is in it once."""
    high_mm = len(sheet.pages) * (sheet.high_mm + _APART_MM) - _APART_MM
    names = {name: f"figure-{number}" for number, name in enumerate(sheet.drawings, 1)}
    size = f"{_mm(sheet.wide_mm)} {_mm(high_mm)}"
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{_mm(sheet.wide_mm)}mm" height="{_mm(high_mm)}mm" '
        f'viewBox="0 0 {size}" font-family="{_FONTS}">',
        f"<title>{escape(sheet.title)}</title>",
        "<defs>",
        *(symbol(drawing, names[name]) for name, drawing in sheet.drawings.items()),
        "</defs>",
    ]
    for number, page in enumerate(sheet.pages):
        lines.append(f'<g transform="translate(0 {_mm(number * (sheet.high_mm + _APART_MM))})">')
        lines.append(f'<rect width="{_mm(sheet.wide_mm)}" height="{_mm(sheet.high_mm)}" fill="#ffffff"/>')
        lines += (line for box in page for line in _drawn(box, names))
        lines.append("</g>")
    return "\n".join((*lines, "</svg>")) + "\n"


def symbol(drawing: Drawing, name: str) -> str:
    """A figure to be used by its name, in thousandths of the height of a body."""
    left, bottom, right, top = drawing.box
    size = f"{round(1000 * (right - left))} {round(1000 * (top - bottom))}"
    shapes = paths(drawing, COLOURS[Paper.LIGHT], (left, top))
    return f'<symbol id="{name}" viewBox="0 0 {size}">{shapes}</symbol>'


def _drawn(box: SheetBox, names: dict[str, str]) -> Iterator[str]:
    if isinstance(box, TextBox):
        yield from _text(box)
    elif isinstance(box, FigureBox):
        size = f'x="{_mm(box.x_mm)}" y="{_mm(box.y_mm)}" width="{_mm(box.wide_mm)}" height="{_mm(box.high_mm)}"'
        yield f'<use href="#{names[box.drawn]}" {size} role="img" aria-label="{escape(box.told)}"/>'
    else:
        yield _line(box)


def _text(box: TextBox) -> Iterator[str]:
    letters = box.letters
    weight = ' font-weight="bold"' if letters.bold else ""
    size = _mm(letters.size_pt * 25.4 / 72)
    for number, line in enumerate(box.lines):
        y_mm = box.y_mm + number * letters.line_mm + letters.base_mm
        # The width is ours whatever the font is, so that nothing runs into anything.
        width = f'textLength="{_mm(letters.wide_mm(line))}" lengthAdjust="spacingAndGlyphs"'
        place = f'x="{_mm(box.x_mm)}" y="{_mm(y_mm)}" font-size="{size}"{weight} fill="{_grey(box.ink)}" {width}'
        yield f"<text {place}>{escape(line)}</text>"


def _line(box: LineBox) -> str:
    stroke = f'fill="none" stroke="{_grey(box.ink)}" stroke-width="{_mm(box.thick_mm)}"'
    if box.is_frame:
        size = f'width="{_mm(box.wide_mm)}" height="{_mm(box.high_mm)}" rx="1"'
        return f'<rect x="{_mm(box.x_mm)}" y="{_mm(box.y_mm)}" {size} {stroke}/>'
    return f'<path d="M{_mm(box.x_mm)} {_mm(box.y_mm)}l{_mm(box.wide_mm)} {_mm(box.high_mm)}" {stroke}/>'


def _grey(ink: SheetInk) -> str:
    return "#" + 3 * f"{ink.value:02x}"


def _mm(size_mm: float) -> str:
    return f"{size_mm:.2f}".rstrip("0").rstrip(".")
