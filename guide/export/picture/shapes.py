"""What the picture is made of, as numbers in its own units, of which a screen shows one as about one pixel."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal, TypeAlias

Anchor: TypeAlias = Literal["start", "middle", "end"]


@dataclass(frozen=True, slots=True)
class Oblong:
    """A rectangle; `look` names how it is drawn, `tip` says all about it."""

    x_px: float
    y_px: float
    wide_px: float
    high_px: float
    look: str
    tip: str = ""


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line, or a surface where its look has a filling, through points from left to right and from above."""

    points: tuple[tuple[float, float], ...]
    look: str
    closed: bool = False
    tip: str = ""


@dataclass(frozen=True, slots=True)
class Letters:
    """Words on a line at `y_px`, in letters of `size_px`."""

    x_px: float
    y_px: float
    words: str
    size_px: float
    look: str
    anchor: Anchor = "start"


@dataclass(frozen=True, slots=True)
class Dot:
    """A filled circle."""

    x_px: float
    y_px: float
    radius_px: float
    look: str
    tip: str = ""


PictureShape: TypeAlias = Oblong | Stroke | Letters | Dot


def rounded(points: Iterable[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
    """Points in hundredths of the picture's units."""
    return tuple((round(x, 2), round(y, 2)) for x, y in points)
