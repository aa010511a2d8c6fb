"""Rows of inked text, which a screen is made of."""

from dataclasses import dataclass
from enum import Enum

from rich.cells import cell_len, set_cell_size

#: Empty columns left and right.
MARGIN = 1


class Ink(Enum):
    """What a piece of text is for, which says how it looks."""

    PLAIN = "plain"
    FAINT = "faint"
    NOW = "now"
    LEFT = "left"
    RIGHT = "right"
    BREATH = "breath"
    TIME = "time"
    TOLD = "told"
    WAITS = "waits"
    ALARM = "alarm"


@dataclass(frozen=True, slots=True)
class Run:
    """A piece of a row in one ink."""

    text: str
    ink: Ink


Row = tuple[Run, ...]


@dataclass(frozen=True, slots=True)
class Room:
    """How many columns and rows there are, and how narrow the dots of letters may be, in half columns.

    `narrowest` is 1 where the terminal has quarter blocks, and 2 where it has half blocks alone.
    """

    columns: int
    rows: int
    narrowest: int = 1

    @property
    def inner(self) -> int:
        """The columns between the margins."""
        return max(1, self.columns - 2 * MARGIN)


@dataclass(frozen=True, slots=True)
class Day:
    """The time of day now, and that at which the class will end, as they are shown."""

    now: str
    end: str


def exactly(row: Row, columns: int) -> Row:
    """The row cut or filled up to so many columns."""
    made: list[Run] = []
    for run in row:
        left = columns - sum(cell_len(each.text) for each in made)
        made.append(run if cell_len(run.text) <= left else Run(set_cell_size(run.text, left), run.ink))
    left = columns - sum(cell_len(each.text) for each in made)
    return (*made, Run(" " * left, Ink.PLAIN)) if left else tuple(made)


def fitted(text: str, columns: int) -> str:
    """The text cut or filled up to so many columns; what is cut ends in an ellipsis."""
    return set_cell_size(text if cell_len(text) <= columns else f"{set_cell_size(text, columns - 1)}…", columns)


def cut(text: str, columns: int) -> str:
    """The text, cut to so many columns where it is longer; what is cut ends in an ellipsis."""
    return text if cell_len(text) <= columns else fitted(text, columns)


def apart(left: str, right: str, columns: int) -> Row:
    """Two texts at the two ends of a row."""
    inner = columns - 2 * MARGIN - cell_len(right) - 2
    if inner < 1:
        return (Run(fitted(f" {right}", columns), Ink.TIME),)
    edge = " " * MARGIN
    return Run(f"{edge}{fitted(left, inner)}", Ink.FAINT), Run(f"  {right}{edge}", Ink.TIME)
