"""A drawing as SVG, and as PNG."""

from collections.abc import Mapping
from enum import Enum

from guide.figures.drawing import Drawing, Shape, Tone
from guide.figures.outline import Point
from guide.problem import MachineTrouble


class Paper(Enum):
    """What a figure is shown on."""

    LIGHT = "light"
    DARK = "dark"


def _colours(paper: str, body: str, far: str, prop: str, floor: str) -> Mapping[Tone | None, str]:
    """The colour of each tone, and of the paper."""
    return {None: paper, Tone.BODY: body, Tone.JOINED: body, Tone.FAR: far, Tone.PROP: prop, Tone.FLOOR: floor}


#: Far limbs, props and the floor differ in lightness too, so that a grey print tells them apart.
COLOURS = {
    Paper.LIGHT: _colours("#ffffff", "#34495e", "#93a2b3", "#d3bf9a", "#dfe3e8"),
    Paper.DARK: _colours("#12161b", "#e8edf2", "#8494a5", "#75664a", "#333c46"),
}
#: How broad the gap is by which a nearer part stands out, in heights of the body, and how broad the margin.
GAP = 0.011
MARGIN = 0.03
#: One body's height is drawn so high.
UNITS = 1000
#: How broad a PNG is, if nothing else is said.
WIDTH_PX = 1200


def svg(drawing: Drawing, paper: Paper, title: str) -> str:
    """The drawing as one SVG, as large as it is; `title` is what a screen reader says."""
    left, bottom, right, top = drawing.box
    width, height = right - left + 2 * MARGIN, top - bottom + 2 * MARGIN
    colours = COLOURS[paper]
    size = f"{_units(width)} {_units(height)}"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {size}" role="img">\n'
        f"<title>{_escaped(title)}</title>\n"
        f'<rect width="{_units(width)}" height="{_units(height)}" fill="{colours[None]}"/>\n'
        f"{paths(drawing, colours, (left - MARGIN, top + MARGIN))}\n</svg>\n"
    )


def paths(drawing: Drawing, colours: Mapping[Tone | None, str], corner: Point) -> str:
    """The shapes of a drawing as elements, a line each, in units of which a body is 1000 high, from a corner of it."""
    return "\n".join(_path(shape, colours, *corner) for shape in drawing.shapes)


def png(picture: str, width_px: int = WIDTH_PX) -> bytes:
    """An SVG as PNG of this width.

    Raises:
        MachineTrouble: the library that draws is missing.
    """
    try:
        import resvg_py
    except ImportError:
        raise MachineTrouble("PNG needs the package resvg-py (`pip install resvg-py`, or write an .svg)") from None
    return bytes(resvg_py.svg_to_bytes(svg_string=picture, width=width_px, skip_system_fonts=True))


def _path(shape: Shape, colours: Mapping[Tone | None, str], left: float, top: float) -> str:
    steps = "".join(
        "M" + "L".join(f"{_units(x - left)} {_units(top - y)}" for x, y in outline) + "Z" for outline in shape.outlines
    )
    if shape.tone in (Tone.FLOOR, Tone.JOINED):
        return f'<path d="{steps}" fill="{colours[shape.tone]}"/>'
    gap = f'stroke="{colours[None]}" stroke-width="{_units(2 * GAP)}" stroke-linejoin="round" paint-order="stroke"'
    return f'<path d="{steps}" fill="{colours[shape.tone]}" {gap}/>'


def _units(heights: float) -> int:
    return round(UNITS * heights)


def _escaped(text: str) -> str:
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
