"""Pages and pictures of comparisons, opened in a real browser: nothing overlaps, is cut off or is hard to read.

A script of the test's own, put at the end of a copy of the page, measures what the browser laid out.
"""

import json
import re
import subprocess
import sys
from collections.abc import Iterator
from html import escape, unescape
from pathlib import Path
from typing import Any

import pytest
from hall import PATIENCE_S, need

sys.path.append(str(Path(__file__).parents[1] / "review"))
from page_samples import SAMPLES  # the helpers of another folder
from test_page_picture import contrast

from guide.export.comparison_page.html_page import html_page
from guide.review.report_phrases import title_of

pytestmark = pytest.mark.real

#: Widths and heights of what shows the page, and whether whoever looks prefers dark (0) or light (1).
SIZES = {"phone": (360, 800, 1), "laptop": (1280, 800, 0)}

MEASURE = """
const rect = r => [r.left, r.top, r.right, r.bottom]
const box = one => rect(one.getBoundingClientRect())
const hex = colour => '#' + colour.match(/[\\d.]+/g).slice(0, 3).map(n => (+n).toString(16).padStart(2, '0')).join('')
const paper = one => {
  for (; one; one = one.parentElement) {
    const colour = getComputedStyle(one).backgroundColor
    if (!/, 0\\)$/.test(colour)) return hex(colour)
  }
  return '#ffffff'
}
const isHidden = one => one.closest('thead') && getComputedStyle(one.closest('thead')).clipPath !== 'none'
const words = []
const walker = document.createTreeWalker(document.querySelector('main'), NodeFilter.SHOW_TEXT)
while (walker.nextNode()) {
  const node = walker.currentNode, one = node.parentElement
  if (!node.data.trim() || one.closest('svg') || one.closest('caption') || isHidden(one)) continue
  const range = document.createRange()
  range.selectNodeContents(node)
  const style = getComputedStyle(one)
  for (const line of range.getClientRects())
    words.push({words: node.data.trim(), colour: hex(style.color), paper: paper(one), size: parseFloat(style.fontSize),
      scrolls: !!one.closest('.picture'), box: rect(line)})
}
const drawn = [...document.querySelectorAll('svg')].map(svg => ({box: box(svg),
  texts: [...svg.querySelectorAll('text')].map(one => ({words: one.textContent, box: box(one),
    upright: one.hasAttribute('transform')})),
  blocks: [...svg.querySelectorAll('g[data-step] > rect:first-of-type')].map(box)}))
const told = document.createElement('pre')
told.id = 'measured'
told.textContent = JSON.stringify({words, drawn, wide: innerWidth, scrolled: document.documentElement.scrollWidth,
  fetched: performance.getEntriesByType('resource').length, dark: matchMedia('(prefers-color-scheme: dark)').matches})
top.document.body.append(told)
"""


def browser(folder: Path, *options: str) -> str:
    """What headless Chromium prints; its profile lies in `folder`."""
    need("chromium", mend="sudo apt install chromium")
    quiet = ["--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", f"--user-data-dir={folder / 'profile'}"]
    command = ["chromium", *quiet, *options]
    done = subprocess.run(command, capture_output=True, text=True, timeout=PATIENCE_S, check=False)
    assert done.returncode == 0, done.stderr[-2000:]
    return done.stdout


def measured(name: str, size: str, folder: Path) -> dict[str, Any]:
    """What the browser laid out of the page of a sample."""
    wide, high, scheme = SIZES[size]
    file = folder / f"{name}.html"
    shown = html_page(SAMPLES[name](), "25 November 2026").replace("</body>", f"<script>{MEASURE}</script></body>")
    # A window is never as narrow as a phone, so that the page stands in a frame.
    frame = f'<iframe style="border: 0" width="{wide}" height="{high}" srcdoc="{escape(shown)}"></iframe>'
    file.write_text(f"<!DOCTYPE html><meta name=color-scheme content='light dark'><body>{frame}", encoding="utf-8")
    prefers = f"--blink-settings=preferredColorScheme={scheme}"
    dumped = browser(folder, "--window-size=1400,1000", prefers, "--dump-dom", file.as_uri())
    found = re.search(r'<pre id="measured">(.*?)</pre>', dumped, re.DOTALL)
    assert found is not None
    told: dict[str, Any] = json.loads(unescape(found[1]))
    assert told["dark"] == (scheme == 0)
    return told


