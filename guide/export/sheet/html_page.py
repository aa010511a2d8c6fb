"""A sheet as one HTML page that needs nothing else: for a screen, where it flows, and for paper."""

from collections.abc import Mapping, Sequence
from functools import partial

from guide.drawing.templates import filled
from guide.export.sheet.content import Card, CardGroup, ClassSheet, PaperSize, PoseCard, SheetSection, SheetSize
from guide.export.sheet.svg import symbol
from guide.figures.drawing import Drawing, draw, small

#: Where a section has no figure, there is so much room for frames, in heights of a body.
_FRAME = 0.5


def sheet_html(sheet: ClassSheet) -> str:
    """The page; its sections are chapters that are linked at its top, and so is the script."""
    from markupsafe import Markup

    drawings = {name: small(draw(figure)) for name, figure in sheet.figures().items()}
    names = {name: f"figure-{number}" for number, name in enumerate(drawings, 1)}
    values = {
        "sheet": sheet,
        "symbols": [Markup(symbol(drawing, names[name])) for name, drawing in drawings.items()],
        "names": names,
        # How wide and high each figure is, in heights of a body.
        "sizes": {name: _size(drawing.box) for name, drawing in drawings.items()},
        "kind": _kind,
        "depth": _depth,
        "zone": partial(_zone, drawings),
        "paper": {PaperSize.A4: "A4", PaperSize.LETTER: "letter"}[sheet.look.paper],
        "is_large": sheet.look.size is SheetSize.FLOOR,
    }
    return f"{filled('guide.export.sheet', 'sheet.html.jinja', values)}\n"


def _depth(cards: Sequence[Card]) -> int:
    """How deep groups are nested in cards."""
    return max((1 + _depth(card.cards) for card in cards if isinstance(card, CardGroup)), default=0)


def _zone(drawings: Mapping[str, Drawing], section: SheetSection) -> float:
    """How high the highest figure of a section is, in heights of a body; a frame has room as well."""
    drawn = (card.drawn for card in section.each_card() if isinstance(card, PoseCard))
    return max((_size(drawings[name].box)[1] for name in drawn if name in drawings), default=_FRAME)


def _size(box: tuple[float, float, float, float]) -> tuple[float, float]:
    left, bottom, right, top = box
    return round(right - left, 3), round(top - bottom, 3)


def _kind(card: Card) -> str:
    """Which part of the template shows a card."""
    if isinstance(card, CardGroup):
        return "group"
    return "pose" if isinstance(card, PoseCard) else "told"
