"""The lines to read, as text, as a page and as a PDF, and how each is known as the program's own."""

import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from readings_heard import LINES, as_lines

from guide.cli.record_script import script_kinds, write_script
from guide.export.replacing import Replace
from guide.export.seal import CHANGED, MADE_ELSEWHERE
from guide.problem import MachineTrouble, UnusableChoice
from guide.record.reading_script import ReadingScript, script_page, script_pdf, script_text
from guide.voice.takes.store import Takes

SCRIPT = ReadingScript("Break", ((1, replace(as_lines(LINES)[0], room_ms=None)), (7, as_lines(LINES)[1])))


def test_text_has_each_line_with_its_number_and_the_time_it_may_last() -> None:
    assert (
        script_text(SCRIPT)
        == """\
Break: 2 lines to read

Leave two seconds of quiet between one line and the next.
After a slip say “again”, and read the whole line anew: the last time counts.
Where a line has a time, nothing in the class grows longer if it is read
within that.

SIT

   1  Sit near the front of the chair, both feet flat on the floor.

   7  Let your hands lie on your thighs.
      (at most 4.5 s)
"""
    )


def test_a_page_has_the_same_and_escapes_what_is_said() -> None:
    line = as_lines(["Fish & <chips>, sukhāsana."])[0]
    page = script_page(ReadingScript("A < B", ((3, line),)))
    assert "<h1><bdi>A &lt; B: 1 line to read</bdi></h1>" in page
    assert '<span class="number">3</span><bdi>Fish &amp; &lt;chips&gt;, sukhāsana.</bdi>' in page
    assert '<span class="room">at most 4.5 s</span>' in page


@pytest.mark.real
def test_a_pdf_is_the_same_bytes_each_time_and_small() -> None:
    pdf = script_pdf(SCRIPT)
    assert pdf.startswith(b"%PDF-")
    assert pdf == script_pdf(SCRIPT)
    assert len(pdf) < 30_000


@pytest.mark.real
def test_other_programs_read_all_lines_of_a_pdf_in_order(tmp_path: Path) -> None:
    """Checked with pdftotext, which puts words in the order in which they were written."""
    texts = [
        *LINES,
        "Easy seat, sukhāsana.",
        "Śavāsana, ṛ, ṣ, ṇ, ṭ, ñ, ḥ, ṃ.",
        *(f"Line {number}." for number in range(60)),
    ]
    path = tmp_path / "script.pdf"
    write_script(path, "Break", as_lines(texts), {}, Replace.OWN)
    command = ["pdftotext", "-raw", str(path), "-"]
    read = " ".join(subprocess.run(command, check=True, capture_output=True, encoding="utf-8").stdout.split())
    places = [read.index(f" {number} {text} at most 4.5 s") for number, text in enumerate(texts, 1)]
    assert places == sorted(places)


def test_without_what_writes_pdf_it_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "fpdf", None)
    with pytest.raises(MachineTrouble, match=r"to write PDF, fpdf2 is needed \(python -m pip install .*\[pdf\]"):
        script_pdf(SCRIPT)


@pytest.mark.parametrize("ending", [".txt", ".html", pytest.param(".pdf", marks=pytest.mark.real)])
def test_a_script_is_known_as_the_programs_own_until_it_is_changed(ending: str, tmp_path: Path) -> None:
    path, whose = tmp_path / f"script{ending}", script_kinds()[ending].whose
    for _ in range(2):
        write_script(path, "Break", as_lines(LINES), {}, Replace.OWN)
    assert whose(path) == ""
    raw = path.read_bytes()
    path.write_bytes(raw.replace(b"e", b"a", 1))
    assert whose(path) == CHANGED
    with pytest.raises(UnusableChoice, match="somebody has changed it"):
        write_script(path, "Break", as_lines(LINES), {}, Replace.OWN)
    path.write_bytes(b"mine")
    assert whose(path) == MADE_ELSEWHERE


def test_only_lines_without_a_take_are_asked_for_where_takes_are_told(tmp_path: Path) -> None:
    import numpy as np

    takes = Takes.in_folder(tmp_path)
    takes.keep(LINES[0], np.full(4800, 0.1, np.float32), 48_000)
    path = tmp_path / "script.txt"
    write_script(path, "Break", as_lines(LINES[:2]), {}, Replace.OWN, takes)
    text = path.read_text(encoding="utf-8")
    assert "Break: 1 line to read" in text
    assert "   2  Let your hands" in text
    with pytest.raises(UnusableChoice, match="every line of Break has a take"):
        write_script(path, "Break", as_lines(LINES[:1]), {}, Replace.OWN, takes)


def test_a_script_of_another_kind_is_refused(tmp_path: Path) -> None:
    with pytest.raises(UnusableChoice, match=r"no file of ours ends in .docx \(use one of .html, .txt, .pdf\)"):
        write_script(tmp_path / "script.docx", "Break", as_lines(LINES), {}, Replace.OWN)
