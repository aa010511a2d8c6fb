"""Output that is full, closed or gone ends every command with a line and no traceback; so does being asked to end."""

import os
import signal
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TextIO

import pytest
from click.testing import CliRunner

import guide.sound.mixer
from guide.cli import COMMANDS, main

CLASS = "title: Rest\nclass:\n  - section: Rest\n  - rest: 2 s\n    say: none\n"
TAUGHT = "WEBVTT\n\n00:01.000 --> 00:02.000\nRest.\n"

#: Every command that prints in the end, as a person types it.
PRINTING = [
    ["--help"],
    ["--version"],
    *([name, "--help"] for name in COMMANDS),
    ["check", "rest.yaml"],
    ["plan", "rest.yaml"],
    ["plan", "rest.yaml", "--json"],
    ["poses"],
    ["sounds"],
    ["keys"],
    ["draft", "taught.vtt"],
    ["compare", "rest.yaml", "taught.vtt"],
    ["new", "another.yaml"],
]

full = pytest.mark.skipif(not Path("/dev/full").exists(), reason="only where there is /dev/full")


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "rest.yaml").write_text(CLASS)
    (tmp_path / "taught.vtt").write_text(TAUGHT)
    return tmp_path


def without_room() -> TextIO:
    return Path("/dev/full").open("w")


def without_reader() -> TextIO:
    read, write = os.pipe()
    os.close(read)
    return os.fdopen(write, "w")


def ended(words: list[str]) -> object:
    with pytest.raises(SystemExit) as end:
        main(words, prog_name="guide")
    return end.value.code


@full
@pytest.mark.parametrize("words", PRINTING, ids=" ".join)
def test_a_full_disk_below_the_output_is_told_in_a_line(
    words: list[str], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "stdout", without_room())
    assert ended(words) == 1
    says = "standard output cannot be written: No space left on device (make room, or send it somewhere else)\n"
    assert capsys.readouterr().err == says


@pytest.mark.parametrize("words", [["--help"], ["plan", "rest.yaml"], ["poses"]], ids=" ".join)
def test_output_that_is_closed_is_told_in_a_line(
    words: list[str], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "stdout", None)
    assert ended(words) == 1
    says = "standard output cannot be written: it is closed (make room, or send it somewhere else)\n"
    assert capsys.readouterr().err == says


@pytest.mark.parametrize("words", [["--help"], ["plan", "rest.yaml", "--json"], ["poses"]], ids=" ".join)
def test_a_reader_that_has_enough_is_left_in_silence(
    words: list[str], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "stdout", without_reader())
    assert ended(words) == 1
    assert capsys.readouterr().err == ""


def test_a_track_is_written_though_nobody_can_be_told(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdout", None)
    assert ended(["render", "rest.yaml"]) == 1
    assert (folder / "rest.mp3").exists()


@pytest.mark.parametrize("stream", ["stdin", "stderr"])
def test_closed_input_and_closed_errors_are_no_hindrance(
    stream: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, stream, None)
    assert ended(["check", "-" if stream == "stdin" else "none.yaml"]) == 2
    told = "<stdin>:1:1: there is nothing in this file" if stream == "stdin" else ""
    assert capsys.readouterr().err.startswith(told)


def test_another_error_of_the_system_stays_what_it_is(monkeypatch: pytest.MonkeyPatch) -> None:
    def slip(files: object, work: Callable[[str], None]) -> int:
        raise OSError("a slip of ours")

    monkeypatch.setattr("guide.cli.check.each", slip)
    with pytest.raises(OSError, match="a slip of ours"):
        main(["check", "rest.yaml"])


SIGNALS = [signal.SIGINT, signal.SIGTERM, *([signal.SIGHUP] if hasattr(signal, "SIGHUP") else [])]


@pytest.mark.parametrize("number", SIGNALS, ids=lambda number: number.name)
@pytest.mark.parametrize("was_there", [True, False], ids=["over an old one", "a new one"])
def test_asked_to_end_while_it_encodes_it_leaves_nothing_half_done(
    number: signal.Signals, was_there: bool, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    if was_there:
        assert CliRunner().invoke(main, ["render", "rest.yaml"]).exit_code == 0
    before = {path.name: path.read_bytes() for path in folder.iterdir()}

    def disturbed(*_: object) -> object:
        signal.raise_signal(number)
        raise AssertionError("the signal was not heard")

    monkeypatch.setattr(guide.sound.mixer, "voice", disturbed)
    # Tests may be run deaf to Ctrl-C.
    heard = signal.signal(signal.SIGINT, signal.default_int_handler)
    done = CliRunner().invoke(main, ["render", "rest.yaml"])
    signal.signal(signal.SIGINT, heard)
    assert done.exit_code == 128 + number
    assert done.stderr == f"stopped: rest.mp3 was not written{', and the old one is whole' if was_there else ''}\n"
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before
    if number != signal.SIGINT:
        assert signal.getsignal(number) is signal.SIG_DFL


def test_what_was_started_deaf_to_a_signal_stays_so(monkeypatch: pytest.MonkeyPatch) -> None:
    heard = []
    before = signal.signal(signal.SIGTERM, signal.SIG_IGN)

    def look(files: object, work: Callable[[str], None]) -> int:
        heard.append(signal.getsignal(signal.SIGTERM))
        return 0

    monkeypatch.setattr("guide.cli.check.each", look)
    CliRunner().invoke(main, ["check", "rest.yaml"])
    signal.signal(signal.SIGTERM, before)
    assert heard == [signal.SIG_IGN]
