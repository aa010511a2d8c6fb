"""The shipped block files are read from trees made beforehand, which are those that YAML makes of them."""

from pathlib import Path

import pytest

from guide.sequence import block_trees, block_trees_source, source
from guide.sequence.block_files import FILE_KEYS, read_block_file, shipped_blocks
from guide.sequence.compose import compose
from guide.sequence.shipped_folder import shipped_folder

SHIPPED = sorted((shipped_folder() / "blocks").glob("*.yaml"))


def test_the_trees_are_those_of_the_files_as_they_are() -> None:
    made = block_trees_source.prebuilt()
    assert block_trees.PREBUILT.read_text("utf-8") == made, "python -m guide.sequence.block_trees_source"


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_a_shipped_file_has_the_tree_that_yaml_makes_of_it(path: Path) -> None:
    text, _ = source.check(source.from_file(path), path.name)
    assert (block_trees.tree_of(text), []) == compose(text, FILE_KEYS)


def test_a_file_that_somebody_changed_is_read_as_it_is_now() -> None:
    raw = SHIPPED[0].read_bytes() + b"\n  mine:\n    - inhale: Up.\n"
    assert "mine" in read_block_file(raw, "mine.yaml").blocks


def test_without_the_trees_the_files_are_read_all_the_same(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    blocks = shipped_blocks()
    monkeypatch.setattr(block_trees, "PREBUILT", tmp_path / "none.json")
    block_trees._prebuilt.cache_clear()
    for path in SHIPPED:
        found = read_block_file(path.read_bytes(), f"blocks/{path.name}").blocks
        assert found and found.items() <= blocks.items()
    block_trees._prebuilt.cache_clear()
