"""The picture of a class as SVG, and as PNG."""

from base64 import b64encode
from collections.abc import Iterator
from importlib.resources import as_file, files
from xml.sax.saxutils import escape

from guide.export.picture.colours import style
from guide.export.picture.layout import Laid, lay
from guide.export.picture.measures import BROAD, PictureMeasures
from guide.export.picture.seen import ClassSeen, Lane
from guide.export.picture.shapes import Dot, Letters, Oblong, PictureShape, Stroke
from guide.figures.drawing import Shape
from guide.figures.outline import Polygon
from guide.figures.svg import GAP, Paper
from guide.problem import MachineTrouble
from guide.units import clock

FAMILY = "DejaVu Sans, Verdana, sans-serif"


def picture_svg(klass: ClassSeen, size: PictureMeasures, paper: Paper) -> str:
    """The picture as strict XML, the same each time.

    Source: W3C SVG 1.1, second edition; `paint-order` is of SVG 2.
    """
    return _svg(klass, size, style(paper, FAMILY))


def picture_for_page(klass: ClassSeen) -> str:
    """The broad picture on light or dark paper, as whoever looks at it prefers, as an address that holds all of it.

    Inside a page it has its own styles then. Source: RFC 2397, "data" addresses; W3C Media Queries 5, 11.5.
    """
    styles = f"{style(Paper.LIGHT, FAMILY)}\n@media (prefers-color-scheme: dark) {{\n{style(Paper.DARK, FAMILY)}\n}}"
    return f"data:image/svg+xml;base64,{b64encode(_svg(klass, BROAD, styles).encode()).decode()}"


def _svg(klass: ClassSeen, size: PictureMeasures, styles: str) -> str:
    laid = lay(klass, size)
    wide, high = _number(size.wide_px), _number(laid.high_px)
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" class="class-picture" viewBox="0 0 {wide} {high}" '
        f'width="{wide}" height="{high}" role="img">',
        f"<title>{escape(klass.title)}</title>",
        f"<desc>{escape(described(klass))}</desc>",
        f"<style>\n{styles}\n</style>",
        '<defs><pattern id="untold" width="6" height="6" patternUnits="userSpaceOnUse" '
        'patternTransform="rotate(45)"><path class="hatch" d="M3 0V6"/></pattern></defs>',
        f'<rect class="paper" width="{wide}" height="{high}"/>',
        *map(_element, laid.shapes),
        *(_figure(laid, size, number) for number in range(len(laid.figures))),
        "</svg>\n",
    ]
    return "\n".join(parts)


def described(klass: ClassSeen) -> str:
    """The picture in words, for those who do not see it."""
    spent = {lane: sum(step.end_ms - step.start_ms for step in klass.steps if step.lane is lane) for lane in Lane}
    carried = ", ".join(f"{lane.value} {clock(ms)}" for lane, ms in spent.items() if ms)
    sections = ", ".join(f"{section.title} from {clock(section.start_ms)}" for section in klass.sections)
    sentences = [
        f"A class of {clock(klass.length_ms)} over an axis of time.",
        f"What carries people: {carried}." if carried else "",
        f"Sections: {sections}." if sections else "",
    ]
    return " ".join(filter(None, sentences))


def picture_png(picture: str, width_px: int) -> bytes:
    """A picture of `picture_svg` as PNG of this width, with the program's own letters, the same each time.

    Letters that those lack are taken from the machine's own.

    Raises:
        MachineTrouble: the library that draws is missing.
    """
    try:
        import resvg_py
    except ImportError:
        raise MachineTrouble("PNG needs the package resvg-py (`pip install resvg-py`, or write an .svg)") from None
    with as_file(files("guide.drawing") / "fonts") as folder:
        fonts = [str(folder / name) for name in ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf")]
        drawn = resvg_py.svg_to_bytes(
            svg_string=picture,
            width=width_px,
            font_files=fonts,
            skip_system_fonts=max(picture, default="") < _FIRST_OTHER,
        )
    return bytes(drawn)


#: The program's own letters have all below this that is written from left to right, and the signs that pictures use.
_FIRST_OTHER = "\u2e80"


def _element(shape: PictureShape) -> str:
    match shape:
        case Oblong():
            place = f'x="{_number(shape.x_px)}" y="{_number(shape.y_px)}"'
            return _tipped("rect", f'{place} width="{_number(shape.wide_px)}" height="{_number(shape.high_px)}"', shape)
        case Dot():
            place = f'cx="{_number(shape.x_px)}" cy="{_number(shape.y_px)}" r="{_number(shape.radius_px)}"'
            return _tipped("circle", place, shape)
        case Stroke():
            points = "L".join(f"{_number(x)} {_number(y)}" for x, y in shape.points)
            return _tipped("path", f'd="M{points}{"Z" if shape.closed else ""}"', shape)
        case Letters():
            anchor = "" if shape.anchor == "start" else f' text-anchor="{shape.anchor}"'
            place = f'x="{_number(shape.x_px)}" y="{_number(shape.y_px)}" font-size="{_number(shape.size_px)}"'
            return f'<text class="{shape.look}" {place}{anchor}>{escape(shape.words)}</text>'


def _tipped(name: str, place: str, shape: Oblong | Dot | Stroke) -> str:
    start = f'<{name} class="{shape.look}" {place}'
    return f"{start}><title>{escape(shape.tip)}</title></{name}>" if shape.tip else f"{start}/>"


def _figure(laid: Laid, size: PictureMeasures, number: int) -> str:
    """The figure of a step, as large as there is room, its feet on the floor of the gallery."""
    shown = laid.figures[number]
    left, bottom, right, _ = shown.drawing.box
    scale = shown.scale_px(size)
    x_px, y_px = shown.x_px - scale * (left + right) / 2, laid.floor_px + scale * bottom
    paths = "".join(_path(shape) for shape in shown.drawing.shapes)
    place = f"translate({_number(x_px)} {_number(y_px)}) scale({scale / _FINE:.5f})"
    return f'<g class="figure" stroke-width="{_FINE * 2 * GAP:g}" transform="{place}">{paths}</g>'


#: One body's height has so many steps: finer than a dot of any picture here.
_FINE = 250


def _path(shape: Shape) -> str:
    outlines = "".join(f"M{'L'.join(_steps(outline))}Z" for outline in shape.outlines)
    return f'<path class="{shape.tone.value}" d="{outlines}"/>'


def _steps(outline: Polygon) -> Iterator[str]:
    """The corners of an outline, each once."""
    corners = [(round(_FINE * x), round(-_FINE * y)) for x, y in outline]
    return (f"{x} {y}" for (x, y), before in zip(corners, [None, *corners], strict=False) if (x, y) != before)


def _number(value: float) -> str:
    return f"{round(value, 2):g}" if abs(value) < 1e5 else str(round(value))
