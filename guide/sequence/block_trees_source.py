"""The shipped block files as trees: `python -m guide.sequence.block_trees_source`, when one of them has changed."""

import json
from collections.abc import Mapping
from dataclasses import astuple
from typing import Any

from guide.sequence import source
from guide.sequence.block_files import FILE_KEYS
from guide.sequence.block_trees import PREBUILT
from guide.sequence.compose import compose
from guide.sequence.nodes import Items, Node, Table, Text
from guide.sequence.shipped_folder import shipped_folder


def as_json(trees: Mapping[str, Node]) -> str:
    """Trees by the texts of their files as `block_trees` reads them, a line each."""
    lines = (f"{_json(text)}: {_json(_as_kept(tree))}" for text, tree in trees.items())
    return "{\n" + ",\n".join(lines) + "\n}\n"


def _json(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False)


def _as_kept(node: Node) -> Any:
    match node:
        case Text():
            return astuple(node)
        case Items():
            return {"items": [_as_kept(each) for each in node.nodes], "at": [node.line, node.column]}
        case Table():
            pairs = [(_as_kept(key), _as_kept(value)) for key, value in node.pairs]
            return {"pairs": pairs, "at": [node.line, node.column]}
    raise ValueError(f"a shipped block file has a fault in line {node.line}")


def prebuilt() -> str:
    """What the file that is shipped is to hold."""
    trees: dict[str, Node] = {}
    for path in sorted((shipped_folder() / "blocks").glob("*.yaml")):
        text, _ = source.check(source.from_file(path), path.name)
        tree, broken = compose(text, FILE_KEYS)
        if tree is not None and not broken:
            trees["\n".join(text.clean)] = tree
    return as_json(trees)


if __name__ == "__main__":
    PREBUILT.write_text(prebuilt(), encoding="utf-8")
