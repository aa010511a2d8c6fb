"""`guide record` with a script and a recording: what it writes, and how it refuses."""

from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner, Result

from guide.cli import main
from guide.voice.takes.store import Takes

CLASS = """\
title: Short
class:
  - section: One
  - pose: mountain
    hold: 6 breaths
    enter: none
    say: Stand tall.
    leave: none
"""


@pytest.fixture(autouse=True)
def _place_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("short.yaml").write_text(CLASS, encoding="utf-8")


def record(*arguments: str) -> Result:
    return CliRunner().invoke(main, ["record", "short.yaml", *arguments])


def test_a_script_is_written_and_told() -> None:
    assert record("--script", "script.html").stdout == "script.html: 2 lines to read.\n"
    assert "<bdi>Stand tall.</bdi>" in Path("script.html").read_text(encoding="utf-8")


def test_a_script_never_takes_the_place_of_the_class() -> None:
    Path("class.txt").write_text(CLASS, encoding="utf-8")
    result = CliRunner().invoke(main, ["record", "class.txt", "--script", "class.txt", "--force"])
    assert (result.exit_code, result.stderr) == (
        2,
        "class.txt: this is the class file itself, and is never written over (name another file)\n",
    )


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--missing",), "--missing goes with --script (add it)"),
        (("--keep-doubtful",), "--keep-doubtful goes with --from (add it)"),
        (("--model", "m"), "--model goes with --from (add it)"),
        (("--from", "gone.wav"), "gone.wav: there is no such file (give a recording of the class)"),
        (("--from", "short.yaml"), "short.yaml: this is no sound that can be read (give WAV, FLAC, MP3, Ogg"),
    ],
)
def test_what_cannot_be_done_is_refused_with_what_to_do(arguments: tuple[str, ...], said: str) -> None:
    result = record(*arguments)
    assert result.exit_code == 2
    assert result.stderr.startswith(said)


def test_a_list_says_which_lines_have_a_take() -> None:
    Takes.in_folder(Path()).keep("Stand tall", np.full(4800, 0.1, np.float32), 48_000)
    assert record("--list").stdout == (
        "One\n"
        "·   1  Mountain.\n"
        "✓   2  Stand tall. (at most 35.9 s)  stand-tall-3204743b.1.flac\n"
        "2 lines: 1 recorded, 1 not yet\n"
    )


@pytest.mark.parametrize(
    ("file", "said"),
    [
        ("short.yaml", "no key can be pressed here (record in a terminal, or name a pedal with --pedal)"),
        ("desk-break", "comes with the program (copy it first: guide new --from, and its name)"),
        ("quiet.yaml", "quiet.yaml: this class says nothing (there is nothing to record)"),
    ],
)
def test_what_cannot_be_recorded_is_refused_with_what_to_do(file: str, said: str) -> None:
    Path("quiet.yaml").write_text("title: Quiet\nclass:\n  - silence: 2 min\n", encoding="utf-8")
    result = CliRunner().invoke(main, ["record", file])
    assert result.exit_code == 2
    assert said in result.stderr
