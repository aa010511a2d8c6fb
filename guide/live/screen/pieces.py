"""What lies where on a screen: pieces of text, large or small, that are painted into rows."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from enum import Enum
from textwrap import wrap

from rich.cells import cell_len

from guide.live.screen import letters
from guide.live.screen.letters import Size
from guide.live.screen.rows import MARGIN, Ink, Room, Row, Run, cut, exactly


class Part(Enum):
    """What a piece tells."""

    WHERE = "where"
    NAME = "name"
    SIDE = "side"
    BREATH = "breath"
    COUNT = "count"
    BREATH_BAR = "breath bar"
    HOLD_BAR = "hold bar"
    SECTION_BAR = "section bar"
    WORDS = "words"
    NEXT_WORDS = "next words"
    NEXT_POSE = "next pose"
    TIME_LEFT = "time left"
    CLOCK = "clock"
    VERDICT = "verdict"
    CHECK = "check"


@dataclass(frozen=True, slots=True)
class ScreenPiece:
    """Lines of text, all as wide, whose upper left corner is at a row and a column.

    `high` is how high its letters are, in half rows; 0 for a bar, and 2 for the terminal's own letters.
    """

    part: Part
    top: int
    left: int
    lines: tuple[str, ...]
    ink: Ink
    high: int

    @property
    def columns(self) -> int:
        """How wide it is."""
        return max(map(cell_len, self.lines), default=0)

    @property
    def bottom(self) -> int:
        """The row below its last."""
        return self.top + len(self.lines)

    @property
    def right(self) -> int:
        """The column beside its last."""
        return self.left + self.columns


def painted(pieces: Sequence[ScreenPiece], room: Room) -> tuple[Row, ...]:
    """The pieces as so many rows, each so many columns wide; what lies outside is not seen."""
    return tuple(exactly(_row(pieces, y), room.columns) for y in range(room.rows))


def _row(pieces: Sequence[ScreenPiece], y: int) -> Row:
    runs: list[Run] = []
    column = 0
    for piece in sorted((piece for piece in pieces if piece.top <= y < piece.bottom), key=lambda piece: piece.left):
        if piece.left > column:
            runs.append(Run(" " * (piece.left - column), Ink.PLAIN))
        runs.append(Run(piece.lines[y - piece.top], piece.ink))
        column = piece.right
    return tuple(runs)


@dataclass(frozen=True, slots=True)
class Band:
    """Some whole rows of a room, in which one thing is told."""

    room: Room
    top: int
    rows: int

    def piece(self, part: Part, text: str, size: Size, ink: Ink, share: float = 0.0) -> ScreenPiece:
        """A line of large letters at the left of the band (share 0), at its right (1), or between; it has to fit."""
        lines = letters.written(text, size)
        return ScreenPiece(part, self.top, self._left(cell_len(lines[0]), share), lines, ink, size.high)

    def small(self, part: Part, text: str, ink: Ink, share: float = 0.0) -> tuple[ScreenPiece, ...]:
        """The text in the terminal's own letters, in the middle of the band; cut where it is longer than that."""
        lines = wrap(printable(text), self.room.inner)[: max(1, self.rows)]
        above = max(0, self.rows - len(lines)) // 2
        return tuple(
            ScreenPiece(part, self.top + above + number, self._left(cell_len(line), share), (line,), ink, 2)
            for number, line in enumerate(cut(line, self.room.inner) for line in lines)
        )

    def text(self, part: Part, text: str, size: Size, ink: Ink, most: int) -> tuple[ScreenPiece, ...]:
        """The text in at most so many lines of one size, shortened where it is longer."""
        if not letters.can_write(text):
            return self.small(part, text, ink)
        lines = letters.shortened(text, size, self.room.inner, most)
        return tuple(
            replace(self.piece(part, line, size, ink), top=self.top + number * size.line_rows)
            for number, line in enumerate(lines)
        )

    def below(self, rows: int) -> "Band":
        """What of the band lies below so many of its rows."""
        return Band(self.room, self.top + rows, self.rows - rows)

    def _left(self, columns: int, share: float) -> int:
        return MARGIN + int(share * max(0, self.room.inner - columns))


def printable(text: str) -> str:
    """The text without what is no letter or sign."""
    return "".join(letter if letter.isprintable() else " " for letter in text)


def in_room(pieces: Iterable[ScreenPiece], room: Room) -> tuple[ScreenPiece, ...]:
    """The pieces that lie wholly in the room."""
    return tuple(piece for piece in pieces if piece.bottom <= room.rows and piece.right <= room.columns)
