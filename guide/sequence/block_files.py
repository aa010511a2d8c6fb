"""Block files: finding them, reading them, and looking up the blocks that a class calls."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from guide.problem import FaultyFile, MachineTrouble, Problem, UnusableChoice
from guide.sequence import source
from guide.sequence.allowed_paths import NotAllowed, below
from guide.sequence.block_trees import tree_of
from guide.sequence.compose import compose
from guide.sequence.cues import CUE_KEYS
from guide.sequence.entries import ENTRY_KEYS, entries
from guide.sequence.entry_parts import IN_BLOCK
from guide.sequence.fields import Field, FileReading, checked_words, fields, heading, known_fields, scalar, spoken
from guide.sequence.hold_entries import SIDED_KEYS
from guide.sequence.model import Block
from guide.sequence.nodes import Faulty, Items, Table, Text
from guide.sequence.poses.pose import Pose
from guide.sequence.poses.pose_reader import POSE_KEYS, read_poses
from guide.sequence.poses.shipped_library import shipped
from guide.sequence.settings import BLOCK_FILE_KEYS, CLASS_KEYS, FOR_KEYS
from guide.sequence.shipped_folder import shipped_folder
from guide.sequence.source import Source

FILE_KEYS = frozenset((*CLASS_KEYS, *ENTRY_KEYS, *CUE_KEYS, *POSE_KEYS, *FOR_KEYS, *SIDED_KEYS))

#: What a block file holds.
Held = tuple[Mapping[str, Block], Mapping[str, Pose]]


@dataclass(frozen=True, slots=True)
class BlockFile:
    """What a block file holds, and every problem found in it; `whole` when all its blocks are known by name."""

    source: Source
    blocks: Mapping[str, Block]
    poses: Mapping[str, Pose]
    problems: tuple[Problem, ...]
    whole: bool


def read_blocks(reading: FileReading, field: Field) -> dict[str, Block]:
    """The blocks under a `blocks` key; one that could not be read is there without steps, so that calls find it."""
    table = field.node
    if not isinstance(table, Table) or not table.pairs:
        if not isinstance(table, Faulty):
            fix = "write the name of each block, and its steps below it"
            reading.fault(field.key, "`blocks` holds no block", fix)
        return {}
    blocks: dict[str, Block] = {}
    for name, block in fields(reading, table).items():
        word = checked_words(reading, block.key)
        steps = entries(reading, block, IN_BLOCK)
        shown = spoken(word) if word else name
        blocks[shown] = Block(shown, steps, reading.source.place(block.key.line, block.key.column))
    return blocks


def read_block_file(raw: bytes | str, name: str) -> BlockFile:
    """A block file from its bytes."""
    text, problems = source.check(raw, name)
    reading = FileReading(text, FILE_KEYS, problems)
    try:
        held = _read(reading)
    except FaultyFile as error:
        return BlockFile(text, {}, {}, error.problems, whole=False)
    blocks, poses = held or ({}, {})
    return BlockFile(text, blocks, poses, tuple(reading.problems), whole=held is not None)


def _read(reading: FileReading) -> Held | None:
    """The blocks and poses of a file; None when not even their names are known."""
    if not reading.source.lines:
        return None
    kept = tree_of(reading.source)
    tree, broken = compose(reading.source, reading.keys) if kept is None else (kept, [])
    for problem in broken:
        reading.note(problem)
    if isinstance(tree, Table):
        return block_file_parts(reading, tree)
    if not broken:
        reading.note(reading.source.problem(1, 1, "this is not a block file", "write `blocks:` with blocks below it"))
    return None


def block_file_parts(reading: FileReading, tree: Table) -> Held:
    """The blocks and the poses of a block file, from its tree."""
    found = known_fields(reading, tree, BLOCK_FILE_KEYS, "a block file")
    for name in ("title", "about"):
        if name in found:
            heading(reading, found[name])
    poses = read_poses(reading, found["poses"], shipped()) if "poses" in found else {}
    if not found.keys() & {"blocks", "poses"}:
        reading.fault(tree, "a block file needs `blocks`", "write `blocks:` with blocks below it")
    return read_blocks(reading, found["blocks"]) if "blocks" in found else {}, poses


@lru_cache(maxsize=64)
def _cached(path: Path, name: str, changed_ns: int, size: int) -> BlockFile:
    return read_block_file(source.from_file(path), name)


def block_file(path: Path, name: str) -> BlockFile:
    """The block file at `path`, called `name` in messages; read once a process as long as it does not change.

    Raises:
        UnusableChoice: when it cannot be read.
    """
    try:
        stat = path.stat()
    except OSError as error:
        raise UnusableChoice(f"{path}: this file cannot be read") from error
    return _cached(path, name, stat.st_mtime_ns, stat.st_size)


def named_files(reading: FileReading, field: Field, folder: Path) -> list[BlockFile]:
    """The block files that `blocks from` names, each read; a problem for each that cannot be used."""
    node = field.node
    if isinstance(node, Items):
        parts = [Field(field.key, item) for item in node.nodes]
        if not parts:
            reading.fault(node, "`blocks from` is an empty list", "name a block file, or leave the key out")
    else:
        parts = [field]
    files = []
    for part in parts:
        text = scalar(reading, part, "write the name of a block file, or a list of names")
        file = _named_file(reading, text, folder) if text else None
        files.append(file or BlockFile(Source("", (), ()), {}, {}, (), whole=False))
    return files


def _named_file(reading: FileReading, text: Text, folder: Path) -> BlockFile | None:
    shown = str(Path(reading.source.name).parent / text.value)
    try:
        return block_file(below(folder, text.value), shown)
    except NotAllowed as error:
        shipped = _shipped_path(text.value)
        if shipped:
            return block_file(shipped, text.value)
        reading.fault(text, error.what, error.fix)
    except UnusableChoice as error:
        reading.fault(text, f"`{text.value}` cannot be read", str(error))
    return None


def _shipped_path(written: str) -> Path | None:
    """The shipped block file that `blocks/…` names, if there is one."""
    try:
        return below(shipped_folder(), written) if written.startswith("blocks/") else None
    except (NotAllowed, MachineTrouble):
        return None


def shipped_blocks() -> Mapping[str, Block]:
    """The blocks that come with the program."""
    blocks: dict[str, Block] = {}
    try:
        folder = shipped_folder()
    except MachineTrouble:
        return blocks
    for path in sorted((folder / "blocks").glob("*.yaml")):
        blocks.update(block_file(path, f"blocks/{path.name}").blocks)
    return blocks
