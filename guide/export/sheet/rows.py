"""Tiles side by side in rows: short sections share one, and a group that has room in a row is not parted."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import groupby

from guide.export.sheet.boxes import LineBox, SheetBox, SheetInk, TextBox, TextRole
from guide.export.sheet.content import SheetSection
from guide.export.sheet.scales import SectionFlow, SheetScale
from guide.export.sheet.strips import bottom_mm
from guide.export.sheet.tiles import GroupMark, Tile, group_wide_mm, tiles_of
from guide.figures.drawing import Drawing

#: Between the title of a section and when it is.
_WHEN_GAP_MM = 2.5

#: Sections that share a row lie so many gaps apart.
_GAPS_BETWEEN = 3

#: Groups of so many tiles are not parted.
_TOGETHER = 5

#: So many tiles of a section stand in a row at least.
_FEW_TILES = 2


@dataclass(frozen=True, slots=True)
class PlacedTile:
    """A tile in its row; the first of a section says of which."""

    x_mm: float
    tile: Tile
    begins: SheetSection | None


@dataclass(slots=True)
class Row:
    """Tiles on one ground line; `end_mm` is where the last one ends."""

    placed: list[PlacedTile] = field(default_factory=list)
    end_mm: float = 0.0

    def place(self, tile: Tile, gap_mm: float, begins: SheetSection | None) -> None:
        """Put a tile behind the last one."""
        x_mm = self.end_mm + (gap_mm if self.placed else 0.0)
        self.placed.append(PlacedTile(x_mm, tile, begins))
        self.end_mm = x_mm + tile.wide_mm

    def takes(self, wide_mm: float, gap_mm: float, room_mm: float) -> bool:
        """Whether there is room for so much more."""
        return not self.placed or self.end_mm + gap_mm + wide_mm <= room_mm


def rows_of(
    sections: Sequence[SheetSection], scale: SheetScale, drawings: Mapping[str, Drawing], room_mm: float
) -> list[Row]:
    """The rows of all sections, in order."""
    rows = [Row()]
    for section in sections:
        tiles = tiles_of(section.cards, scale, drawings)
        if not tiles:
            continue
        heading_mm = min(_heading_mm(section, scale), room_mm)
        missing_mm = max(0.0, heading_mm - group_wide_mm(tiles, scale))
        needs_mm = group_wide_mm(tiles, scale) + missing_mm
        if scale.sections is SectionFlow.RUN_IN:
            needs_mm = min(needs_mm, max(heading_mm, _first_mm(tiles, scale)))
        if not rows[-1].takes(needs_mm, _GAPS_BETWEEN * scale.gap_mm, room_mm):
            rows.append(Row())
        _place(rows, tiles, section, scale, room_mm)
        rows[-1].end_mm = min(room_mm, rows[-1].end_mm + missing_mm)
    return rows


def _first_mm(tiles: Sequence[Tile], scale: SheetScale) -> float:
    """How much of a section stands in the row of its heading at least: a few tiles, and all not parted from them."""
    taken: list[Tile] = []
    for chunk in _chunks(tiles):
        if len(taken) >= _FEW_TILES:
            break
        taken += chunk
    return group_wide_mm(taken, scale)


def _chunks(tiles: Sequence[Tile]) -> Iterator[list[Tile]]:
    """Tiles that stand in one row: those of a short group, else each by itself."""
    for _, run in groupby(tiles, key=lambda tile: tile.groups[:1] or (id(tile),)):
        chunk = list(run)
        if len(chunk) <= _TOGETHER:
            yield chunk
        else:
            yield from ([tile] for tile in chunk)


def _place(rows: list[Row], tiles: Sequence[Tile], section: SheetSection, scale: SheetScale, room_mm: float) -> None:
    gap_mm = _GAPS_BETWEEN * scale.gap_mm
    begins: SheetSection | None = section
    for chunk in _chunks(tiles):
        wide_mm = group_wide_mm(chunk, scale)
        if wide_mm <= room_mm and not rows[-1].takes(wide_mm, gap_mm, room_mm):
            rows.append(Row())
        groups: tuple[GroupMark, ...] = ()
        for tile in chunk:
            marks_mm = (scale.small.wide_mm(each.mark) for each in tile.groups if each not in groups)
            if not rows[-1].takes(max(tile.wide_mm, *marks_mm, 0.0), gap_mm, room_mm):
                rows.append(Row())
            rows[-1].place(tile, gap_mm, begins)
            gap_mm, begins, groups = scale.gap_mm, None, tile.groups


@dataclass(frozen=True, slots=True)
class RowShape:
    """A row as boxes from its own upper left corner, its height, and the sections that begin in it."""

    boxes: tuple[SheetBox, ...]
    high_mm: float
    begins: tuple[str, ...]


def shape_of(row: Row, before: Row | None, after: Row | None, scale: SheetScale, room_mm: float) -> RowShape:
    """A row with headings over its sections, marks over its groups, and all tiles on one ground line.

    The rows beside it say which groups go on.
    """
    heads = {place: _headed(row, place, scale, room_mm) for place, placed in enumerate(row.placed) if _begins(placed)}
    heading_mm = max((bottom_mm(head) + 1.2 for head in heads.values()), default=0.0)
    level_mm = scale.small.line_mm + 1.0
    top_mm = heading_mm + level_mm * max(len(placed.tile.groups) for placed in row.placed)
    ground_mm = top_mm + max((placed.tile.above_mm for placed in row.placed if not placed.tile.is_told), default=0.0)
    boxes: list[SheetBox] = []
    marks = _marks(row, before, after)
    for place, placed in enumerate(row.placed):
        boxes += heads.get(place, ())
        for there in marks.get(place, ()):
            boxes += _marked(row, place, there, heading_mm + there.level * level_mm, scale, room_mm)
        boxes += _standing(placed, top_mm, ground_mm)
    titles = tuple(placed.begins.title for placed in row.placed if placed.begins and placed.begins.title)
    return RowShape(tuple(boxes), bottom_mm(boxes), titles)


def _begins(placed: PlacedTile) -> bool:
    return placed.begins is not None and bool(placed.begins.title)


def _standing(placed: PlacedTile, top_mm: float, ground_mm: float) -> Iterator[SheetBox]:
    """The boxes of a tile: on the ground and below it; words alone in the middle above it where they have room."""
    tile = placed.tile
    y_mm = ground_mm - tile.above_mm
    if tile.is_told:
        y_mm = max(top_mm, (top_mm + y_mm) / 2)
    for box in tile.above:
        yield box.moved(placed.x_mm, y_mm)
    for text in tile.below:
        yield text.moved(placed.x_mm, ground_mm)


def _when(section: SheetSection) -> str:
    return f"{section.clock} · {section.length}"


def _heading_mm(section: SheetSection, scale: SheetScale) -> float:
    """How wide the heading of a section is on one line."""
    return scale.heading.wide_mm(section.title) + _WHEN_GAP_MM + scale.small.wide_mm(_when(section))


def _headed(row: Row, place: int, scale: SheetScale, room_mm: float) -> list[SheetBox]:
    """The heading of a section under a line as wide as the section is in this row, and when it is."""
    placed, section = row.placed[place], row.placed[place].begins
    assert section is not None
    after = next((at for at in range(place + 1, len(row.placed)) if row.placed[at].begins is not None), len(row.placed))
    end_mm = row.placed[after - 1].x_mm + row.placed[after - 1].tile.wide_mm
    when = _when(section)
    lines = scale.heading.lines(section.title, room_mm - placed.x_mm - _WHEN_GAP_MM - scale.small.wide_mm(when))
    title = TextBox(placed.x_mm, 1.2, lines, scale.heading, SheetInk.BLACK, TextRole.HEADING)
    x_mm = placed.x_mm + title.wide_mm + _WHEN_GAP_MM
    told = TextBox(x_mm, title.y_mm + scale.heading.base_mm - scale.small.base_mm, (when,), scale.small, SheetInk.GREY)
    line = LineBox(placed.x_mm, 0, max(end_mm, x_mm + told.wide_mm) - placed.x_mm, 0, SheetInk.GREY, 0.3)
    return [line, title, told]


@dataclass(frozen=True, slots=True)
class _MarkThere:
    """A group in a row: how deep it is, the last of its tiles there, and its ends, as far as they lie in the row."""

    level: int
    mark: str
    last: int
    has_end: bool


def _marks(row: Row, before: Row | None, after: Row | None) -> Mapping[int, list[_MarkThere]]:
    """The groups of a row by their first tile in it; a mark that stood in a row before is not said again."""
    found: dict[int, list[_MarkThere]] = {}
    above = before.placed[-1].tile.groups if before else ()
    below = after.placed[0].tile.groups if after else ()
    for level in range(max(len(placed.tile.groups) for placed in row.placed)):
        at = 0
        for group, run in groupby(placed.tile.groups[level : level + 1] for placed in row.placed):
            size = len(list(run))
            for mark in group:
                said = "" if at == 0 and mark in above else mark.mark
                has_end = at + size < len(row.placed) or mark not in below
                found.setdefault(at, []).append(_MarkThere(level, said, at + size - 1, has_end))
            at += size
    return found


def _marked(
    row: Row, place: int, there: _MarkThere, y_mm: float, scale: SheetScale, room_mm: float
) -> Iterator[SheetBox]:
    """A bracket over the tiles of a group, open where the group goes on, with its mark above where it begins.

    The mark of a short group may reach over what has none, up to the next tile with a group and the end of the row.
    """
    x_mm, end_mm = row.placed[place].x_mm, row.placed[there.last].x_mm + row.placed[there.last].tile.wide_mm
    line_mm = y_mm + scale.small.line_mm + 0.2
    if there.mark:
        beyond = (one.x_mm - scale.gap_mm for one in row.placed[there.last + 1 :] if len(one.tile.groups) > there.level)
        yield TextBox(x_mm, y_mm, (_shortened(there.mark, next(beyond, room_mm) - x_mm, scale),), scale.small)
        yield LineBox(x_mm, line_mm, 0, 1.0, SheetInk.GREY, 0.25)
    yield LineBox(x_mm, line_mm, end_mm - x_mm, 0, SheetInk.GREY, 0.25)
    if there.has_end:
        yield LineBox(end_mm, line_mm, 0, 1.0, SheetInk.GREY, 0.25)


def _shortened(mark: str, wide_mm: float, scale: SheetScale) -> str:
    """A mark with as many of its clocks as have room."""
    parts = mark.split(", ")
    fits = [", ".join(parts[:count]) + "…" for count in range(len(parts) - 1, 0, -1)]
    return next((each for each in (mark, *fits) if scale.small.wide_mm(each) <= wide_mm), fits[-1] if fits else mark)
