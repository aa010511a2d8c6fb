"""The files that a sheet becomes, read back by parsers that are not ours, and the command that writes them."""

import sys
import xml.etree.ElementTree as xml
from pathlib import Path

import html5lib
import pytest
from click.testing import CliRunner, Result
from sheet_samples import JETTY, planned, sheet, whole_sheet

from guide.cli import main
from guide.export.registry import SHEETS
from guide.export.seal import CHANGED
from guide.export.sheet.html_page import sheet_html
from guide.export.sheet.layout import laid_out
from guide.export.sheet.markdown import sheet_markdown
from guide.export.sheet.pdf import sheet_pdf, without_shapes
from guide.export.sheet.svg import sheet_svg
from guide.problem import MachineTrouble

SVG = "{http://www.w3.org/2000/svg}"


def guide(*arguments: str) -> Result:
    return CliRunner().invoke(main, list(arguments), prog_name="guide")


def test_a_picture_is_strict_xml_in_which_every_figure_is_drawn_once() -> None:
    laid = laid_out(sheet("jetty"))
    root = xml.fromstring(sheet_svg(laid))
    drawn = [symbol.get("id") for symbol in root.iter(f"{SVG}symbol")]
    used = [use.get("href") for use in root.iter(f"{SVG}use")]
    assert len(drawn) == len(set(drawn)) == len(laid.drawings)
    assert {f"#{name}" for name in drawn} == set(used)
    assert root.find(f"{SVG}title").text == "On the jetty, śānti & <peace>"  # type: ignore[union-attr]
    texts = " ".join(text.text or "" for text in root.iter(f"{SVG}text"))
    assert texts.index("Tree") < texts.index("between the sides") < texts.index("Heron") < texts.index("Pigeon")


def test_a_page_is_read_without_a_fault_and_its_chapters_are_linked() -> None:
    page = html5lib.HTMLParser(namespaceHTMLElements=False, strict=True).parse(sheet_html(whole_sheet("jetty")))
    names = {each.get("id") for each in page.iter() if each.get("id")}
    links = [each.get("href") for each in page.iter("a")]
    assert links == ["#chapter-1", "#chapter-2", "#chapter-3", "#script"]
    assert {link[1:] for link in links} <= names
    words = " ".join("".join(page.itertext()).split())
    cues = [cue.words for cue in planned("jetty")[2].cues]
    assert cues and all(" ".join(said.split()) in words for said in cues)


def test_markdown_says_the_same_in_few_lines() -> None:
    text = sheet_markdown(sheet("jetty"))
    assert text.startswith("# On the jetty, śānti & \\<peace\\>\n\nReed House by the lake · ")
    assert (
        """\
- right 0:05, then left 1:13
  - 2 rounds: 0:05, 0:14
    - ↑ Sweep the right arm up
    - 0:10 ↓ Standing side bend: Fold to the right
  - 0:22 **Tree**, 5 breaths: Grow tall
- between the sides
  - “Shake out both legs”
"""
        in text
    )


def test_letters_that_the_font_lacks_are_told() -> None:
    assert without_shapes(sheet("fog")) == "its font does not show 静 か な 湖 as they are (a page, .html, does)"
    assert without_shapes(sheet("jetty")) == ""


def test_without_what_writes_pdf_it_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "fpdf", None)
    with pytest.raises(MachineTrouble, match=r"to write PDF, fpdf2 is needed \(python -m pip install .*\[pdf\]"):
        sheet_pdf(laid_out(sheet("jetty")))


def test_the_command_writes_a_sheet_and_writes_over_its_own_alone(tmp_path: Path) -> None:
    target = tmp_path / "class.svg"
    for _ in range(2):
        done = guide("sheet", "desk-break", "-o", str(target))
        assert (done.exit_code, done.stderr) == (0, "")
        assert done.stdout.startswith(f"{target}: 5 poses")
    target.write_text(target.read_text(encoding="utf-8").replace("Desk", "My"), encoding="utf-8")
    assert SHEETS[".svg"].whose(target) == CHANGED
    refused = guide("sheet", "desk-break", "-o", str(target))
    assert refused.exit_code == 2
    assert "somebody has changed it since this program made it" in refused.stderr
    assert guide("sheet", "desk-break", "-o", str(target), "--force", "--paper", "letter").exit_code == 0
    assert 'width="215.9mm"' in target.read_text(encoding="utf-8")


def test_what_cannot_be_written_is_told_before_anything_is_spoken(tmp_path: Path) -> None:
    written = tmp_path / "jetty.md"
    written.write_text(JETTY, encoding="utf-8")
    for target, told in {
        "jetty.docx": "no file of ours ends in .docx (use one of .pdf, .html, .svg, .md)",
        "jetty.md": "this is the class file itself, and is never written over (name another file)",
    }.items():
        refused = guide("sheet", str(written), "-o", str(tmp_path / target))
        assert (refused.exit_code, refused.stderr) == (2, f"{tmp_path / target}: {told}\n")
    nowhere = guide("sheet", "desk-break", "-o", str(tmp_path / "nowhere" / "x.md"))
    assert (nowhere.exit_code, "make it first, or name another" in nowhere.stderr) == (2, True)