def inked(one: dict[str, Any]) -> list[float]:
    """Where the letters of words are: about a fifth of a line, above them, is for marks that few letters have."""
    left, top, right, bottom = one["box"]
    if one.get("upright"):
        return [left + 0.2 * (right - left), top, right, bottom]
    return [left, top + 0.2 * (bottom - top), right, bottom]


def over_each_other(words: list[dict[str, Any]]) -> Iterator[tuple[str, str]]:
    """Words that share more than a pixel at their edges."""
    boxes = sorted(((inked(one), one["words"]) for one in words), key=lambda one: one[0][1])
    for number, (one, said) in enumerate(boxes):
        for other, others in boxes[number + 1 :]:
            if other[1] >= one[3] - 1:
                break
            if one[0] < other[2] - 1 and other[0] < one[2] - 1:
                yield said, others


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", SAMPLES)
def test_nothing_overlaps_is_cut_off_or_hard_to_read(name: str, size: str, tmp_path: Path) -> None:
    """Contrast, source: W3C WCAG 2.2, 1.4.3; small words, 11 px: common practice, no source."""
    seen = measured(name, size, tmp_path)
    assert seen["wide"] == SIZES[size][0]
    assert seen["fetched"] == 0
    assert seen["scrolled"] <= seen["wide"]
    for one in seen["words"]:
        assert contrast(one["colour"], one["paper"]) >= 4.5, one
        assert one["size"] >= 11, one
        assert one["scrolls"] or (one["box"][0] >= 0 and one["box"][2] <= seen["wide"]), one
    assert not list(over_each_other(seen["words"]))
    assert seen["drawn"]
    for drawing in seen["drawn"]:
        left, top, right, bottom = drawing["box"]
        for one in drawing["texts"]:
            box = one["box"]
            assert left <= box[0] and top - 1 <= box[1] and box[2] <= right + 1 and box[3] <= bottom + 1, one
        assert not list(over_each_other(drawing["texts"]))


@pytest.mark.parametrize("name", [name for name in SAMPLES if name != "three-hours"])
def test_the_words_in_a_block_stay_inside_it(name: str, tmp_path: Path) -> None:
    bands = measured(name, "laptop", tmp_path)["drawn"][0]
    tops = {round(block[1]) for block in bands["blocks"]}
    labels = [one for one in bands["texts"] if any(top < one["box"][1] < top + 113 for top in tops)]
    labels = [one for one in labels if one["box"][0] > min(block[0] for block in bands["blocks"]) - 1]
    assert labels
    for one in labels:
        holds = [block for block in bands["blocks"] if _inside(one["box"], block)]
        assert holds or one["words"] in ("nothing is known of the steps", "another class, it seems"), one


def _inside(words: list[float], block: list[float]) -> bool:
    return all(words[at] >= block[at] - 1 and words[at + 2] <= block[at + 2] + 1 for at in (0, 1))


@pytest.mark.parametrize("name", ["rehearsed", "odd-names", "another"])
def test_it_prints_on_pages_of_a4_with_every_step_and_nothing_beyond_the_edge(name: str, tmp_path: Path) -> None:
    """Source: ISO 216, A4 is 210 by 297 mm, 595 by 842 points."""
    need("pdftotext", mend="sudo apt install poppler-utils")
    comparison = SAMPLES[name]()
    file, printed = tmp_path / "page.html", tmp_path / "page.pdf"
    file.write_text(html_page(comparison, "25 November 2026"), encoding="utf-8")
    browser(tmp_path, "--no-pdf-header-footer", f"--print-to-pdf={printed}", file.as_uri())
    boxes = subprocess.run(["pdftotext", "-bbox", printed, "-"], capture_output=True, text=True, check=True).stdout
    sizes = re.findall(r'<page width="([\d.]+)" height="([\d.]+)">', boxes)
    assert sizes
    for wide, high in sizes:
        assert (float(wide), float(high)) == (pytest.approx(595.3, abs=1), pytest.approx(841.9, abs=1))
    edges = re.findall(r'<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">', boxes)
    for left, top, right, bottom in edges:
        assert float(left) >= 30 and float(top) >= 30 and float(right) <= 566 and float(bottom) <= 812
    laid = subprocess.run(["pdftotext", "-layout", printed, "-"], capture_output=True, text=True, check=True).stdout
    if not comparison.is_another:
        for step in comparison.steps:
            if title_of(step).isascii():
                assert title_of(step).split()[0] in laid
        assert laid.count("%") >= sum(step.real_start_ms is not None for step in comparison.steps)
