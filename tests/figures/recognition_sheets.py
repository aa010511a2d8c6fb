"""All figures without their names, for somebody who is to say what each is:

    python tests/figures/recognition_sheets.py FOLDER SEED

writes them shuffled on sheets, with numbers; `choices.txt` has eight names for each to choose among, four of them on
the same base where it has so many others, and `names.txt` which is which. (With their names: `guide poses --sheet`.)
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
from guide.sequence.poses.shipped_library import shipped

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


def choices(name: str, chance: random.Random) -> list[str]:
    """Eight names in any order: the right one, and others whose figures are not the same."""
    figures, base_of = shipped_figures(), {pose.name: pose.base for pose in shipped()}
    others = [other for other in sorted(figures) if figures[other] != figures[name]]
    alike = [other for other in others if base_of[other] is base_of[name]]
    near = chance.sample(alike, min(4, len(alike)))
    chosen = [name, *near, *chance.sample([other for other in others if other not in alike], 7 - len(near))]
    return chance.sample(chosen, len(chosen))


def main(folder: Path, seed: str) -> None:
    """Write the sheets as PNG, and both lists."""
    chance = random.Random(seed)
    names = sorted(shipped_figures())
    chance.shuffle(names)
    labels = [str(number + 1) for number in range(len(names))]
    folder.mkdir(parents=True, exist_ok=True)
    told = {"names.txt": names, "choices.txt": ["; ".join(choices(name, chance)) for name in names]}
    for file_name, lines in told.items():
        text = "".join(f"{label} {line}\n" for label, line in zip(labels, lines, strict=True))
        (folder / file_name).write_text(text, "utf-8")
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
    main(Path(sys.argv[1]), sys.argv[2])
