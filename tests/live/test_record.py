"""What really happened: written as it happens, read back whole, and shown."""

from pathlib import Path

import pytest

from guide.live.record import Asked, Began, Paused, Record, Spoke, WentOn, read, text
from guide.problem import MachineTrouble

EVENTS = (
    Began(0, "Easy seat", None, 5000, 5000),
    Asked("longer", 30_000, "easy seat: 7 breaths"),
    Began(1, "Tree", "right", 60_000, 68_250),
    Asked("quieter", 70_000, ""),
)


def written(path: Path) -> Path:
    record = Record(path)
    for event in EVENTS:
        record.add(event)
    record.close()
    return path


def test_events_are_read_back_as_they_were_added(tmp_path: Path) -> None:
    assert read(written(tmp_path / "logs" / "one.jsonl")) == EVENTS


def test_each_event_is_on_disk_as_soon_as_it_has_happened(tmp_path: Path) -> None:
    record = Record(tmp_path / "one.jsonl")
    for number, event in enumerate(EVENTS, start=1):
        record.add(event)
        assert read(tmp_path / "one.jsonl") == EVENTS[:number]


def test_a_line_that_was_cut_off_is_left_out(tmp_path: Path) -> None:
    path = written(tmp_path / "one.jsonl")
    path.write_text(path.read_text()[:-20])
    assert read(path) == EVENTS[:-1]


@pytest.mark.parametrize(
    "line",
    [
        '{"event": "ended", "real_ms": "soon"}',
        '{"event": "ended"}',
        '{"event": "ended", "real_ms": 1, "more": 2}',
        '{"event": "gone"}',
        '{"event": []}',
        '["event"]',
        "\udc80",
        "[" * 100_000,
    ],
)
def test_a_line_that_is_no_event_is_left_out(tmp_path: Path, line: str) -> None:
    path = written(tmp_path / "one.jsonl")
    with path.open("ab") as file:
        file.write(line.encode("utf-8", "surrogateescape"))
    assert read(path) == EVENTS


def test_what_stands_beside_an_order_and_what_was_spoken_needs_no_line() -> None:
    events = (Paused(1000), WentOn(2000), Spoke(2100, 2500), Paused(3000, "the machine was asleep"))
    assert text(events) == "   0:03  paused: the machine was asleep\n"


def test_it_reads_as_a_teacher_would_tell_it() -> None:
    assert text(EVENTS) == (
        "   0:05  Easy seat (+0.0 s)\n"
        "   0:30  longer: easy seat: 7 breaths\n"
        "   1:08  Tree, right (+8.2 s)\n"
        "   1:10  quieter\n"
    )


def test_a_record_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(MachineTrouble, match="cannot be read"):
        read(tmp_path / "none.jsonl")


def test_nothing_is_written_into_a_file_that_is_no_record(tmp_path: Path) -> None:
    path = tmp_path / "notes.txt"
    path.write_text("Bring the blankets.\n")
    with pytest.raises(MachineTrouble, match="no record of a class, so nothing is written into it"):
        Record(path).add(WentOn(1))
    assert path.read_text() == "Bring the blankets.\n"


def test_a_record_that_is_there_is_gone_on_with(tmp_path: Path) -> None:
    path = tmp_path / "one.jsonl"
    for number in range(2):
        record = Record(path)
        record.add(WentOn(number))
        record.close()
    assert read(path) == (WentOn(0), WentOn(1))
