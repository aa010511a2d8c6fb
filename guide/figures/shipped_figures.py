"""The figures that come with the program, read from one file that is solved beforehand."""

import json
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

from guide.figures.description import Description
from guide.figures.figure import Figure
from guide.figures.skeleton import JOINTS, ROOT
from guide.problem import MachineTrouble

#: Made by `python -m guide.sequence.poses.figures_source`.
SOLVED = Path(__file__).resolve().parent / "figures.json"

#: The order in which a body's numbers stand there.
_NUMBERS = (*JOINTS, *ROOT, "wall")


@cache
def shipped_figures() -> Mapping[str, Figure]:
    """The figures by the names of their poses.

    Raises:
        MachineTrouble: the installation lacks them, or they cannot be read.
    """
    try:
        return read(SOLVED.read_text(encoding="utf-8"))
    except (OSError, ValueError, TypeError, KeyError, AttributeError) as error:
        what = "the figures of this installation cannot be read (install the program again)"
        raise MachineTrouble(f"{what}: {error}") from error


def read(text: str) -> Mapping[str, Figure]:
    """The figures that `written` wrote."""
    return {name: _figure(values) for name, values in json.loads(text).items()}


def written(figures: Mapping[str, Figure]) -> str:
    """Figures as `read` takes them, a line each."""
    return "{\n" + ",\n".join(f"{json.dumps(name)}: {_line(figures[name])}" for name in sorted(figures)) + "\n}\n"


def rounded(figure: Figure) -> Figure:
    """A figure with its numbers as they are written: hundredths of a degree, and of a millimetre of a tall body."""
    angles = {name: round(value, 5 if name in ROOT else 2) + 0.0 for name, value in figure.angles.items()}
    return Figure(figure.description, angles, round(figure.wall, 5))


def _line(figure: Figure) -> str:
    said = figure.description
    fields = {
        "start": said.start,
        "see": said.see,
        "wide": said.wide,
        "lines": dict(said.lines),
        "numbers": [figure.wall if name == "wall" else figure.angles[name] for name in _NUMBERS],
    }
    return json.dumps(fields, ensure_ascii=False)


def _figure(values: dict[str, Any]) -> Figure:
    numbers = dict(zip(_NUMBERS, values["numbers"], strict=True))
    said = Description(tuple(values["lines"].items()), values["start"], values["see"], "", tuple(values["wide"]))
    return Figure(said, numbers, numbers.pop("wall"))
