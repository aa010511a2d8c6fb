"""What a sheet is made of: boxes in millimetres from the upper left corner of a page, in reading order."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import Enum

from guide.drawing.font_widths import Lettering
from guide.figures.drawing import Drawing


class TextRole(Enum):
    """What words are in the structure of a document. (Source: ISO 32000-1, 14.8.4, standard structure types.)"""

    TITLE = "H1"
    HEADING = "H2"
    TEXT = "P"


class SheetInk(Enum):
    """How dark something is, from black at 0 to white at 255; no meaning hangs on it alone."""

    BLACK = 25
    GREY = 95
    LINE = 150
    FAINT = 200


@dataclass(frozen=True, slots=True)
class TextBox:
    """Lines of words, one below the other, from its upper left corner."""

    x_mm: float
    y_mm: float
    lines: tuple[str, ...]
    letters: Lettering
    ink: SheetInk = SheetInk.BLACK
    role: TextRole = TextRole.TEXT

    @property
    def wide_mm(self) -> float:
        """As wide as its widest line."""
        return max(map(self.letters.wide_mm, self.lines), default=0.0)

    @property
    def high_mm(self) -> float:
        """As high as its lines."""
        return len(self.lines) * self.letters.line_mm

    def moved(self, x_mm: float, y_mm: float) -> "TextBox":
        """The same so much further to the right and down."""
        return replace(self, x_mm=self.x_mm + x_mm, y_mm=self.y_mm + y_mm)


@dataclass(frozen=True, slots=True)
class FigureBox:
    """A figure, by the name under which it is drawn; `body_mm` is how high a body is, `told` what it shows."""

    x_mm: float
    y_mm: float
    wide_mm: float
    high_mm: float
    drawn: str
    body_mm: float
    told: str

    def moved(self, x_mm: float, y_mm: float) -> "FigureBox":
        """The same so much further to the right and down."""
        return replace(self, x_mm=self.x_mm + x_mm, y_mm=self.y_mm + y_mm)


@dataclass(frozen=True, slots=True)
class LineBox:
    """A line, upright or level, or the edge of a frame; it says nothing that words do not."""

    x_mm: float
    y_mm: float
    wide_mm: float
    high_mm: float
    ink: SheetInk = SheetInk.LINE
    thick_mm: float = 0.2

    @property
    def is_frame(self) -> bool:
        """Whether it goes round something."""
        return self.wide_mm > 0 and self.high_mm > 0

    def moved(self, x_mm: float, y_mm: float) -> "LineBox":
        """The same so much further to the right and down."""
        return replace(self, x_mm=self.x_mm + x_mm, y_mm=self.y_mm + y_mm)


SheetBox = TextBox | FigureBox | LineBox


@dataclass(frozen=True, slots=True)
class SheetPages:
    """All pages of a sheet; `drawings` has its figures by name, `chapters` the page and height of each section."""

    title: str
    wide_mm: float
    high_mm: float
    pages: tuple[tuple[SheetBox, ...], ...]
    drawings: Mapping[str, Drawing]
    chapters: tuple[tuple[str, int, float], ...]
