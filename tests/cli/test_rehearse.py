"""`guide rehearse` in a terminal of the test's own: keys in, a report out, and a record that tells it again."""

import json
import os
import pty
import re
import signal
import subprocess
import sys
import threading
from collections.abc import Sequence
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from guide.cli import main
from guide.live.record import REHEARSED, Began, Ended, Opened, read

SHORT = """title: Short
pace: {inhale: 2 s, exhale: 2 s}
bells: {class: none}
class:
  - pose: mountain
    hold: 3 breaths
    say: none
  - both sides:
      - pose: tree
        hold: 3 breaths
        say: none
"""


@pytest.fixture(autouse=True)
def _own_place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    for name in ("XDG_STATE_HOME", "XDG_CONFIG_HOME", "HOME"):
        monkeypatch.setenv(name, str(tmp_path / "own"))
    Path("short.yaml").write_text(SHORT)


def rehearse(*arguments: str) -> Result:
    return CliRunner().invoke(main, ["rehearse", *arguments])


#: Keys that each tell a change; no two alike after each other, which might be one that is held down.
THREE = ("n", "\x1b[C", "n")


def in_a_terminal(keys: Sequence[str], *arguments: str, end: int | None = None, begins: str = "\r") -> tuple[int, str]:
    """A rehearsal in lines: a key to begin it, then one at a time, each when there is a line for the one before."""
    ours, theirs = pty.openpty()
    process = subprocess.Popen(
        [sys.executable, "-m", "guide", "rehearse", *arguments, "--plain"],
        stdin=theirs,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        env={**os.environ, "PYTHONUNBUFFERED": "1"},
        start_new_session=True,
    )
    os.close(theirs)
    assert process.stdout is not None
    too_long = threading.Timer(120, process.kill)
    too_long.start()
    lines: list[str] = []
    waiting = list(keys)
    for line in process.stdout:
        lines.append(line)
        if line.startswith("ready; "):
            os.write(ours, begins.encode())
        elif line.startswith("   0:") and waiting:
            os.write(ours, waiting.pop(0).encode())
        elif end is not None and line.startswith("   0:"):
            process.send_signal(end)
    code = process.wait()
    too_long.cancel()
    os.close(ours)
    return code, "".join(lines)


def test_each_key_is_a_change_the_report_stands_at_the_end_and_the_log_tells_it_again() -> None:
    code, said = in_a_terminal(THREE, "short.yaml", "--log", "one.jsonl")
    assert code == 0, said
    lines = said.splitlines()
    assert lines[0] == "ready; class: 0:41, 3 changes; sound: none; begin: space, or next; keys: ? lists them"
    assert [line[9:] for line in lines[:6] if line.startswith("   0:")] == [
        "mountain (0:13 planned)",
        "tree, right (0:13 planned)",
        "tree, left (0:13 planned)",
    ]
    assert any(re.match(r"Short: planned 0:41, rehearsed \d:\d\d", line) for line in lines)
    assert lines[-1] == "kept in one.jsonl"
    events = read(Path("one.jsonl"))
    assert [event.step for event in events if isinstance(event, Began)] == [0, 1, 2]
    assert isinstance(events[0], Opened) and events[0].how == REHEARSED
    # The key that begins it is no change, and nothing that came before is written down.
    assert next(event for event in events if isinstance(event, Began)).real_ms < 1000
    again = CliRunner().invoke(main, ["compare", "short.yaml", "one.jsonl"])
    assert again.exit_code == 0, again.output
    assert again.stdout == said[said.index("Short: planned") : said.index("\nkept in")]
    printed = CliRunner().invoke(main, ["log", "one.jsonl"]).stdout.splitlines()
    assert printed[0].endswith(", planned 0:41, rehearsed")
    assert printed[1][9:].startswith("mountain (")


def test_one_that_is_left_before_it_began_reports_nothing() -> None:
    code, said = in_a_terminal((), "short.yaml", "--log", "one.jsonl", begins="q")
    assert code == 0, said
    assert said.splitlines()[1:] == ["the rehearsal was left before it began"]
    assert [type(event) for event in read(Path("one.jsonl"))] == [Opened]


def test_the_keys_are_listed_when_they_are_asked_for_and_it_is_told_as_json_and_as_a_page_too() -> None:
    code, said = in_a_terminal(("?n", *THREE[1:]), "short.yaml", "--json", "--html", "page.html", begins="n")
    assert code == 0, said
    assert f"{'':9}{'on to the next step':<22}  right, page down, n, next song, button" in said.splitlines()
    assert "this side again" not in said
    found = json.loads(said[said.index("{") :])
    assert [step["rests_on"] for step in found["steps"]] == ["pressed"] * 3
    assert found["heard"] is None
    assert Path("page.html").read_text(encoding="utf-8").startswith("<!DOCTYPE html>")


@pytest.mark.parametrize(
    "number",
    [signal.SIGINT, *(pytest.param(other, marks=pytest.mark.slow) for other in (signal.SIGTERM, signal.SIGHUP))],
)
def test_a_rehearsal_that_is_told_to_end_reports_what_there_was(number: int) -> None:
    code, said = in_a_terminal("n", "short.yaml", "--log", "one.jsonl", end=number)
    assert code == 0, said
    assert "Short: planned 0:41; how long it took cannot be told" in said
    assert isinstance(read(Path("one.jsonl"))[-1], Ended)


def test_without_a_key_anywhere_there_is_nothing_to_begin() -> None:
    result = rehearse("short.yaml")
    assert result.exit_code == 2
    assert result.stderr == ("no key can be pressed here (rehearse in a terminal, or name a pedal with --pedal)\n")


def test_standard_input_is_for_the_keys() -> None:
    result = rehearse("-")
    assert result.exit_code == 2
    assert result.stderr == ("a class that is rehearsed needs a file of its own (standard input is for the keys)\n")


@pytest.mark.parametrize("command", [("rehearse", "short.yaml"), ("compare", "short.yaml", "taught.vtt")])
@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (
            ("--html", "nowhere/page.html"),
            "nowhere/page.html: there is no folder nowhere (make it first, or name another)",
        ),
        (("--as-taught",), "--as-taught goes with --keep (add it)"),
        (("--yes",), "--yes goes with --keep (add it)"),
    ],
)
def test_what_could_not_be_done_afterwards_is_told_first(
    command: tuple[str, ...], asked: tuple[str, ...], said: str
) -> None:
    result = CliRunner().invoke(main, [*command, *asked])
    assert (result.exit_code, result.stderr) == (2, f"{said}\n")


def test_whispered_words_cannot_be_told_from_the_teachers_own() -> None:
    result = rehearse("short.yaml", "--listen", "--sound", "whisper")
    assert result.exit_code == 2
    assert result.stderr == ("with --listen the whispered words would be taken for yours (take --sound chimes)\n")


def test_a_faulty_file_is_told_before_anything_begins() -> None:
    Path("short.yaml").write_text(SHORT.replace("hold: 3 breaths", "hold: 3 breths", 1))
    code, said = in_a_terminal("", "short.yaml", "--log", "one.jsonl")
    assert code == 2
    assert said.startswith("short.yaml:6:")
    assert not Path("one.jsonl").exists()


def test_a_record_that_cannot_be_written_is_told_before_anything_begins() -> None:
    Path("taken").write_text("")
    code, said = in_a_terminal("", "short.yaml", "--log", "taken/one.jsonl")
    assert code == 1
    assert said.startswith("taken/one.jsonl: what happens cannot be written down")
