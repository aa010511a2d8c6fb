"""Sheets laid out: everything inside the margins, nothing on anything else, and as many pages as a class may have."""

import pytest
from sheet_samples import OWN, SHIPPED, sheet, whole_sheet

from guide.drawing.font_widths import Lettering, font_widths
from guide.export.sheet import layout
from guide.export.sheet.boxes import FigureBox, LineBox, SheetBox, SheetPages, TextBox
from guide.export.sheet.content import PaperSize, SheetLook, SheetSize
from guide.export.sheet.layout import laid_out
from guide.export.sheet.scales import SCALES
from guide.figures.drawing import Drawing, draw
from guide.figures.figure import Figure

#: A rounding of sizes in millimetres.
NEARLY_MM = 0.01

LOOKS = [SheetLook(paper, size) for paper in PaperSize for size in SheetSize]
SOME = ("harbour", "jetty", "fog")


@pytest.fixture(autouse=True)
def drawn_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each figure is drawn once for all of these tests."""
    monkeypatch.setattr(layout, "draw", drawn)


def drawn(figure: Figure) -> Drawing:
    key = (*figure.description.lines, *figure.angles.values())
    if key not in DRAWN:
        DRAWN[key] = draw(figure)
    return DRAWN[key]


DRAWN: dict[tuple[object, ...], Drawing] = {}


def solid(page: tuple[SheetBox, ...]) -> list[TextBox | FigureBox]:
    return [box for box in page if not isinstance(box, LineBox)]


def covers(one: SheetBox, other: SheetBox) -> bool:
    across = min(one.x_mm + one.wide_mm, other.x_mm + other.wide_mm) - max(one.x_mm, other.x_mm)
    down = min(one.y_mm + one.high_mm, other.y_mm + other.high_mm) - max(one.y_mm, other.y_mm)
    return across > NEARLY_MM and down > NEARLY_MM


def faults(laid: SheetPages, margin_mm: float) -> list[str]:
    found = []
    for page in laid.pages:
        for box in page:
            right, bottom = laid.wide_mm - box.x_mm - box.wide_mm, laid.high_mm - box.y_mm - box.high_mm
            if min(box.x_mm, box.y_mm, right, bottom) < margin_mm - NEARLY_MM:
                found.append(f"outside: {box}")
        boxes = solid(page)
        found += [
            f"{one} covers {other}" for at, one in enumerate(boxes) for other in boxes[at + 1 :] if covers(one, other)
        ]
    return found


@pytest.mark.parametrize(
    "name", [pytest.param(name, marks=() if name in SOME else pytest.mark.slow) for name in (*SHIPPED, *OWN)]
)
def test_nothing_leaves_the_margins_or_lies_on_anything_else(name: str) -> None:
    for look in LOOKS:
        made = whole_sheet(name, look)
        assert not faults(laid_out(made), SCALES[look.size][-1].margin_mm)


@pytest.mark.parametrize("paper", PaperSize)
def test_the_morning_class_has_one_page_and_the_evening_class_two(paper: PaperSize) -> None:
    """The sizes of paper are those of ISO 216 and of ANSI/ASME Y14.1."""
    for name, pages in (("lakeside-morning", 1), ("evening-lake", 2)):
        laid = laid_out(sheet(name, SheetLook(paper)))
        assert (len(laid.pages), (laid.wide_mm, laid.high_mm)) == (pages, paper.value)


@pytest.mark.parametrize(("size", "distance_mm"), [(SheetSize.HAND, 380), (SheetSize.FLOOR, 700)])
def test_the_smallest_letters_are_large_enough_where_they_are_read(size: SheetSize, distance_mm: float) -> None:
    """A capital of 16 minutes of arc at least (ISO 9241-303, 5.5.4, from memory); those of DejaVu are 0.729 high."""
    sizes_pt = [
        letters.size_pt
        for scale in SCALES[size]
        for letters in (scale.name, scale.small, scale.heading, scale.title, scale.script)
    ]
    assert min(sizes_pt) * 25.4 / 72 * 0.729 / distance_mm >= 16 / 60 * 3.14159 / 180


def test_every_card_is_on_the_pages_in_order() -> None:
    made = sheet("lakeside-morning")
    words = " ".join(line for page in laid_out(made).pages for box in solid(page) for line in getattr(box, "lines", ()))
    at = 0
    for section in made.sections:
        at = words.index(section.title, at)
        for card in section.each_card():
            at = words.index(getattr(card, "name", "") or card.lines[0][:3], at)
    assert all(f"{condition}:" in words for condition, _ in made.cautions)


@pytest.mark.real
def test_widths_are_those_of_the_font() -> None:
    """By fontTools, which reads fonts by code of its own; the letters of transliterated Sanskrit are among them."""
    from importlib.resources import files

    from fontTools import ttLib as font_tools

    for bold, name in ((False, "DejaVuSans.ttf"), (True, "DejaVuSans-Bold.ttf")):
        font = font_tools.TTFont(files("guide.drawing").joinpath("fonts", name))
        told = {char: font["hmtx"][glyph][0] / 2048 for char, glyph in font.getBestCmap().items() if char < 0xFFFF}
        assert dict(font_widths(bold).widths) == told
    assert all(ord(letter) in told for letter in "āīūṛṝḷṃḥṅñṭḍṇśṣĀŚṢ½↑↓…“”·")


def test_lines_are_no_wider_than_their_room_and_keep_every_word() -> None:
    letters = Lettering(9)
    text = "Spread your toes, tāḍāsana, and averyveryverylongwordthatfitsnowhere ends."
    lines = letters.lines(text, 20)
    assert all(letters.wide_mm(line) <= 20 for line in lines)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")
    assert letters.lines(text, 20, 2)[-1].endswith("…")
    # Marks of their own are put to their letters first.
    assert letters.lines("ta\u0304d\u0323a\u0304sana", 40) == ("tāḍāsana",)
