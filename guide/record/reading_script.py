"""The lines of a class as a script to read aloud: as text, as a page, and as a PDF."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING

from guide.drawing.pdf import FONT, empty_pdf
from guide.drawing.templates import filled
from guide.drawing.text_width import right, wrapped
from guide.record.lines import ReadingLine
from guide.units import at_most, so_many
from guide.visible import visible_in_line

if TYPE_CHECKING:
    from fpdf import FPDF

HOW_TO_READ = (
    "Leave two seconds of quiet between one line and the next.",
    "After a slip say “again”, and read the whole line anew: the last time counts.",
    "Where a line has a time, nothing in the class grows longer if it is read within that.",
)

#: Text has lines of so many columns, numbers before them and times below them.
COLUMNS, NUMBER_COLUMNS = 78, 4

#: Sizes in the PDF: of lines, of all else, and how high a line is for each.
LINE_PT, SMALL_PT, TITLE_PT = 15.0, 9.5, 20.0
LEADING = 1.45
NUMBER_MM, ROOM_MM = 11.0, 26.0
MM_PER_PT = 25.4 / 72
LINE_HIGH_MM = LINE_PT * LEADING * MM_PER_PT
GREY = 95


@dataclass(frozen=True, slots=True)
class ReadingScript:
    """All lines to be read of the class `title`, in order, each with its number in it."""

    title: str
    lines: tuple[tuple[int, ReadingLine], ...]

    @property
    def heading(self) -> str:
        """What it is and how much."""
        return f"{visible_in_line(self.title)}: {so_many(len(self.lines), 'line')} to read"

    def sections(self) -> Iterator[tuple[str, list[tuple[int, str, str]]]]:
        """Each section with its lines: their numbers, their words and how long they may last."""
        for section, lines in groupby(self.lines, key=lambda line: line[1].section):
            yield (
                visible_in_line(section),
                [(number, visible_in_line(line.words), room(line)) for number, line in lines],
            )


def room(line: ReadingLine) -> str:
    """`at most 4.5 s`; nothing for a line that has a time of its own."""
    return "" if line.room_ms is None else at_most(line.room_ms)


def script_text(script: ReadingScript) -> str:
    """As plain text."""
    found = [*wrapped(script.heading, COLUMNS), ""]
    for rule in HOW_TO_READ:
        found += wrapped(rule, COLUMNS)
    for section, lines in script.sections():
        found += ["", section.upper()] if section else [""]
        for number, words, may_last in lines:
            first, *others = wrapped(words, COLUMNS - NUMBER_COLUMNS - 2)
            found += ["", f"{right(str(number), NUMBER_COLUMNS)}  {first}"]
            found += [" " * (NUMBER_COLUMNS + 2) + other for other in others]
            found += [" " * (NUMBER_COLUMNS + 2) + f"({may_last})"] if may_last else []
    return "\n".join(found) + "\n"


def script_page(script: ReadingScript) -> str:
    """As one HTML page that needs nothing else, for a screen and for paper."""
    values = {"heading": script.heading, "rules": HOW_TO_READ, "sections": tuple(script.sections())}
    return f"{filled('guide.record', 'script.html.jinja', values)}\n"


def script_pdf(script: ReadingScript) -> bytes:
    """As a PDF. Raises MachineTrouble where what writes it is not installed."""
    pdf = empty_pdf(script.heading)
    pdf.add_page()
    _paragraph(pdf, script.heading, TITLE_PT, "B")
    for rule in HOW_TO_READ:
        _paragraph(pdf, rule, SMALL_PT)
    for section, lines in script.sections():
        _section(pdf, section, lines[0][1])
        for number, words, may_last in lines:
            _line(pdf, number, words, may_last)
    return bytes(pdf.output())


def _paragraph(pdf: "FPDF", words: str, size_pt: float, style: str = "") -> None:
    pdf.set_font(FONT, style, size_pt)
    pdf.multi_cell(0, size_pt * LEADING * MM_PER_PT, words, align="L", new_x="LMARGIN", new_y="NEXT")


def _section(pdf: "FPDF", section: str, first: str) -> None:
    """The heading of a section, on the same page as its first line."""
    pdf.ln(LINE_HIGH_MM)
    if section and pdf.will_page_break(LINE_HIGH_MM * 1.4 + _high_mm(pdf, first)):
        pdf.add_page()
    if section:
        _paragraph(pdf, section, LINE_PT, "B")


def _line(pdf: "FPDF", number: int, words: str, may_last: str) -> None:
    """A line with its number before it and its time after it, on one page."""
    pdf.ln(LINE_HIGH_MM * 0.4)
    if pdf.will_page_break(_high_mm(pdf, words)):
        pdf.add_page()
    top_mm = pdf.get_y()
    pdf.set_font(FONT, "", SMALL_PT)
    pdf.set_text_color(GREY)
    pdf.cell(NUMBER_MM, LINE_HIGH_MM, str(number))
    _words(pdf, words)
    next_mm = pdf.get_y()
    pdf.set_font(FONT, "", SMALL_PT)
    pdf.set_text_color(GREY)
    pdf.set_xy(pdf.w - pdf.r_margin - ROOM_MM, top_mm)
    pdf.cell(ROOM_MM, LINE_HIGH_MM, may_last, align="R")
    pdf.set_text_color(0)
    pdf.set_xy(pdf.l_margin, next_mm)


def _words(pdf: "FPDF", words: str) -> None:
    pdf.set_text_color(0)
    pdf.set_font(FONT, "", LINE_PT)
    pdf.multi_cell(_wide_mm(pdf), LINE_HIGH_MM, words, align="L", new_x="LMARGIN", new_y="NEXT")


def _high_mm(pdf: "FPDF", words: str) -> float:
    pdf.set_font(FONT, "", LINE_PT)
    high_mm: float = pdf.multi_cell(_wide_mm(pdf), LINE_HIGH_MM, words, align="L", dry_run=True, output="HEIGHT")
    return high_mm


def _wide_mm(pdf: "FPDF") -> float:
    return float(pdf.epw) - NUMBER_MM - ROOM_MM
