"""How large everything on a sheet is. What is in the hand gives way until the class has room on its pages."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from guide.drawing.font_widths import Lettering
from guide.export.sheet.content import PaperSize, SheetSize


class SectionFlow(Enum):
    """Where a section begins: in a row of its own if it does not fit whole beside the one before, or right behind."""

    APART = "apart"
    RUN_IN = "run in"


@dataclass(frozen=True, slots=True)
class SheetScale:
    """Sizes in millimetres, and letters.

    `body_mm` is how high a standing body is, `held_mm` and `moved_mm` how wide a card is at least, `told_mm` how wide
    one without a figure may be. Below a figure stand `text_lines` lines, more where its name leaves no room for a line
    of key words; `columns` are those of cautions and of the script.
    """

    body_mm: float
    name: Lettering
    small: Lettering
    heading: Lettering
    title: Lettering
    script: Lettering
    held_mm: float
    moved_mm: float
    told_mm: float
    gap_mm: float
    row_gap_mm: float
    notes_mm: float
    margin_mm: float
    columns: int
    text_lines: int = 5
    sections: SectionFlow = SectionFlow.APART


def _scale(
    body_mm: float, small_pt: float, gap_mm: float, row_gap_mm: float, text_lines: int, sections: SectionFlow
) -> SheetScale:
    small = Lettering(small_pt, lead=1.16)
    return SheetScale(
        body_mm=body_mm,
        name=Lettering(1.06 * small_pt, bold=True, lead=1.12),
        small=small,
        heading=Lettering(1.3 * small_pt, bold=True),
        title=Lettering(2.2 * small_pt, bold=True),
        script=Lettering(9.5, lead=1.35),
        held_mm=small.wide_mm("00:00 · 7 breaths") + 0.1,
        moved_mm=small_pt * 1.85,
        told_mm=small_pt * 2.5,
        gap_mm=gap_mm,
        row_gap_mm=row_gap_mm,
        notes_mm=row_gap_mm + small.line_mm + 13,
        margin_mm=11,
        columns=2,
        text_lines=text_lines,
        sections=sections,
    )


#: For the hand, from generous to close. At 38 cm the smallest letters are still 16 minutes of arc high.
#: (Source, from memory: ISO 9241-303, 5.5.4, where 16 is the least and 20 to 22 are comfortable.)
HAND: Sequence[SheetScale] = tuple(
    _scale(body_mm, small_pt, gap_mm, row_gap_mm, text_lines, sections)
    for body_mm, small_pt, gap_mm, row_gap_mm, text_lines in (
        (24, 9, 4, 7, 5),
        (21, 8.5, 3.6, 6, 5),
        (18, 8, 3.2, 5, 5),
        (16, 7.6, 2.6, 3.6, 4),
        (14.5, 7.2, 2, 2.6, 4),
        (13, 7, 1.7, 2, 4),
        (12, 7, 1.6, 1.8, 4),
    )
    for sections in SectionFlow
)

#: For the floor: the smallest letters are 16 minutes of arc high at 70 cm.
FLOOR: Sequence[SheetScale] = (
    SheetScale(
        body_mm=34,
        name=Lettering(15.5, bold=True, lead=1.18),
        small=Lettering(13, lead=1.2),
        heading=Lettering(19, bold=True),
        title=Lettering(26, bold=True),
        script=Lettering(15, lead=1.35),
        held_mm=36,
        moved_mm=32,
        told_mm=42,
        gap_mm=4.5,
        row_gap_mm=7,
        notes_mm=34,
        margin_mm=13,
        columns=1,
    ),
)

SCALES = {SheetSize.HAND: HAND, SheetSize.FLOOR: FLOOR}

#: A page for so many minutes, where that can be.
MINUTES_A_PAGE = 30


def most_pages(minutes: float) -> int:
    """How many pages a class may fill before everything on them is made smaller."""
    return max(1, -(-int(minutes) // MINUTES_A_PAGE))


def inside_mm(paper: PaperSize, scale: SheetScale) -> tuple[float, float]:
    """How much room there is inside the margins, across and down."""
    wide_mm, high_mm = paper.value
    return wide_mm - 2 * scale.margin_mm, high_mm - 2 * scale.margin_mm
