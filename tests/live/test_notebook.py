"""What is written down of a class: by a thread of its own, and never in its way."""

import threading
from pathlib import Path

import pytest

from guide.live import steady_clock
from guide.live.journal import Bookmark, Journal
from guide.live.notebook import Notebook
from guide.live.record import Record, WentOn, read
from guide.problem import MachineTrouble


def test_a_disk_that_is_slow_is_not_waited_for(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    is_free, was_waited_for = threading.Event(), []
    monkeypatch.setattr("os.fsync", lambda number: was_waited_for.append(is_free.wait(60)))
    journal = Journal(tmp_path, "a.yaml")
    notebook = Notebook(Record(tmp_path / "log.jsonl"), journal, was_waited_for.append)
    notebook.keep(Bookmark("a.yaml", "0", 1))
    notebook.add(WentOn(5))
    assert was_waited_for == [] and journal.bookmark() is None
    is_free.set()
    notebook.close()
    assert was_waited_for == [True]
    assert journal.bookmark() == Bookmark("a.yaml", "0", 1)
    assert read(tmp_path / "log.jsonl") == (WentOn(5),)


def test_what_cannot_be_written_is_told_once_for_each_reason(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("no folder")
    told: list[str] = []
    notebook = Notebook(Record(tmp_path / "file" / "log.jsonl"), Journal(tmp_path / "file", "a.yaml"), told.append)
    for number in range(20):
        notebook.add(WentOn(number))
        notebook.keep(Bookmark("a.yaml", "0", number))
        notebook.close()
    assert len(told) == 2
    assert "what happens cannot be written down" in told[0] + told[1]
    assert "where the class is cannot be kept" in told[0] + told[1]


def test_a_disk_that_fills_and_has_room_again_loses_only_what_came_between(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    record = Record(tmp_path / "log.jsonl")
    record.add(WentOn(1))
    with monkeypatch.context() as full:
        full.setattr(record, "_file", Filling((tmp_path / "log.jsonl").open("ab", buffering=0)))
        with pytest.raises(MachineTrouble, match="No space left on device"):
            record.add(WentOn(2))
    record.add(WentOn(3))
    assert read(tmp_path / "log.jsonl") == (WentOn(1), WentOn(3))


class Filling:
    """A file on a disk with room for five bytes."""

    def __init__(self, file: object) -> None:
        self._file = file

    def write(self, raw: bytes) -> int:
        """So much of it as there is room for."""
        return self._file.write(raw[:5])  # type: ignore[attr-defined,no-any-return]


def test_where_the_class_is_is_written_once_a_second_at_most_and_at_the_end(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    written: list[int] = []
    monkeypatch.setattr(Journal, "note", lambda journal, bookmark: written.append(bookmark.step))
    notebook = Notebook(None, Journal(tmp_path, "a.yaml"), written.append)
    for now_s, step in ((0.0, 0), (0.5, 1), (0.99, 2), (1.0, 3), (1.9, 4), (2.1, 5), (2.2, 5), (2.3, 6)):
        monkeypatch.setattr(steady_clock, "now_s", lambda now_s=now_s: now_s)
        notebook.keep(Bookmark("a.yaml", "0", step))
    notebook.close()
    assert written == [0, 3, 5, 6]
