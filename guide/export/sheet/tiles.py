"""The cards of a section as tiles: how wide each is, what stands above and below the ground line."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from guide.drawing.font_widths import Lettering, spaced
from guide.export.sheet.boxes import FigureBox, LineBox, SheetBox, SheetInk, TextBox
from guide.export.sheet.content import Card, CardGroup, PoseCard, ToldCard
from guide.export.sheet.scales import SheetScale
from guide.figures.drawing import Drawing

#: A name has this many lines at most before its card grows wider.
NAME_LINES = 2

#: Key words have this many lines at most.
KEY_LINES = 2

#: What is told has this many lines at most; its script has the rest.
TOLD_LINES = 4

#: No card grows wider than this, in its least widths.
WIDEST = 1.9

#: From the ground to the words below it.
BELOW_MM = 0.6

#: Room around words in a frame.
INSET_MM = 1.2


@dataclass(frozen=True, slots=True)
class GroupMark:
    """A group over tiles, told from others like it by what it is a group of."""

    mark: str
    cards: tuple[Card, ...]


@dataclass(frozen=True, slots=True)
class Tile:
    """A card that was measured: what stands on the ground line and what below, each from its own upper left corner.

    `is_told` is words alone, which hang from the top. `groups` go from the outermost in.
    """

    wide_mm: float
    above: tuple[SheetBox, ...]
    below: tuple[TextBox, ...]
    groups: tuple[GroupMark, ...]
    is_told: bool = False

    @property
    def above_mm(self) -> float:
        """How high it is above the ground."""
        return max((box.y_mm + box.high_mm for box in self.above), default=0.0)


def tiles_of(cards: Sequence[Card], scale: SheetScale, drawings: Mapping[str, Drawing]) -> tuple[Tile, ...]:
    """All cards as tiles, each group wide enough for its mark."""
    return tuple(_Tiling(scale, drawings).tiles(cards, ()))


@dataclass(frozen=True, slots=True)
class _Tiling:
    scale: SheetScale
    drawings: Mapping[str, Drawing]

    def tiles(self, cards: Sequence[Card], groups: tuple[GroupMark, ...]) -> Iterator[Tile]:
        for card in cards:
            if isinstance(card, CardGroup):
                inner = (*groups, GroupMark(card.mark, card.cards))
                yield from self._wide_enough(list(self.tiles(card.cards, inner)), card.mark)
            elif isinstance(card, ToldCard):
                yield from self._told(card, groups)
            else:
                yield self._pose(card, groups)

    def _wide_enough(self, tiles: list[Tile], mark: str) -> list[Tile]:
        """Tiles of a group, the last one wider where the mark of the group needs it."""
        missing = self.scale.small.wide_mm(mark) + 1 - group_wide_mm(tiles, self.scale)
        if missing > 0:
            tiles[-1] = replace(tiles[-1], wide_mm=tiles[-1].wide_mm + missing)
        return tiles

    def _told(self, card: ToldCard, groups: tuple[GroupMark, ...]) -> Iterator[Tile]:
        """What is told, on as many tiles as its lines take that are no higher than others."""
        small, most_mm = self.scale.small, self.scale.told_mm
        most = int((self.scale.body_mm + self.scale.text_lines * small.line_mm) / small.line_mm)
        parted: list[list[str]] = [[]]
        for told in card.lines:
            if parted[-1] and _count([*parted[-1], told], small, most_mm) > most:
                parted.append([])
            parted[-1].append(told)
        for told_here in parted:
            wide_mm = 0.55 * most_mm
            while wide_mm < most_mm and not _has_room(told_here, small, wide_mm, most):
                wide_mm += 1
            lines = tuple(line for told in told_here for line in small.lines(told, wide_mm, TOLD_LINES))
            yield Tile(wide_mm, (TextBox(0, 0, lines, small, SheetInk.GREY),), (), groups, is_told=True)

    def _pose(self, card: PoseCard, groups: tuple[GroupMark, ...]) -> Tile:
        scale, is_held = self.scale, card.breath is None
        letters = scale.name if is_held else replace(scale.name, bold=False)
        drawing = self.drawings.get(card.drawn) if card.figure is not None else None
        least_mm = scale.held_mm if is_held else scale.moved_mm
        figure_mm = _wide_mm(drawing) * scale.body_mm if drawing else 0.0
        facts_mm = scale.small.wide_mm(_facts(card)) + 0.1
        wide_mm = max(figure_mm, _name_mm(card.titled, letters, least_mm), min(facts_mm, WIDEST * least_mm))
        above = self._figure(card, drawing) if drawing else self._frame(card, letters, wide_mm)
        return Tile(wide_mm, above, tuple(self._below(card, letters, wide_mm, drawing is not None)), groups)

    def _figure(self, card: PoseCard, drawing: Drawing) -> tuple[SheetBox, ...]:
        body_mm = self.scale.body_mm
        _, bottom, _, top = drawing.box
        told = ", ".join(filter(None, (card.name, card.amount)))
        return (FigureBox(0, 0, _wide_mm(drawing) * body_mm, (top - bottom) * body_mm, card.drawn, body_mm, told),)

    def _frame(self, card: PoseCard, letters: Lettering, wide_mm: float) -> tuple[SheetBox, ...]:
        """The name of a pose in a frame, where its figure would be."""
        lines = letters.lines(card.titled, wide_mm - 2 * INSET_MM)
        text = TextBox(INSET_MM, INSET_MM, lines, letters)
        high_mm = max(text.high_mm + 2 * INSET_MM, 0.5 * self.scale.body_mm)
        return LineBox(0, 0, wide_mm, high_mm, SheetInk.LINE), text

    def _below(self, card: PoseCard, letters: Lettering, wide_mm: float, has_figure: bool) -> Iterator[TextBox]:
        """Name, when and how long, and key words, as many of them as there are lines for."""
        small, found = self.scale.small, []
        if has_figure:
            found.append((letters.lines(card.titled, wide_mm), letters, SheetInk.BLACK))
        found.append((small.lines(_facts(card), wide_mm), small, SheetInk.BLACK))
        room = self.scale.text_lines - sum(len(lines) for lines, _, _ in found)
        found.append((small.lines(card.key, wide_mm, min(KEY_LINES, max(1, room))), small, SheetInk.GREY))
        y_mm = BELOW_MM
        for lines, kind, ink in found:
            if lines:
                yield TextBox(0, y_mm, lines, kind, ink)
                y_mm += len(lines) * kind.line_mm


def _has_room(told: Sequence[str], letters: Lettering, wide_mm: float, most: int) -> bool:
    """Whether words stand well in this width: no word broken, nothing left out, and not all the height taken."""
    if any(letters.wide_mm(word) > wide_mm for each in told for word in spaced(each)):
        return False
    counts = [len(letters.lines(each, wide_mm)) for each in told]
    return max(counts) <= TOLD_LINES and sum(counts) <= 0.7 * most


def _count(told: Sequence[str], letters: Lettering, wide_mm: float) -> int:
    """How many lines words have, each beginning one of its own."""
    return sum(len(letters.lines(each, wide_mm, TOLD_LINES)) for each in told)


def _facts(card: PoseCard) -> str:
    """When and how long; of a move its side alone, where that has to be said."""
    return card.amount if card.breath else f"{card.clock} · {card.amount}"


def _wide_mm(drawing: Drawing) -> float:
    left, _, right, _ = drawing.box
    return right - left


def _name_mm(name: str, letters: Lettering, least_mm: float) -> float:
    """How wide a card is for a name that has its few lines."""
    wide_mm = max(least_mm, min(max(map(letters.wide_mm, spaced(name)), default=0.0) + 0.1, WIDEST * least_mm))
    while len(letters.lines(name, wide_mm)) > NAME_LINES and wide_mm < WIDEST * least_mm:
        wide_mm += 0.5
    return wide_mm


def group_wide_mm(tiles: Sequence[Tile], scale: SheetScale) -> float:
    """How wide tiles are side by side."""
    return sum(tile.wide_mm for tile in tiles) + scale.gap_mm * max(0, len(tiles) - 1)
