"""A PDF with letters of the program's own, so that it looks the same everywhere, and the same bytes each time."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from importlib.resources import as_file, files
from typing import TYPE_CHECKING

from guide.drawing.font_widths import FONT_FILES
from guide.problem import MachineTrouble

if TYPE_CHECKING:
    from fpdf import FPDF

FONT = "DejaVu"

#: The line that brings what writes PDF.
INSTALL = "python -m pip install 'practice-guide[pdf]'"

MARGIN_MM = 18.0

A4_MM = (210.0, 297.0)

#: A day in it would make other bytes of the same words.
NO_DAY = datetime(2000, 1, 1, tzinfo=UTC)


def empty_pdf(title: str, page_mm: tuple[float, float] = A4_MM) -> "FPDF":
    """A PDF of pages of this size without any yet, in `FONT`, plain and bold, with only the letters that it uses.

    Raises:
        MachineTrouble: what writes PDF is not installed.
    """
    try:
        from fpdf import FPDF
    except ImportError as error:
        raise MachineTrouble(f"to write PDF, fpdf2 is needed ({INSTALL})") from error
    pdf = FPDF(format=page_mm)
    pdf.set_creation_date(NO_DAY)
    pdf.set_title(title)
    pdf.set_lang("en")
    pdf.set_margins(MARGIN_MM, MARGIN_MM)
    pdf.set_auto_page_break(True, MARGIN_MM)
    with as_file(files("guide.drawing") / "fonts") as folder:
        for bold, name in FONT_FILES.items():
            pdf.add_font(FONT, "B" if bold else "", folder / name)
    return pdf


@dataclass(slots=True)
class PdfTags:
    """The structure of a PDF while it is drawn: elements in the order in which they are read.

    Source: ISO 32000-1, 14.7 and 14.8. fpdf2 has a call of its own for pictures alone.
    """

    pdf: "FPDF"
    page: int = 0
    elements: int = 0

    @contextmanager
    def element(self, kind: str, alt: str | None = None) -> Iterator[None]:
        """What is drawn meanwhile is an H1, a P, a Figure; `alt` is said to those who do not see it."""
        if self.page != self.pdf.page:
            self.page, self.elements = self.pdf.page, 0
        self.pdf._add_marked_content(struct_type=f"/{kind}", mcid=self.elements, alt_text=alt)
        self.pdf._out(f"/{kind} <</MCID {self.elements}>> BDC")
        self.elements += 1
        yield
        self.pdf._out("EMC")


@contextmanager
def untold(pdf: "FPDF") -> Iterator[None]:
    """What is drawn meanwhile says nothing, and a screen reader passes over it."""
    pdf._out("/Artifact BMC")
    yield
    pdf._out("EMC")
