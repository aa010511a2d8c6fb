"""Makes the README's picture of a track: how loud its words, its bells and its music are from moment to moment.

python tests/readme/music_picture.py
"""

import sys
from collections.abc import Callable
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parents[1]))

from guide.ready.make_ready import ReadyClass, make_ready  # noqa: E402 (of the folder above)
from guide.sound import mixer  # noqa: E402
from guide.units import clock, frames_from_ms  # noqa: E402

CLASS = HERE / "by-the-rain.yaml"
PICTURE = HERE / "pictures" / "music.svg"

#: A level is measured over so much.
STEP_MS = 200

#: The picture, in its own units; levels lie on it from the softest up to 0 dBFS.
WIDE, HIGH, LEFT, TOP, BELOW, A_DB, SOFTEST_DBFS, AXIS_DB, AXIS_MS = 780, 210, 60, 14, 52, 3, -70, 20, 15_000

PAPER, PLAIN, EDGE = "#000000", "#d0d0d0", "#404040"

#: What is drawn, one over the other, each in its colour.
PARTS: dict[str, tuple[str, Callable[[mixer.Mix, int, int], NDArray[np.float32]]]] = {
    "bells": ("#87af87", mixer.bells),
    "music": ("#5fafd7", mixer.music),
    "words": ("#d7af5f", mixer.voice),
}


def levels_dbfs(ready: ReadyClass) -> dict[str, list[int]]:
    """How loud each part is in each step, in whole dB; SOFTEST_DBFS where it is softer."""
    mix = mixer.prepare(ready.timeline, ready.spoken, ready.palette, ready.loudness_lufs, tapes=ready.music)
    count = ready.timeline.length_ms // STEP_MS

    def levels(part: Callable[[mixer.Mix, int, int], NDArray[np.float32]]) -> list[int]:
        steps = part(mix, 0, count * frames_from_ms(STEP_MS)).reshape(count, -1).astype(np.float64)
        found = 10 * np.log10(np.maximum((steps**2).mean(axis=1), 1e-12))
        return [max(SOFTEST_DBFS, round(float(level))) for level in found]

    return {name: levels(part) for name, (_, part) in PARTS.items()}


def drawn(levels: dict[str, list[int]]) -> str:
    """The levels as SVG."""
    steps = max(map(len, levels.values()))
    bottom = TOP - SOFTEST_DBFS * A_DB

    def x(step: float) -> str:
        return f"{LEFT + step * (WIDE - LEFT - 20) / steps:.1f}"

    def y(level: int) -> int:
        return TOP - level * A_DB

    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDE} {TOP + HIGH + BELOW}" width="{WIDE}">',
        f'<rect width="{WIDE}" height="{TOP + HIGH + BELOW}" rx="8" fill="{PAPER}" stroke="{EDGE}"/>',
        f'<g font-family="sans-serif" font-size="13" fill="{PLAIN}">',
    ]
    for level in range(0, SOFTEST_DBFS, -AXIS_DB):
        lines.append(f'<path d="M{LEFT} {y(level)}H{WIDE - 20}" stroke="{EDGE}"/>')
        lines.append(f'<text x="{LEFT - 8}" y="{y(level) + 4}" text-anchor="end">{level} dB</text>')
    lines += (
        f'<text x="{x(ms / STEP_MS)}" y="{bottom + 18}" text-anchor="middle">{clock(ms)}</text>'
        for ms in range(0, steps * STEP_MS, AXIS_MS)
    )
    for place, (name, (colour, _)) in enumerate(PARTS.items()):
        top = " ".join(f"{x(step)} {y(level)}" for step, level in enumerate(levels[name]))
        lines.append(f'<path d="M{x(0)} {bottom}L{top} {x(len(levels[name]) - 1)} {bottom}Z" fill="{colour}"/>')
        lines.append(f'<rect x="{LEFT + 110 * place}" y="{bottom + 30}" width="14" height="14" fill="{colour}"/>')
        lines.append(f'<text x="{LEFT + 110 * place + 20}" y="{bottom + 42}">{name}</text>')
    return "\n".join([*lines, "</g>", "</svg>", ""])


if __name__ == "__main__":
    PICTURE.write_text(drawn(levels_dbfs(make_ready(CLASS))), encoding="utf-8", newline="\n")
