"""Where a class is, kept safely: whole, seldom enough, and read back only when it can be."""

from pathlib import Path

import pytest

from guide.live.journal import Bookmark, Journal, bookmark_in, digest_of
from guide.problem import MachineTrouble


def at(step: int) -> Bookmark:
    return Bookmark("morning.yaml", digest_of(b"title: Morning"), step)


def test_what_is_noted_is_read_back(tmp_path: Path) -> None:
    journal = Journal(tmp_path / "state" / "live.json")
    journal.note(at(3), 10.0)
    assert bookmark_in(tmp_path / "state" / "live.json") == at(3)


def test_it_is_written_once_a_second_at_most(tmp_path: Path) -> None:
    path = tmp_path / "live.json"
    journal = Journal(path)
    for now_s, expected in ((0.0, 0), (0.5, 0), (0.99, 0), (1.0, 3), (1.9, 3), (2.1, 5)):
        journal.note(at({0.0: 0, 0.5: 1, 0.99: 2, 1.0: 3, 1.9: 4, 2.1: 5}[now_s]), now_s)
        assert bookmark_in(path) == at(expected)


def test_nothing_is_left_beside_it(tmp_path: Path) -> None:
    Journal(tmp_path / "live.json").note(at(1), 0.0)
    assert [each.name for each in tmp_path.iterdir()] == ["live.json"]


def test_a_class_that_has_ended_leaves_nothing_to_go_on_with(tmp_path: Path) -> None:
    journal = Journal(tmp_path / "live.json")
    journal.note(at(1), 0.0)
    journal.clear()
    journal.clear()
    assert bookmark_in(tmp_path / "live.json") is None


@pytest.mark.parametrize("text", ["", "{", "[]", "{}", '{"file": "a", "digest": "b", "step": "x"}'])
def test_a_journal_that_cannot_be_read_is_none(tmp_path: Path, text: str) -> None:
    (tmp_path / "live.json").write_text(text)
    assert bookmark_in(tmp_path / "live.json") is None


def test_a_place_that_cannot_be_written_is_told(tmp_path: Path) -> None:
    (tmp_path / "full").write_text("a file, not a folder")
    with pytest.raises(MachineTrouble, match="cannot be kept"):
        Journal(tmp_path / "full" / "live.json").note(at(1), 0.0)
