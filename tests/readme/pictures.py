"""Makes the pictures of the README: a shipped class in a real terminal, led at three moments, and rehearsed at one.

    python tests/readme/pictures.py

It needs tmux (sudo apt install tmux). Blocks are drawn as shapes, so that the pictures look the same with every font.
"""

import os
import sys
import tempfile
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from html import escape
from pathlib import Path

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

PAPER, PLAIN, EDGE = "#000000", "#d0d0d0", "#404040"


def big(text: str, scale: int = 1) -> tuple[str, ...]:
    """Rows of large letters as they stand on the screen."""
    return tuple(row.strip() for row in letters.written(text, scale))


def on_to(made: Pane, rows: tuple[str, ...]) -> None:
    """Go on, step by step, until these large letters are shown."""
    for number in range(200):
        before = what_is_next(made)
        made.type(("Right", "n")[number % 2])
        with suppress(AssertionError):
            until(lambda before=before: what_is_next(made) != before, "another step", 5)
        try:
            made.wait_for_big(rows, 0.25)
        except AssertionError:
            continue
        return
    raise AssertionError("no such step comes")


def what_is_next(made: Pane) -> list[str]:
    """The row that names the next step; it changes with the step."""
    return [row for row in made.rows() if "next: " in row]


def breathed(made: Pane, way: str) -> None:
    """Until the breath goes this way, and the bar is about half full."""
    made.wait_for_big(big(way))
    until(lambda: any(28 < row.count("█") < 46 and "░" in row for row in made.rows()), "half a breath")


def hold(made: Pane) -> None:
    """A pose held on the right, in its third breath."""
    on_to(made, big("warrior two"))
    made.wait_for_big(big("3/5"))
    breathed(made, "in")


def move(made: Pane) -> None:
    """A move of one breath, by its name in Sanskrit, while the breath goes out."""
    on_to(made, big("svanasana"))
    breathed(made, "out")


def paused(made: Pane) -> None:
    """A class that waits."""
    on_to(made, big("bird dog"))
    made.type("Up")
    made.wait_for("breaths")
    made.type("Space")
    made.wait_for_big(big("paused"))


def rehearsed(made: Pane) -> None:
    """The script of a pose held on the right, while its second words are to be said."""
    on_to(made, big("bird dog"))
    made.wait_for("► Keep both hips level")


@dataclass(frozen=True, slots=True)
class Moment:
    """How a moment is come to, in a screen of which size; `same` are the rows that are alike whenever it is."""

    come_to: Callable[[Pane], None]
    command: str = "play --output silent"
    columns: int = 60
    rows: int = 20
    same: Sequence[int] = (*range(1, 13), 18)


#: Every picture by its name. What differs each time is the clock, the time left, and the bar.
MOMENTS: Mapping[str, Moment] = {
    "hold": Moment(hold),
    "move": Moment(move),
    "paused": Moment(paused),
    "rehearsed": Moment(rehearsed, "rehearse", 80, 30, (*range(1, 4), *range(7, 29))),
}


def taken(name: str, folder: Path) -> Text:
    """The screen at a moment."""
    moment, own = MOMENTS[name], own_state(folder, {})
    named = {key: own[key] for key in ("XDG_STATE_HOME", "XDG_CONFIG_HOME", "GUIDE_CACHE")}
    command = f"cd {ROOT} && {sys.executable} -m guide {moment.command} sequences/lakeside-morning.yaml"
    with pane(command, named | {"COLORTERM": "truecolor"}, folder, moment.columns, moment.rows) as made:
        made.tmux("set-option", "-sa", "terminal-features", ",*:RGB")
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
    """One row: runs of blocks as shapes, runs of text as text of the right width."""
    parts: list[str] = []
    column = 0
    plain = line.plain
    while column < len(plain):
        kind, colour = kind_of(plain[column]), colour_at(line, column)
        end = column
        while end < len(plain) and (kind_of(plain[end]), colour_at(line, end)) == (kind, colour):
            end += 1
        left, wide = AROUND + column * WIDE, (end - column) * WIDE
        if kind == "text":
            parts.append(
                f'<text x="{left}" y="{top + HIGH * 0.77:g}" textLength="{wide}" fill="{colour}">'
                f"{escape(plain[column:end])}</text>"
            )
        elif kind != "space":
            x, y, w, h, clear = SHAPES[kind]
            unit = (left + x * WIDE, top + y * HIGH, wide * w, HIGH * h)
            numbers = ' x="{:g}" y="{:g}" width="{:g}" height="{:g}"'.format(*unit)
            parts.append(f'<rect{numbers} fill="{colour}" fill-opacity="{clear:g}"/>')
        column = end
    return parts


#: Blocks as parts of a character: left, top, width, height, and how much of the colour there is.
SHAPES = {
    "█": (0, 0, 1, 1, 1.0),
    "▀": (0, 0, 1, 0.5, 1.0),
    "▄": (0, 0.5, 1, 0.5, 1.0),
    "▌": (0, 0, 0.5, 1, 1.0),
    "▐": (0.5, 0, 0.5, 1, 1.0),
    "░": (0, 0, 1, 1, 0.25),
}


def kind_of(character: str) -> str:
    return character if character in SHAPES else "space" if character == " " else "text"


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
