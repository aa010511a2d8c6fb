"""The plan is drawn anew when a file of the class is saved, in whatever way an editor saves."""

from collections.abc import Callable
from pathlib import Path

import pytest

from guide.cli.plan_watch import watch


class Teacher:
    """Saves the file in one way after another while the watch waits, and presses Ctrl-C in the end."""

    def __init__(self, *saves: Callable[[], object]) -> None:
        self.saves = list(saves)

    def __call__(self, _seconds: float) -> None:
        if not self.saves:
            raise KeyboardInterrupt
        self.saves.pop(0)()


def test_each_way_to_save_is_seen_once(tmp_path: Path) -> None:
    path, part = tmp_path / "class.yaml", tmp_path / "part"
    path.write_text("one")
    part.write_text("four")
    drawn: list[str] = []
    teacher = Teacher(
        lambda: None,
        lambda: path.write_text("one and two"),
        path.unlink,
        lambda: None,
        lambda: path.write_text("three"),
        lambda: part.replace(path),
    )
    with pytest.raises(KeyboardInterrupt):
        watch(lambda: drawn.append(path.read_text()), lambda: [path], teacher)
    assert drawn == ["one", "one and two", "three", "four"]


def test_what_is_saved_while_it_is_drawn_is_drawn_next(tmp_path: Path) -> None:
    path = tmp_path / "class.yaml"
    path.write_text("one")
    drawn: list[str] = []

    def draw() -> None:
        drawn.append(path.read_text())
        if len(drawn) == 1:
            path.write_text("one and two")

    with pytest.raises(KeyboardInterrupt):
        watch(draw, lambda: [path], Teacher())
    assert drawn == ["one", "one and two"]


def test_a_file_that_never_was_is_not_waited_for(tmp_path: Path) -> None:
    path = tmp_path / "class.yaml"
    path.write_text("one")
    drawn: list[str] = []
    with pytest.raises(KeyboardInterrupt):
        watch(
            lambda: drawn.append(path.read_text()),
            lambda: [path, tmp_path / "gong.wav"],
            Teacher(lambda: path.write_text("one and two")),
        )
    assert drawn == ["one", "one and two"]
