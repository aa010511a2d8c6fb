"""Strips one below the other on pages: a page begins where there is no room for the next one."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from guide.drawing.font_widths import Lettering, spaced
from guide.export.sheet.boxes import SheetBox, SheetInk, TextBox, TextRole


@dataclass(frozen=True, slots=True)
class Strip:
    """Boxes from the upper left corner of a strip; `gap_mm` lies above it, unless it begins a page.

    The gap may grow by `gives_mm`. `begins` are the sections that begin in it, `goes_on` is one that began before.
    """

    boxes: tuple[SheetBox, ...]
    high_mm: float
    gap_mm: float = 0.0
    gives_mm: float = 0.0
    begins: tuple[str, ...] = ()
    goes_on: str = ""


def paged(strips: Sequence[Strip], first_mm: float, room_mm: float) -> list[list[Strip]]:
    """Strips on pages with so much room, on the first one `first_mm`; a higher strip has a page of its own."""
    pages: list[list[Strip]] = [[]]
    left_mm = first_mm
    for strip in strips:
        needs_mm = strip.high_mm + (strip.gap_mm if pages[-1] else 0.0)
        if pages[-1] and needs_mm > left_mm:
            pages.append([])
            left_mm, needs_mm = room_mm, strip.high_mm
        pages[-1].append(strip)
        left_mm -= needs_mm
    return pages


def high_mm(strips: Sequence[Strip]) -> float:
    """How high strips are one below the other."""
    return sum(strip.high_mm for strip in strips) + sum(strip.gap_mm for strip in strips[1:])


def spread(strips: Sequence[Strip], room_mm: float) -> Iterator[tuple[float, Strip]]:
    """Each strip with its height on the page, the gaps grown alike as far as they give and there is room."""
    gives_mm = sum(strip.gives_mm for strip in strips[1:])
    share = max(0.0, min(1.0, (room_mm - high_mm(strips)) / gives_mm)) if gives_mm else 0.0
    y_mm = 0.0
    for place, strip in enumerate(strips):
        y_mm += strip.gap_mm + share * strip.gives_mm if place else 0.0
        yield y_mm, strip
        y_mm += strip.high_mm


def words_strip(
    words: str,
    letters: Lettering,
    wide_mm: float,
    ink: SheetInk = SheetInk.BLACK,
    role: TextRole = TextRole.TEXT,
    gap_mm: float = 0.0,
) -> Strip:
    """A paragraph as wide as there is room."""
    box = TextBox(0, 0, letters.lines(words, wide_mm), letters, ink, role)
    return Strip((box,), box.high_mm, gap_mm)


def labelled(parts: Iterable[tuple[str, str]], letters: Lettering, wide_mm: float) -> list[Strip]:
    """Bold labels with words behind each, all in one paragraph: a strip for each of its lines."""
    bold = replace(letters, bold=True)
    lines: list[list[tuple[str, Lettering]]] = []
    space_mm, end_mm = letters.wide_mm(" "), 0.0
    for word, kind in (
        (word, kind)
        for label, said in parts
        for text, kind in ((f"{label}:", bold), (said, letters))
        for word in spaced(text)
    ):
        if not lines or end_mm + space_mm + kind.wide_mm(word) > wide_mm:
            lines.append([])
            end_mm = -space_mm
        lines[-1].append((word, kind))
        end_mm += space_mm + kind.wide_mm(word)
    return [Strip(boxes, letters.line_mm) for boxes in (tuple(_runs(line, space_mm)) for line in lines)]


def _runs(line: Sequence[tuple[str, Lettering]], space_mm: float) -> Iterator[TextBox]:
    """The words of a line, those of one kind together."""
    x_mm = 0.0
    for kind, run in groupby(line, key=lambda one: one[1]):
        ink = SheetInk.BLACK if kind.bold else SheetInk.GREY
        box = TextBox(x_mm, 0, (" ".join(word for word, _ in run),), kind, ink)
        yield box
        x_mm += box.wide_mm + space_mm


def side_by_side(strips: Sequence[Strip], apart_mm: float, wide_mm: float) -> Iterator[Strip]:
    """Strips on one line where they fit, else one below the other."""
    wides_mm = [max(box.x_mm + box.wide_mm for box in strip.boxes) for strip in strips]
    if sum(wides_mm) + apart_mm * (len(strips) - 1) > wide_mm:
        yield from strips
        return
    starts_mm = [sum(wides_mm[:number]) + number * apart_mm for number in range(len(strips))]
    boxes = tuple(
        box.moved(start_mm, 0) for start_mm, strip in zip(starts_mm, strips, strict=True) for box in strip.boxes
    )
    yield Strip(boxes, bottom_mm(boxes), strips[0].gap_mm)


def bottom_mm(boxes: Iterable[SheetBox]) -> float:
    """How far down boxes reach."""
    return max((box.y_mm + box.high_mm for box in boxes), default=0.0)


def in_columns(strips: Sequence[Strip], count: int, room_mm: float, step_mm: float) -> list[Strip]:
    """Strips side by side in `count` columns that begin `step_mm` apart, a strip for each page of `room_mm`."""
    filled = paged(strips, room_mm, room_mm)
    return [_beside(filled[at : at + count], step_mm) for at in range(0, len(filled), count)]


def level_columns(strips: Sequence[Strip], count: int, step_mm: float) -> Strip:
    """Strips side by side in at most `count` columns of about the same height."""
    room_mm = high_mm(strips) / count
    while len(filled := paged(strips, room_mm, room_mm)) > count:
        room_mm += 1
    return _beside(filled, step_mm)


def _beside(columns: Sequence[Sequence[Strip]], step_mm: float) -> Strip:
    boxes = [
        box.moved(number * step_mm, y_mm)
        for number, column in enumerate(columns)
        for y_mm, strip in spread(column, 0.0)
        for box in strip.boxes
    ]
    return Strip(tuple(boxes), bottom_mm(boxes))
