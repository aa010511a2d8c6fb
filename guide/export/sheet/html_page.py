"""A sheet as one HTML page that needs nothing else: for a screen, where it flows, and for paper."""

from guide.drawing.templates import filled
from guide.export.sheet.content import Card, CardGroup, ClassSheet, PaperSize, PoseCard, SheetSize
from guide.export.sheet.svg import symbol
from guide.figures.drawing import draw, small


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
        "paper": {PaperSize.A4: "A4", PaperSize.LETTER: "letter"}[sheet.look.paper],
        "is_large": sheet.look.size is SheetSize.FLOOR,
    }
    return f"{filled('guide.export.sheet', 'sheet.html.jinja', values)}\n"


def _size(box: tuple[float, float, float, float]) -> tuple[float, float]:
    left, bottom, right, top = box
    return round(right - left, 3), round(top - bottom, 3)


def _kind(card: Card) -> str:
    """Which part of the template shows a card."""
    if isinstance(card, CardGroup):
        return "group"
    return "pose" if isinstance(card, PoseCard) else "told"
