"""The library that comes with the program: where it lies, how it is searched, and how it fails when it is broken."""

from collections.abc import Iterable
from pathlib import Path

import pytest
from pose_samples import THREE, three

from guide.problem import FaultyFile, MachineTrouble
from guide.sequence.poses import shipped_library
from guide.sequence.poses.pose import Base, Condition, Does, Pose
from guide.sequence.poses.shipped_library import read_file, shipped


@pytest.fixture
def data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of data that `shipped` reads instead of the program's own."""
    monkeypatch.setattr(shipped_library, "DATA", tmp_path)
    monkeypatch.setattr(shipped_library, "shipped", shipped.__wrapped__)
    return tmp_path


def names(found: Iterable[Pose]) -> list[str]:
    return [pose.name for pose in found]


def test_the_shipped_library_is_read_once() -> None:
    assert shipped() is shipped()
    assert len(shipped()) == len(list(shipped()))


def test_every_file_of_the_folder_is_read(data: Path) -> None:
    one, two, three_ = THREE.removeprefix("poses:\n\n").split("\n\n")
    (data / "a.yaml").write_text(f"poses:\n\n{one}\n\n{two}\n", "utf-8")
    (data / "b.yaml").write_text(f"poses:\n\n{three_}", "utf-8")
    assert names(shipped_library.shipped()) == ["warrior two", "mountain", "plank"]


def test_an_installation_without_the_library_says_so(data: Path) -> None:
    with pytest.raises(MachineTrouble, match=r"^the pose library is missing from this installation \(install the"):
        shipped_library.shipped()


def test_a_faulty_library_says_where(data: Path) -> None:
    (data / "a.yaml").write_text("poses:\n  tree:\n    base: stnding\n", "utf-8")
    with pytest.raises(MachineTrouble) as caught:
        shipped_library.shipped()
    assert str(caught.value) == (
        "the pose library of this installation cannot be read (install the program again):\n"
        f"{data.name}/a.yaml:3:11: `base` cannot be `stnding` (did you mean `standing`?)\n"
        "        base: stnding\n              ^"
    )


def test_a_pose_in_two_files_is_a_fault(data: Path) -> None:
    for file in ("a.yaml", "b.yaml"):
        (data / file).write_text("poses:\n  tree:\n    base: standing\n", "utf-8")
    with pytest.raises(MachineTrouble, match=r"has `tree` twice \(b.yaml\)"):
        shipped_library.shipped()


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
