"""What a step is called where a class is written down: by its place in the file, so that the name outlives its number.

A later plan of the same file may have other steps, such as halves of a breath that are given.
"""

from collections import Counter
from collections.abc import Sequence
from pathlib import PurePath

from guide.plan.timeline import Span


def step_names(spans: Sequence[Span]) -> tuple[str, ...]:
    """The name of each step: its file, line and column, what it is, its side, and which time it comes, counted from 1.

    `trees.yaml:11:9 move inhale right 2` is the second time that the move there comes on the right.
    """
    seen: Counter[str] = Counter()
    names = []
    for span in spans:
        name = _named(span)
        seen[name] += 1
        names.append(f"{name} {seen[name]}")
    return tuple(names)


def _named(span: Span) -> str:
    parts = (span.kind, span.breath, span.side)
    place = f"{PurePath(span.place.file).name}:{span.place.line}:{span.place.column}"
    return " ".join((place, *(part.value for part in parts if part is not None)))
