"""The library of poses that comes with the program, read from its files."""

from collections.abc import Mapping
from functools import cache
from pathlib import Path

from guide.problem import FaultyFile, MachineTrouble, UnusableChoice
from guide.sequence import source
from guide.sequence.compose import compose
from guide.sequence.fields import FileReading, known_fields
from guide.sequence.nodes import Node, Table
from guide.sequence.poses import plain_yaml
from guide.sequence.poses.library import Library
from guide.sequence.poses.pose import Pose
from guide.sequence.poses.pose_reader import POSE_KEYS, read_poses

DATA = Path(__file__).resolve().parent / "data"


@cache
def shipped() -> Library:
    """The library that comes with the program.

    Raises:
        MachineTrouble: the installation lacks it, or it has faults.
    """
    paths = sorted(DATA.glob("*.yaml"))
    if not paths:
        raise MachineTrouble("the pose library is missing from this installation (install the program again)")
    poses: dict[str, Pose] = {}
    for path in paths:
        found = _file(path)
        twice = poses.keys() & found.keys()
        if twice:
            raise MachineTrouble(f"the pose library of this installation has `{min(twice)}` twice ({path.name})")
        poses.update(found)
    return Library(poses)


def _file(path: Path) -> Mapping[str, Pose]:
    """The poses of one file of the library."""
    try:
        return read_file(source.from_file(path), f"{DATA.name}/{path.name}")
    except (FaultyFile, UnusableChoice) as error:
        what = "the pose library of this installation cannot be read (install the program again)"
        raise MachineTrouble(f"{what}:\n{error}") from error


def read_file(raw: bytes, name: str) -> Mapping[str, Pose]:
    """The poses of a data file from its bytes; `name` stands for the file in messages.

    Raises:
        FaultyFile: with every problem, sorted by place.
    """
    text, wrong = source.check(raw, name)
    reading = FileReading(text, frozenset(("poses", *POSE_KEYS)), wrong)
    tree = _tree(reading)
    poses: Mapping[str, Pose] = {}
    if isinstance(tree, Table):
        found = known_fields(reading, tree, ("poses",), "a file of poses")
        poses = read_poses(reading, found["poses"], None) if "poses" in found else {}
    if not poses and not reading.problems:
        reading.note(text.problem(1, 1, "there are no poses in this file", "write `poses:` with poses below it"))
    if reading.problems:
        raise FaultyFile(reading.problems)
    return poses


def _tree(reading: FileReading) -> Node | None:
    plain = plain_yaml.plain_tree(reading.source) if not reading.problems else None
    if plain is not None:
        return plain
    tree, broken = compose(reading.source, reading.keys)
    for problem in broken:
        reading.note(problem)
    return tree
