"""From a sequence file to the class as written, with every problem of the file and of the block files it uses."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from guide.problem import FaultyFile, Problem
from guide.sequence import source
from guide.sequence.block_calls import Shelf, resolve
from guide.sequence.block_files import FILE_KEYS, BlockFile, block_file_parts, named_files, read_blocks, shipped_blocks
from guide.sequence.compose import compose
from guide.sequence.entries import entries
from guide.sequence.entry_parts import IN_CLASS
from guide.sequence.fields import Field, FileReading, known_fields
from guide.sequence.length_text import clipped
from guide.sequence.model import Block, ClassFile, Entry
from guide.sequence.nodes import Table, Text
from guide.sequence.other_words import AT_THE_TOP
from guide.sequence.poses.library import Library
from guide.sequence.poses.names import folded
from guide.sequence.poses.pose import Pose
from guide.sequence.poses.pose_reader import read_poses
from guide.sequence.poses.shipped_library import shipped
from guide.sequence.settings import BLOCK_FILE_KEYS, CLASS_KEYS, settings


@dataclass(frozen=True, slots=True)
class Read:
    """What reading a file gave: the class (None when it is too broken to be one), and every problem found."""

    class_file: ClassFile | None
    problems: tuple[Problem, ...]


def read_text(text: str | bytes, name: str, folder: Path) -> ClassFile:
    """The class in a text; `name` stands for the file in messages, and other files are looked for in `folder`.

    Raises:
        FaultyFile: with every problem, sorted by place.
    """
    made = look(text, name, folder)
    if made.problems or made.class_file is None:
        raise FaultyFile(made.problems)
    return made.class_file


def look(text: str | bytes, name: str, folder: Path) -> Read:
    """What a text says, and every problem in it. A block file gives problems too, and no class."""
    checked, wrong = source.check(text, name)
    reading = FileReading(checked, FILE_KEYS, [], folder)
    class_file = None
    try:
        for problem in wrong:
            reading.note(problem)
        class_file = _class(reading, folder) if checked.lines else None
    except FaultyFile as error:
        return Read(None, error.problems)
    return Read(class_file, tuple(sorted(dict.fromkeys(reading.problems))))


def _class(reading: FileReading, folder: Path) -> ClassFile | None:
    tree, broken = compose(reading.source, reading.keys)
    for problem in broken:
        reading.note(problem)
    if isinstance(tree, Table) and tree.pairs:
        names = {key.value for key, _ in tree.pairs}
        if "class" not in names and names & {"blocks", "poses"} and not names - set(BLOCK_FILE_KEYS):
            _check_block_file(reading, tree)
            return None
        return _sequence(reading, tree, folder)
    if not broken:
        empty = tree is None or (isinstance(tree, Text) and tree.null)
        what = "there is nothing in this file" if empty else "this is not a sequence file"
        fix = "`guide new` writes one to begin with; it needs `title: …` and `class:`"
        reading.note(reading.source.problem(1, 1, what, fix))
    return None


def _sequence(reading: FileReading, tree: Table, folder: Path) -> ClassFile | None:
    found = known_fields(reading, tree, CLASS_KEYS, "a class", AT_THE_TOP)
    for name, example in (("title", "`title: Morning class`"), ("class", "`class:` and the steps below it")):
        if name not in found:
            reading.note(reading.source.problem(tree.line, tree.column, f"a class needs `{name}`", f"add {example}"))
    place = reading.source.place(tree.line, tree.column)
    made = settings(reading, found, place, folder)
    steps = entries(reading, found["class"], IN_CLASS) if "class" in found else ()
    own = read_blocks(reading, found["blocks"]) if "blocks" in found else {}
    files = named_files(reading, found["blocks from"], folder) if "blocks from" in found else []
    poses = _poses(reading, found, files)
    names = tuple(file.source.name for file in files if file.source.name)
    blocks = _resolve(reading, steps, own, files, shipped().with_own(poses))
    return replace(made, entries=steps, blocks=blocks, poses=poses, block_files=names)


def _poses(reading: FileReading, found: Mapping[str, Field], files: list[BlockFile]) -> Mapping[str, Pose]:
    """The poses that the class's block files and the class itself add or change; what the class says goes first."""
    brought: dict[str, Pose] = {}
    for file in reversed(files):
        brought.update(file.poses)
    own = read_poses(reading, found["poses"], shipped().with_own(brought)) if "poses" in found else {}
    taken = {folded(name) for name in own}
    _check_twin_poses(reading, taken, found, files)
    return {**{name: pose for name, pose in brought.items() if folded(name) not in taken}, **own}


def _check_twin_poses(
    reading: FileReading, taken: set[str], found: Mapping[str, Field], files: list[BlockFile]
) -> None:
    """A pose of which two block files say different things is a problem unless the class says something of it."""
    first: dict[str, tuple[str, Pose]] = {}
    for file in files:
        for name, pose in file.poses.items():
            key = folded(name)
            other, same = first.setdefault(key, (file.source.name, pose))
            if pose != same and key not in taken:
                what = f"`{clipped(name)}` is one pose in {other} and another in {file.source.name}"
                reading.fault(found["blocks from"].key, what, "keep one of them, or give it under `poses` here")


def _check_block_file(reading: FileReading, tree: Table) -> None:
    blocks, poses = block_file_parts(reading, tree)
    _resolve(reading, (), blocks, [], shipped().with_own(poses))


def _resolve(
    reading: FileReading, steps: tuple[Entry, ...], own: Mapping[str, Block], files: list[BlockFile], library: Library
) -> Mapping[str, Block]:
    """The blocks of a class and those it brings in; every problem of the files, and of how blocks are called."""
    at_hand = dict(own)
    sources = {reading.source.name: reading.source}
    for file in files:
        sources[file.source.name] = file.source
        for problem in file.problems:
            reading.note(problem)
        at_hand = {**file.blocks, **at_hand}
    _check_twins(reading, own, files)
    shelf = Shelf(at_hand, shipped_blocks, library, all(file.whole for file in files))
    resolved = resolve(steps, own, shelf, sources)
    for problem in resolved.problems:
        reading.note(problem)
    return resolved.blocks


def _check_twins(reading: FileReading, own: Mapping[str, Block], files: list[BlockFile]) -> None:
    """A block that two block files define is a problem unless the class has its own: nothing says which is meant."""
    first: dict[str, Block] = {}
    for file in files:
        for name, block in file.blocks.items():
            other = first.setdefault(name, block)
            if other is not block and name not in own:
                place = block.place
                what = f"the block `{clipped(name)}` is also defined at {other.place}"
                reading.note(file.source.problem(place.line, place.column, what, "rename one of them"))
