"""Makes the pictures of the README: a shipped class in a real terminal, led at three moments, and rehearsed at one.

    python tests/readme/pictures.py

It needs tmux (sudo apt install tmux). Blocks are drawn as shapes, so that the pictures look the same with every font.
"""

import os
import sys
import tempfile
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from html import escape
from itertools import groupby
from pathlib import Path
from typing import TypeVar

from rich.color import Color
from rich.text import Text

HERE = Path(__file__).parent
ROOT = HERE.parent.parent
FOLDER = HERE / "pictures"

sys.path.insert(0, str(ROOT / "tests" / "real"))
from hall import until  # noqa: E402 (the helpers of another folder)
from led_class import own_state  # noqa: E402
from tmux_pane import Pane, pane  # noqa: E402

from guide.live.screen import letters  # noqa: E402

#: Size of a character, and space around the screen, in the units of the picture.
WIDE, HIGH, AROUND = 10, 20, 14

T = TypeVar("T")

PAPER, PLAIN, EDGE = "#000000", "#d0d0d0", "#404040"


#: Letters so high, in half rows, have the name and the breath alone.
NAME_HIGH = 6


def on_to(made: Pane, name: str, least_high: int = NAME_HIGH) -> None:
    """Go on, step by step, until this is done."""
    for number in range(100):
        before = step_shown(made)
        made.type(("Right", "n")[number % 2])
        with suppress(AssertionError):
            until(lambda before=before: step_shown(made) != before, "another step", 5)
        try:
            made.wait_for_large(name, 0.25, least_high)
        except AssertionError:
            continue
        return
    raise AssertionError("no such step comes")


def step_shown(made: Pane) -> list[str]:
    """The rows that name the step, its side and the next pose; of the script, the one that names the next step."""
    rows = made.rows()
    return [row for row in rows if "next: " in row] or [*rows[:5], *rows[17:20]]


def breathed(made: Pane, way: str) -> None:
    """Until the breath goes this way, and the bar is about half full."""
    made.wait_for_large(way, least_high=NAME_HIGH)
    until(lambda: any(38 < row.count("█") < 60 and "░" in row for row in made.rows()), "half a breath")


def hold(made: Pane) -> None:
    """A pose held on the right, in its third breath."""
    on_to(made, "warrior two")
    made.wait_for_large("3/5", least_high=NAME_HIGH)
    breathed(made, "in")


def move(made: Pane) -> None:
    """A move of one breath without a name, while the breath goes in."""
    on_to(made, "right leg back, left arm forward")
    breathed(made, "in")


def paused(made: Pane) -> None:
    """A class that waits, in the first breath of a hold."""
    on_to(made, "bird dog")
    breathed(made, "in")
    made.type("Space")
    made.wait_for_large("paused")


def rehearsed(made: Pane) -> None:
    """The script of a pose held on the right, while its second words are to be said."""
    on_to(made, "bird dog", letters.DOTS)
    # A move leads into it.
    with suppress(AssertionError):
        made.wait_for("► Keep both hips level", 15)
        return
    made.type("NPage")
    made.wait_for("► Keep both hips level")


@dataclass(frozen=True, slots=True)
class Moment:
    """How a moment is come to, in a screen of which size; `same` are the rows that are alike whenever it is."""

    come_to: Callable[[Pane], None]
    command: str = "play --output silent"
    columns: int = 80
    rows: int = 24
    same: Sequence[int] = (*range(8), 10, *range(17, 20))


#: Every picture by its name. What differs each time is the clock, the time left, the bar, and how far the words are.
MOMENTS: Mapping[str, Moment] = {
    "hold": Moment(hold),
    "move": Moment(move),
    "paused": Moment(paused, same=(*range(8), *range(10, 14), *range(17, 20))),
    "rehearsed": Moment(rehearsed, "rehearse", 80, 30, (*range(1, 4), *range(7, 29))),
}


def taken(name: str, folder: Path) -> Text:
    """The screen at a moment."""
    moment, own = MOMENTS[name], own_state(folder, {})
    named = {key: own[key] for key in ("XDG_STATE_HOME", "XDG_CONFIG_HOME", "GUIDE_CACHE")}
    command = f"cd {ROOT} && {sys.executable} -m guide {moment.command} sequences/lakeside-morning.yaml"
    with pane(command, named | {"COLORTERM": "truecolor"}, folder, moment.columns, moment.rows) as made:
        made.tmux("set-option", "-sa", "terminal-features", ",*:RGB")
        if moment.come_to is rehearsed:
            made.wait_for_large("ready")
            made.type("Space")
        made.wait_for("Lakeside morning")
        moment.come_to(made)
        return Text.from_ansi(made.styled())


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


def main() -> None:
    FOLDER.mkdir(exist_ok=True)
    os.environ.setdefault("CI", "1")
    for name in MOMENTS:
        with tempfile.TemporaryDirectory() as folder:
            (FOLDER / f"{name}.svg").write_text(drawn(taken(name, Path(folder))), encoding="utf-8")


if __name__ == "__main__":
    main()
