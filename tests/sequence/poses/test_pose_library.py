"""The library that comes with the program: where it lies, how it is searched, and how it fails when it is broken."""

from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

import pytest
from pose_samples import THREE, three

from guide.figures.shipped_figures import shipped_figures
from guide.problem import FaultyFile, MachineTrouble
from guide.sequence.poses import library_source, shipped_library
from guide.sequence.poses.figures_source import wholes
from guide.sequence.poses.library_source import read_file
from guide.sequence.poses.pose import Base, Condition, Does, Pose
from guide.sequence.poses.shipped_library import shipped


@pytest.fixture
def prebuilt(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A file that `shipped` reads instead of the program's own."""
    path = tmp_path / "library.json"
    monkeypatch.setattr(shipped_library, "PREBUILT", path)
    monkeypatch.setattr(shipped_library, "shipped", shipped.__wrapped__)
    return path


def names(found: Iterable[Pose]) -> list[str]:
    return [pose.name for pose in found]


def test_the_shipped_library_is_read_once() -> None:
    assert shipped() is shipped()
    assert len(shipped()) == len(list(shipped()))


def test_what_is_shipped_is_made_of_its_source() -> None:
    poses = library_source.read_files(sorted(library_source.DATA.glob("*.yaml")))
    made = library_source.as_json(poses.values())
    assert shipped_library.PREBUILT.read_text("utf-8") == made, "python -m guide.sequence.poses.library_source"
    said = wholes({name: pose.figure for name, pose in poses.items() if pose.figure})
    solved = {name: figure.description for name, figure in shipped_figures().items()}
    assert solved == said, "python -m guide.sequence.poses.figures_source"


def test_what_is_read_is_what_was_written(prebuilt: Path) -> None:
    poses = [replace(pose, **kept) for pose, kept in zip(three(), ({"head_low": True}, {}, {}), strict=True)]
    prebuilt.write_text(library_source.as_json(poses), "utf-8")
    assert list(shipped_library.shipped()) == poses


def test_an_installation_without_the_library_says_so(prebuilt: Path) -> None:
    with pytest.raises(MachineTrouble, match=r"^the pose library is missing from this installation \(install the"):
        shipped_library.shipped()


@pytest.mark.parametrize("cut", [0, 1, 100, -20])
def test_a_library_that_is_cut_off_says_so(prebuilt: Path, cut: int) -> None:
    prebuilt.write_text(library_source.as_json(three())[:cut], "utf-8")
    with pytest.raises(MachineTrouble, match=r"^the pose library of this installation cannot be read \(install the"):
        shipped_library.shipped()


@pytest.mark.parametrize("text", ["{}", "[[]]", '[{"name": "tree"}]', "[1]", "\ufffe"])
def test_a_library_of_something_else_says_so(prebuilt: Path, text: str) -> None:
    prebuilt.write_text(text, "utf-16")
    with pytest.raises(MachineTrouble, match=r"^the pose library of this installation cannot be read"):
        shipped_library.shipped()
    prebuilt.write_text(text, "utf-8")
    with pytest.raises(MachineTrouble, match=r"^the pose library of this installation cannot be read"):
        shipped_library.shipped()


def test_every_file_is_read(tmp_path: Path) -> None:
    one, two, three_ = THREE.removeprefix("poses:\n\n").split("\n\n")
    first, second = tmp_path / "a.yaml", tmp_path / "b.yaml"
    first.write_text(f"poses:\n\n{one}\n\n{two}\n", "utf-8")
    second.write_text(f"poses:\n\n{three_}", "utf-8")
    assert names(library_source.read_files([first, second]).values()) == ["warrior two", "mountain", "plank"]
    with pytest.raises(ValueError, match=r"^`mountain` is there twice \(a.yaml\)"):
        library_source.read_files([first, first])


def test_a_faulty_file_says_where(tmp_path: Path) -> None:
    path = tmp_path / "a.yaml"
    path.write_text("poses:\n  tree:\n    base: stnding\n", "utf-8")
    with pytest.raises(FaultyFile, match=r"^a.yaml:3:11: `base` cannot be `stnding` \(did you mean `standing`\?\)"):
        library_source.read_files([path])


@pytest.mark.parametrize("text", ["", "# nothing\n", "tree\n", "poses:\n", "pose:\n  tree:\n    base: standing\n"])
def test_a_file_without_poses_is_a_fault(text: str) -> None:
    with pytest.raises(FaultyFile):
        read_file(text.encode(), "x.yaml")


def test_words_are_looked_for_in_every_name() -> None:
    found = three()
    assert names(found.search()) == ["warrior two", "mountain", "plank"]
    assert names(found.search(["warriors"])) == ["warrior two"]
    assert names(found.search(["bhadra"])) == ["warrior two"]
    assert names(found.search(["stand"])) == ["mountain"]
    assert names(found.search(["tall", "mountain"])) == ["mountain"]
    assert names(found.search(["tall", "plank"])) == []
    assert names(found.search(["ank"])) == []


def test_a_search_is_narrowed_by_caution_by_what_a_pose_does_and_by_its_base() -> None:
    found = three()
    assert names(found.search(conditions=[Condition.KNEE, Condition.NECK])) == ["warrior two"]
    assert names(found.search(conditions=[Condition.NECK])) == []
    assert names(found.search(does=[Does.STRENGTH])) == ["warrior two"]
    assert names(found.search(does=[Does.STRENGTH, Does.CORE])) == []
    assert names(found.search(base=Base.STANDING)) == ["warrior two", "mountain"]
    assert names(found.search(["plank"], base=Base.STANDING)) == []
