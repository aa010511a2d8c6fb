"""A screen of the terminal as SVG. Blocks are drawn as shapes, so that it looks the same with every font."""

from collections.abc import Iterator, Sequence
from html import escape
from itertools import groupby
from typing import TypeVar

from rich.color import Color
from rich.text import Text

#: Size of a character, and space around the screen, in the units of the picture.
WIDE, HIGH, AROUND = 10, 20, 14

T = TypeVar("T")

PAPER, PLAIN, EDGE = "#000000", "#d0d0d0", "#404040"


def drawn(screen: Text) -> str:
    """The screen as SVG."""
    lines = screen.split("\n")
    wide, high = 2 * AROUND + max(map(len, lines)) * WIDE, 2 * AROUND + len(lines) * HIGH
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}" width="{wide}" height="{high}">',
        f'<rect width="{wide}" height="{high}" rx="8" fill="{PAPER}" stroke="{EDGE}"/>',
        f'<g font-family="monospace" font-size="{HIGH * 0.8:g}" xml:space="preserve">',
    ]
    for row, line in enumerate(lines):
        parts += row_drawn(line, AROUND + row * HIGH)
    return "\n".join([*parts, "</g>", "</svg>", ""])


def row_drawn(line: Text, top: int) -> list[str]:
    """One row: blocks as shapes, runs of text as text of the right width, both over the paper that they stand on."""
    parts: list[str] = []
    for paper, start, end in runs([paper_at(line, column) for column in range(len(line))]):
        if paper != PAPER:
            parts.append(rect(AROUND + start * WIDE, top, (end - start) * WIDE, HIGH, paper))
    kinds = [(kind_of(letter), colour_at(line, column)) for column, letter in enumerate(line.plain)]
    for (kind, colour), start, end in runs(kinds):
        left, wide = AROUND + start * WIDE, (end - start) * WIDE
        if kind == "text":
            parts.append(
                f'<text x="{left}" y="{top + HIGH * 0.77:g}" textLength="{wide}" fill="{colour}">'
                f"{escape(line.plain[start:end])}</text>"
            )
        elif kind in SHADES:
            parts.append(
                rect(left, top + SHADES[kind][0] * HIGH, wide, SHADES[kind][1] * HIGH, colour, SHADES[kind][2])
            )
        elif kind == "block":
            parts += blocks_drawn(line.plain[start:end], left, top, colour)
    return parts


def blocks_drawn(blocks: str, left: int, top: int, colour: str) -> list[str]:
    """Blocks as shapes: each half of the row as stretches of quarters that are set."""
    parts = []
    for half in (0, 2):
        quarters = [bool(BLOCKS.index(block) >> half + quarter & 1) for block in blocks for quarter in (0, 1)]
        for is_set, start, end in runs(quarters):
            if is_set:
                x, y = left + start * WIDE / 2, top + half * HIGH / 4
                parts.append(rect(x, y, (end - start) * WIDE / 2, HIGH / 2, colour))
    return parts


def rect(x: float, y: float, wide: float, high: float, colour: str, clear: float = 1) -> str:
    size = f'x="{x:g}" y="{y:g}" width="{wide:g}" height="{high:g}"'
    return f'<rect {size} fill="{colour}" fill-opacity="{clear:g}"/>'


def runs(values: Sequence[T]) -> Iterator[tuple[T, int, int]]:
    """Each run of the same value, with its first place and the one after its last."""
    start = 0
    for value, same in groupby(values):
        end = start + len(list(same))
        yield value, start, end
        start = end


#: Blocks by which of their quarters are set: upper left 1, upper right 2, lower left 4, lower right 8.
BLOCKS = " ▘▝▀▖▌▞▛▗▚▐▜▄▙▟█"

#: Others that are drawn as shapes: where they begin, how high they are, and how much of the colour there is.
SHADES = {"░": (0, 1, 0.25), "■": (0.25, 0.5, 1), "─": (0.45, 0.1, 1)}


def kind_of(character: str) -> str:
    kinds = {" ": "space"} | {shade: shade for shade in SHADES}
    return kinds.get(character, "block" if character in BLOCKS else "text")


def paper_at(line: Text, column: int) -> str:
    """The colour behind a character."""
    for span in line.spans:
        style = span.style
        if span.start <= column < span.end and not isinstance(style, str) and style.bgcolor is not None:
            return hexed(style.bgcolor)
    return PAPER


def colour_at(line: Text, column: int) -> str:
    """The colour of a character; each run of text has one."""
    for span in line.spans:
        style = span.style
        if span.start <= column < span.end and not isinstance(style, str) and style.color is not None:
            return hexed(style.color)
    return PLAIN


def hexed(colour: Color) -> str:
    return colour.get_truecolor().hex
