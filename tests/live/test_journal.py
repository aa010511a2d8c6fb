"""Where a class is, kept safely: whole, for each class its own, and read back only when it can be."""

from pathlib import Path

import pytest

from guide.live.journal import Bookmark, Journal, StepChange, digest_of
from guide.problem import MachineTrouble


def at(step: int) -> Bookmark:
    changes = (StepChange(1, "3 5 8", "", "4000 0 9000/2 0"), StepChange(4, "", "60000 90000 120000", "4000 0 4000 0"))
    return Bookmark("morning.yaml", digest_of(b"title: Morning"), step, changes, (2, 3), 1.25, 0.5)


def test_what_is_noted_is_read_back(tmp_path: Path) -> None:
    journal = Journal(tmp_path / "state", "morning.yaml")
    journal.note(at(3))
    assert journal.bookmark() == at(3)


def test_each_class_has_a_journal_of_its_own(tmp_path: Path) -> None:
    morning, evening = (Journal(tmp_path, name) for name in ("morning.yaml", "evening.yaml"))
    morning.note(at(3))
    evening.note(at(5))
    evening.clear()
    assert (morning.bookmark(), evening.bookmark()) == (at(3), None)


def test_nothing_is_left_beside_it(tmp_path: Path) -> None:
    journal = Journal(tmp_path, "morning.yaml")
    journal.note(at(1))
    assert list(tmp_path.iterdir()) == [journal.path]


def test_a_class_that_has_ended_leaves_nothing_to_go_on_with(tmp_path: Path) -> None:
    journal = Journal(tmp_path, "morning.yaml")
    journal.note(at(1))
    journal.clear()
    journal.clear()
    assert journal.bookmark() is None


@pytest.mark.parametrize("text", ["", "{", "[]", "{}", '{"file": "a", "digest": "b", "step": "x"}', "[" * 100_000])
def test_a_journal_that_cannot_be_read_is_none(tmp_path: Path, text: str) -> None:
    journal = Journal(tmp_path, "morning.yaml")
    journal.path.write_text(text)
    assert journal.bookmark() is None


def test_a_place_that_cannot_be_written_is_told(tmp_path: Path) -> None:
    (tmp_path / "full").write_text("a file, not a folder")
    with pytest.raises(MachineTrouble, match="cannot be kept"):
        Journal(tmp_path / "full", "morning.yaml").note(at(1))
