"""A PDF with letters of the program's own, so that it looks the same everywhere, and the same bytes each time."""

from datetime import UTC, datetime
from importlib.resources import as_file, files
from typing import TYPE_CHECKING

from guide.problem import MachineTrouble

if TYPE_CHECKING:
    from fpdf import FPDF

#: DejaVu Sans has the letters of transliterated Sanskrit, of Greek and of Cyrillic.
FONT = "DejaVu"
_FILES = {"": "DejaVuSans.ttf", "B": "DejaVuSans-Bold.ttf"}

#: The line that brings what writes PDF.
INSTALL = "python -m pip install 'practice-guide[pdf]'"

MARGIN_MM = 18.0

#: A day in it would make other bytes of the same words.
NO_DAY = datetime(2000, 1, 1, tzinfo=UTC)


def empty_pdf(title: str) -> "FPDF":
    """A PDF of A4 pages without any yet, in `FONT`, plain and bold; of each font only the letters used are put in.

    Raises:
        MachineTrouble: what writes PDF is not installed.
    """
    try:
        from fpdf import FPDF
    except ImportError as error:
        raise MachineTrouble(f"to write PDF, fpdf2 is needed ({INSTALL})") from error
    pdf = FPDF(format="A4")
    pdf.set_creation_date(NO_DAY)
    pdf.set_title(title)
    pdf.set_lang("en")
    pdf.set_margins(MARGIN_MM, MARGIN_MM)
    pdf.set_auto_page_break(True, MARGIN_MM)
    with as_file(files("guide.drawing") / "fonts") as folder:
        for style, name in _FILES.items():
            pdf.add_font(FONT, style, folder / name)
    return pdf
