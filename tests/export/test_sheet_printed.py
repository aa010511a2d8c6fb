"""Sheets as PDF, measured from the files: by poppler, which shares nothing with what wrote them."""

import re
import subprocess
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from sheet_samples import OWN, SHIPPED, planned, sheet, whole_sheet

from guide.export.registry import SHEETS
from guide.export.sheet.content import ClassSheet, PaperSize, PoseCard, SheetLook, SheetSize
from guide.export.sheet.layout import laid_out
from guide.export.sheet.pdf import sheet_pdf

pytestmark = pytest.mark.real

DOTS = 72
MARGIN_MM = 10.5

LOOKS = (SheetLook(), SheetLook(PaperSize.LETTER), SheetLook(PaperSize.A4, SheetSize.FLOOR))
SOME = ("lakeside-morning", "evening-lake", *OWN)

WORD = re.compile(r'<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">([^<]*)</word>')


def asked(command: list[str]) -> str:
    return subprocess.run(command, check=True, capture_output=True, encoding="utf-8").stdout


def written(made: ClassSheet, folder: Path) -> Path:
    path = folder / "sheet.pdf"
    path.write_bytes(sheet_pdf(laid_out(made)))
    return path


def seen(path: Path) -> list[NDArray[np.uint8]]:
    """Each page as dots, shape (high, wide, 3)."""
    raw = subprocess.run(["pdftoppm", "-r", str(DOTS), str(path)], check=True, capture_output=True).stdout
    pages = []
    while raw:
        head = re.match(rb"P6\n(\d+) (\d+)\n255\n", raw)
        assert head is not None
        wide, high = int(head[1]), int(head[2])
        body = raw[head.end() : head.end() + 3 * wide * high]
        pages.append(np.frombuffer(body, np.uint8).reshape(high, wide, 3))
        raw = raw[head.end() + 3 * wide * high :]
    return pages


@pytest.mark.parametrize(
    "name", [pytest.param(name, marks=() if name in SOME else pytest.mark.slow) for name in (*SHIPPED, *OWN)]
)
def test_a_sheet_is_read_whole_and_in_order(name: str, tmp_path: Path) -> None:
    made = whole_sheet(name)
    path = written(made, tmp_path)
    text = " ".join(asked(["pdftotext", "-raw", str(path), "-"]).split())
    at = 0
    for section in made.sections:
        at = _found(section.title, text, at)
        for card in section.each_card():
            if isinstance(card, PoseCard):
                at = _found(card.titled, text, at)
    printed = _bare(text)
    said = {_bare(cue.words) for cue in planned(name)[2].cues if not cue.words.isdigit()}
    assert said
    assert all(words in printed for words in said)


def test_what_is_read_by_the_structure_of_a_sheet_is_the_same_in_the_same_order(tmp_path: Path) -> None:
    """A short class alone: poppler draws a page anew for each of its elements."""
    path = written(sheet("jetty"), tmp_path)
    told = re.findall(r'"(.*)"', asked(["pdfinfo", "-struct-text", str(path)]))
    assert _bare(" ".join(told)) == _bare(asked(["pdftotext", "-raw", str(path), "-"]))
    kinds = re.findall(r"^  (H1|H2|P|Figure)\b", asked(["pdfinfo", "-struct", str(path)]), re.MULTILINE)
    assert kinds.count("H1") == 1 and kinds.count("H2") == 4 and kinds.count("Figure") == 4


def _bare(words: str) -> str:
    """Words without spaces, at which lines end anywhere; what the font lacks is a sign of its own there."""
    return re.sub(r"\s|[\u2e80-\u9fff]|\ufffd", "", words)


def _found(words: str, text: str, at: int) -> int:
    """Where words stand from there on."""
    pattern = r"\s*".join(map(re.escape, _bare(words)))
    found = re.compile(pattern).search(text, at)
    assert found is not None, words
    return found.start()


@pytest.mark.parametrize(
    ("name", "look"),
    [
        pytest.param(name, look, marks=() if (number + place) % len(LOOKS) == 0 else pytest.mark.slow)
        for number, name in enumerate(SOME)
        for place, look in enumerate(LOOKS)
    ],
)
def test_nothing_lies_on_anything_else_or_in_the_margins(name: str, look: SheetLook, tmp_path: Path) -> None:
    path = written(sheet(name, look), tmp_path)
    pages = seen(path)
    boxes = asked(["pdftotext", "-bbox", str(path), "-"]).split("<page ")[1:]
    wide_pt, high_pt = (size_mm / 25.4 * 72 for size_mm in look.paper.value)
    for dots, page in zip(pages, boxes, strict=True):
        assert dots.shape[:2] == (pytest.approx(high_pt, abs=1), pytest.approx(wide_pt, abs=1))
        edge = round(MARGIN_MM / 25.4 * DOTS)
        inside = dots[edge:-edge, edge:-edge]
        assert (dots == 255).sum() - (inside == 255).sum() == dots.size - inside.size
        # Figures are bluish or brownish, letters are grey: none of the dots within letters is of a figure.
        figure = np.abs(dots[..., 2].astype(int) - dots[..., 0]) > 14
        words = [tuple(map(float, found[:4])) for found in WORD.findall(page)]
        assert words
        for left, top, right, bottom in words:
            # A line of letters has room above and below them.
            high = (bottom - top) / 4
            assert not figure[round(top + high) : round(bottom - high), round(left) : round(right)].any()
        lines = np.array(words)
        across = np.minimum(lines[:, None, 2], lines[None, :, 2]) - np.maximum(lines[:, None, 0], lines[None, :, 0])
        down = np.minimum(lines[:, None, 3], lines[None, :, 3]) - np.maximum(lines[:, None, 1], lines[None, :, 1])
        high = np.minimum.outer(lines[:, 3] - lines[:, 1], lines[:, 3] - lines[:, 1])
        covered = (across > 0.3) & (down > 0.4 * high)
        np.fill_diagonal(covered, False)
        assert not covered.any()


def test_a_pdf_is_the_same_bytes_each_time_with_chapters_and_what_figures_show(tmp_path: Path) -> None:
    path = tmp_path / "class.pdf"
    SHEETS[".pdf"].write(path, sheet("jetty"), None)
    raw = path.read_bytes()
    SHEETS[".pdf"].write(path, sheet("jetty"), None)
    assert path.read_bytes() == raw
    assert SHEETS[".pdf"].whose(path) == ""
    assert b"/Outlines" in raw and b"/MarkInfo" in raw and b"/Lang (en)" in raw
    assert b"Tree, 5 breaths" in raw
    fonts = asked(["pdffonts", str(path)]).splitlines()[2:]
    assert fonts and all(line.split()[-5:-2] == ["yes", "yes", "yes"] for line in fonts)
