"""The pose library as text: one pose in full, poses as a list, and poses with the cautions that they have.

Lines never end in spaces and never pass the width. There is no colour inside.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from guide.drawing.text_width import cut, left, width, wrapped
from guide.sequence.poses.pose import Base, Condition, Pose, Way
from guide.sequence.steps import InBreaths

LEAST_COLUMNS = 60
GAP = "  "

HEADINGS = ("  name", "Sanskrit", "does", "breaths")
SANSKRIT, DOES = 1, 2


@dataclass(frozen=True, slots=True)
class _Part:
    """A line of a page: what it tells, and the texts that do, each on lines of its own."""

    label: str
    texts: tuple[str, ...]


def pose_page(pose: Pose, columns: int) -> str:
    """One pose with all that the library knows of it."""
    columns = max(columns, LEAST_COLUMNS)
    facts = [part for part in _facts(pose) if part.texts]
    words = [part for part in _words(pose) if part.texts]
    cautions = [_Part(condition.value, (said,)) for condition, said in pose.cautions.items()]
    size = max(width(part.label) for part in (*facts, *words, *cautions))
    blocks = [[_title(pose)], _laid(facts, size, columns), _laid(words, size, columns)]
    if cautions:
        blocks.append(["With care for", *_laid(cautions, size, columns)])
    return "".join(f"{line}\n" for line in _joined(blocks))


def _title(pose: Pose) -> str:
    name = _capital(pose.name)
    return f"{name} ({pose.sanskrit})" if pose.sanskrit else name


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _facts(pose: Pose) -> Iterator[_Part]:
    yield _Part("also", _listed(pose.also))
    yield _Part("base", (pose.base.value,))
    yield _Part("sides", ("right and left",) if pose.sides else ("none",))
    yield _Part("does", _listed(each.value for each in pose.does))
    yield _Part("strength", (pose.strength.value,))
    yield _Part("hold", (hold_text(pose.hold),))
    loads = (("on the wrists", pose.on_wrists), ("the head below the heart", pose.head_low))
    yield _Part("load", _listed(load for load, there in loads if there))
    yield _Part("after", _listed(pose.after))
    yield _Part("rest in", _listed(pose.rests))
    yield _Part("props", _listed(pose.props))


def _words(pose: Pose) -> Iterator[_Part]:
    yield _Part("enter", pose.enter)
    yield _Part("say", pose.say)
    yield _Part("leave", pose.leave)
    yield _Part("easier", _way(pose.easier))
    yield _Part("stronger", _way(pose.stronger))


def _listed(names: Iterable[str]) -> tuple[str, ...]:
    text = ", ".join(names)
    return (text,) if text else ()


def _way(way: Way | None) -> tuple[str, ...]:
    if way is None:
        return ()
    return (f"{way.say} ({way.pose})",) if way.pose else (way.say,)


def hold_text(hold: InBreaths) -> str:
    """A usual hold in words: `5 breaths (3 to 8)`."""
    usual = "1 breath" if hold.usual == 1 else f"{hold.usual} breaths"
    return usual if hold.least == hold.most else f"{usual} ({hold.least} to {hold.most})"


def _laid(parts: Iterable[_Part], size: int, columns: int) -> list[str]:
    """Each part with its label in front of its first line and the rest under it."""
    lines = []
    for part in parts:
        label = part.label
        for line in (line for text in part.texts for line in wrapped(text, columns - size - 2 * len(GAP))):
            lines.append(f"{GAP}{left(label, size)}{GAP}{line}".rstrip())
            label = ""
    return lines


def _joined(blocks: Iterable[list[str]]) -> Iterator[str]:
    """The lines of the blocks, with an empty line between them."""
    for place, block in enumerate(block for block in blocks if block):
        if place:
            yield ""
        yield from block


def poses_table(poses: Sequence[Pose], columns: int) -> str:
    """The poses of each base together, a line for each: name, Sanskrit, what it does, and the breaths it is held."""
    rows = [_row(pose) for pose in poses]
    sizes = _sizes([HEADINGS, *rows], max(columns, LEAST_COLUMNS))
    lines = [_line(HEADINGS, sizes)]
    for base in Base:
        found = [_line(row, sizes) for pose, row in zip(poses, rows, strict=True) if pose.base is base]
        lines += ["", _capital(base.value), *found] if found else []
    return "".join(f"{line}\n" for line in lines)


def _row(pose: Pose) -> tuple[str, ...]:
    hold = pose.hold
    breaths = f"{hold.usual}" if hold.least == hold.most else f"{hold.least}–{hold.most}"
    return f"{GAP}{pose.name}", pose.sanskrit, ", ".join(each.value for each in pose.does), breaths


def _sizes(rows: Sequence[tuple[str, ...]], columns: int) -> list[int]:
    """The width of each column: as wide as its texts; where they do not fit, the Sanskrit and what it does give way."""
    sizes = [max(map(width, cells)) for cells in zip(*rows, strict=True)]
    room = columns - len(GAP) * (len(sizes) - 1)
    while sum(sizes) > room:
        narrowed = SANSKRIT if sizes[SANSKRIT] >= sizes[DOES] else DOES
        sizes[narrowed] -= 1
    return sizes


def _line(row: Iterable[str], sizes: Iterable[int]) -> str:
    return GAP.join(left(cut(cell, size), size) for cell, size in zip(row, sizes, strict=True)).rstrip()


def cautions_table(poses: Iterable[Pose], conditions: Sequence[Condition], columns: int) -> str:
    """The poses with what each says of the conditions, and the easier way of those that have one."""
    columns = max(columns, LEAST_COLUMNS)
    size = max(len("easier"), *(len(each.value) for each in conditions))
    blocks = []
    for pose in poses:
        parts = [_Part(each.value, (pose.cautions[each],)) for each in conditions if each in pose.cautions]
        parts.append(_Part("easier", _way(pose.easier)))
        blocks.append([_title(pose), *_laid(parts, size, columns)])
    return "".join(f"{line}\n" for line in _joined(blocks))
