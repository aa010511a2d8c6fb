"""Classes around the words of the lists in `sides/`: each item becomes a small class as a teacher would write it."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from class_texts import expand
from ruamel.yaml import YAML

from guide.plan.advice.estimated_plan import estimated_view
from guide.plan.advice.view import Advice, ClassView
from guide.plan.advice.wrong_side import advise
from guide.sequence.expand import library_of
from guide.sequence.reader import look

SIDES = Path(__file__).parent / "sides"

Item = dict[str, Any]


def items(name: str) -> list[Item]:
    """The items of one list."""
    with (SIDES / name).open(encoding="utf-8") as file:
        return list(YAML(typ="safe").load(file))


def convention() -> dict[str, list[str]]:
    """The poses by what `<side>` means in them."""
    with (SIDES / "convention.yaml").open(encoding="utf-8") as file:
        return dict(YAML(typ="safe").load(file))


def view_of(text: str) -> ClassView:
    """A class file as the rules see it."""
    made = look(text.encode(), "class.yaml", SIDES)
    assert not made.problems, [str(problem) for problem in made.problems]
    assert made.class_file is not None
    return estimated_view(made.class_file, expand(made.class_file), library_of(made.class_file), 0.75)


def advice_on(text: str) -> list[Advice]:
    return list(advise(view_of(text)))


def classes(item: Item) -> Iterator[str]:
    """The ways in which a class file may hold an item."""
    if "both" in item:
        yield _in_both_sides(item, "", [(item["both"], "")])
    elif "other" in item:
        cues = [(item["words"], "first side"), (item["other"], "second side")]
        yield _in_both_sides(item, "", cues)
        yield (
            _head()
            + _step(item, "  ", item["side"], [(item["words"], "")])
            + _step(item, "  ", _other(item["side"]), [(item["other"], "")])
        )
    else:
        side = None if item["side"] == "none" else item["side"]
        yield _head() + _before(item, "  ") + _step(item, "  ", side, [(item["words"], "")] if "words" in item else [])


def _head() -> str:
    return "title: A class\nclass:\n"


def _other(side: str) -> str:
    return "left" if side == "right" else "right"


def _in_both_sides(item: Item, start: str, cues: list[tuple[str, str]]) -> str:
    within = _before(item, "      ") + _step(item, "      ", None, cues)
    return f"{_head()}  - both sides:\n{within}    first: {item['side']}\n"


def _before(item: Item, indent: str) -> str:
    return f"{indent}- say: {json.dumps(item['before'])}\n" if "before" in item else ""


def _step(item: Item, indent: str, side: str | None, cues: list[tuple[str, str]]) -> str:
    kind = item.get("step", "pose")
    if kind == "move":
        pose = f"{indent}  pose: {json.dumps(item['pose'])}\n" if "pose" in item else ""
        return f"{indent}- inhale: {json.dumps(cues[0][0])}\n{pose}"
    if kind == "talk":
        return f"{indent}- say: {json.dumps(cues[0][0])}\n"
    head = {
        "pose": f"- pose: {json.dumps(item.get('pose'))}",
        "rest": "- rest: 8 breaths",
        "breathing": "- breathing: 5-5",
    }
    lines = [head[kind]]
    if kind == "rest":
        lines.append(f"  pose: {json.dumps(item['pose'])}")
    if kind == "breathing":
        lines.append("  lasts: 8 breaths")
    if "name" in item:
        lines.append(f"  name: {json.dumps(item['name'])}")
    if side is not None:
        lines.append(f"  side: {side}")
    if cues:
        lines.append("  enter:")
        for text, on in cues:
            lines.append(f"    - how: {json.dumps(text)}")
            if on:
                lines.append(f"      on: {on}")
    else:
        lines.append("  say: none")
    return "".join(f"{indent}{line}\n" for line in lines)
