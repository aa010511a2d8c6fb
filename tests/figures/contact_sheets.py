"""All figures on contact sheets, to be looked at: `python tests/figures/contact_sheets.py FOLDER [SEED]`.

With names under them, in order; with a seed shuffled, with numbers alone, and which is which in `names.txt`, so that
somebody who was not told may say what each is.
"""

import random
import sys
from collections.abc import Sequence
from importlib.resources import files
from pathlib import Path

import resvg_py

from guide.figures.drawing import draw
from guide.figures.shipped_figures import shipped_figures
from guide.figures.svg import Paper, svg

COLUMNS, ROWS = 6, 5
CELL, LETTERS = 300, 34
WIDTH_PX = COLUMNS * 260


def sheet(names: Sequence[str], labels: Sequence[str]) -> str:
    """A sheet as SVG: each figure as large as the others, its feet on one line."""
    cells = []
    for number, (name, label) in enumerate(zip(names, labels, strict=True)):
        x, y = number % COLUMNS * CELL, number // COLUMNS * (CELL + LETTERS)
        inner = svg(draw(shipped_figures()[name]), Paper.LIGHT, label)
        place = f'x="{x + 10}" y="{y}" width="{CELL - 20}" height="{CELL - 10}" preserveAspectRatio="xMidYMax meet"'
        cells.append(inner.replace("<svg ", f"<svg {place} ", 1))
        at = f'x="{x + CELL / 2}" y="{y + CELL + 14}" font-size="21" text-anchor="middle" font-family="DejaVu Sans"'
        cells.append(f"<text {at}>{label}</text>")
    size = f"{COLUMNS * CELL} {ROWS * (CELL + LETTERS)}"
    return f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {size}">{"".join(cells)}</svg>'


def main(folder: Path, seed: str) -> None:
    """Write the sheets as PNG."""
    names = sorted(shipped_figures())
    labels = names
    folder.mkdir(parents=True, exist_ok=True)
    if seed:
        random.Random(seed).shuffle(names)
        labels = [str(number + 1) for number in range(len(names))]
        (folder / "names.txt").write_text("".join(f"{a} {b}\n" for a, b in zip(labels, names, strict=True)), "utf-8")
    for first in range(0, len(names), COLUMNS * ROWS):
        part = slice(first, first + COLUMNS * ROWS)
        picture = resvg_py.svg_to_bytes(
            svg_string=sheet(names[part], labels[part]),
            width=WIDTH_PX,
            background="#ffffff",
            skip_system_fonts=True,
            font_files=[str(files("guide.drawing") / "fonts" / "DejaVuSans.ttf")],
        )
        (folder / f"sheet-{first // (COLUMNS * ROWS) + 1}.png").write_bytes(bytes(picture))


if __name__ == "__main__":
    main(Path(sys.argv[1]), "".join(sys.argv[2:3]))
