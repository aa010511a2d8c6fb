"""A sequence file beside all that is read from it, and a broken file beside its whole message."""

from pathlib import Path

import pytest
from class_outline import outline
from rows import each_row

from guide.problem import FaultyFile
from guide.sequence.reader import look, read_text
from guide.sequence.shipped_folder import shipped_folder

HERE = Path(__file__).parent
VALID = sorted((HERE / "valid").glob("*.yaml"))
INVALID = sorted((HERE / "invalid").glob("*.yaml"))
SHIPPED = sorted(shipped_folder().rglob("*.yaml"))


def name(path: Path) -> str:
    return path.stem


@each_row("path", VALID)
def test_a_valid_file_is_read_whole(path: Path) -> None:
    made = look(path.read_bytes(), path.name, path.parent)
    assert made.problems == ()
    told = outline(made.class_file) if made.class_file else "a block file\n"
    assert told == path.with_suffix(".txt").read_text("utf-8")


@each_row("path", INVALID)
def test_a_broken_file_is_told_about_whole(path: Path) -> None:
    made = look(path.read_bytes(), path.name, path.parent)
    told = "".join(f"{problem.shown()}\n" for problem in made.problems)
    assert told == path.with_suffix(".txt").read_text("utf-8")


@each_row("path", [p for p in INVALID if p.stem != "block-file-itself"])
def test_a_broken_file_is_not_read(path: Path) -> None:
    with pytest.raises(FaultyFile) as caught:
        read_text(path.read_bytes(), path.name, path.parent)
    assert list(caught.value.problems) == sorted(caught.value.problems)
    assert f"{caught.value}\n" == path.with_suffix(".txt").read_text("utf-8")


def test_there_are_enough_broken_files() -> None:
    assert len(INVALID) >= 60


@each_row("path", SHIPPED)
def test_every_shipped_file_can_be_used_as_it_is(path: Path) -> None:
    assert look(path.read_bytes(), path.name, path.parent).problems == ()


def test_a_block_that_the_file_lacks_is_found_among_the_shipped_ones() -> None:
    read = read_text("title: T\nclass:\n  - block: sun salutation A\n", "t.yaml", HERE)
    assert read.blocks["sun salutation A"].place.file == "blocks/salutations.yaml"
