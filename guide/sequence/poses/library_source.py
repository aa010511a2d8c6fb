"""The library of poses as it is written: `python -m guide.sequence.poses.library_source` makes of it what is shipped.

The whole of YAML takes these files half a second, which no command should wait for.
"""

import json
from collections.abc import Iterable, Mapping
from dataclasses import asdict
from pathlib import Path

from guide.problem import FaultyFile
from guide.sequence import source
from guide.sequence.compose import compose
from guide.sequence.fields import FileReading, known_fields
from guide.sequence.nodes import Table
from guide.sequence.poses.pose import Pose
from guide.sequence.poses.pose_reader import POSE_KEYS, read_poses
from guide.sequence.poses.shipped_library import PREBUILT

DATA = Path(__file__).resolve().parent / "data"


def read_files(paths: Iterable[Path]) -> Mapping[str, Pose]:
    """The poses of these files, by their names.

    Raises:
        FaultyFile: with every problem of the first file that has any.
        ValueError: a pose is in two files.
    """
    poses: dict[str, Pose] = {}
    for path in paths:
        found = read_file(source.from_file(path), path.name)
        if twice := poses.keys() & found.keys():
            raise ValueError(f"`{min(twice)}` is there twice ({path.name})")
        poses.update(found)
    return poses


def read_file(raw: bytes, name: str) -> Mapping[str, Pose]:
    """The poses of a data file from its bytes; `name` stands for the file in messages.

    Raises:
        FaultyFile: with every problem, sorted by place.
    """
    text, wrong = source.check(raw, name)
    reading = FileReading(text, frozenset(("poses", *POSE_KEYS)), wrong)
    tree, broken = compose(text, reading.keys)
    for problem in broken:
        reading.note(problem)
    poses: Mapping[str, Pose] = {}
    if isinstance(tree, Table):
        found = known_fields(reading, tree, ("poses",), "a file of poses")
        poses = read_poses(reading, found["poses"], None) if "poses" in found else {}
    if not poses and not reading.problems:
        reading.note(text.problem(1, 1, "there are no poses in this file", "write `poses:` with poses below it"))
    if reading.problems:
        raise FaultyFile(reading.problems)
    return poses


def as_json(poses: Iterable[Pose]) -> str:
    """The poses as `shipped_library` reads them, a line each."""
    return "[\n" + ",\n".join(map(_line, poses)) + "\n]\n"


def _line(pose: Pose) -> str:
    cautions = {condition.value: caution for condition, caution in pose.cautions.items()}
    fields = asdict(pose) | {"cautions": cautions}
    # All of the library's holds are whole breaths, which needs no telling three hundred times.
    del fields["hold"]["and_a_half"]
    del fields["figure"]
    return json.dumps(fields, default=lambda word: word.value, ensure_ascii=False)


def prebuilt() -> str:
    """What the file that is shipped is to hold."""
    return as_json(read_files(sorted(DATA.glob("*.yaml"))).values())


if __name__ == "__main__":
    PREBUILT.write_text(prebuilt(), encoding="utf-8")
