"""The trees of the block files that come with the program, made beforehand: of reading a class, YAML takes longest."""

import json
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

from guide.sequence.nodes import Items, Node, Table, Text
from guide.sequence.source import Source

#: Made by `python -m guide.sequence.block_trees_source`.
PREBUILT = Path(__file__).resolve().parent / "block_trees.json"


def tree_of(source: Source) -> Node | None:
    """The tree that YAML would make of a shipped block file, as long as nobody changed it; None for any other file."""
    kept = _prebuilt().get("\n".join(source.clean))
    return None if kept is None else _node(kept)


@cache
def _prebuilt() -> Mapping[str, Any]:
    """The trees by the texts of their files."""
    try:
        kept: dict[str, Any] = json.loads(PREBUILT.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        # Without them the files are read as any other.
        return {}
    return kept


def _node(kept: Any) -> Node:
    if isinstance(kept, list):
        return Text(*kept)
    if "items" in kept:
        return Items(tuple(map(_node, kept["items"])), *kept["at"])
    return Table(tuple((Text(*key), _node(value)) for key, value in kept["pairs"]), *kept["at"])
