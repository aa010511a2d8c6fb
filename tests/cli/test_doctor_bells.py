"""`guide doctor` and the ways to a loudspeaker: what is rung, what is said of each, and that none takes it down."""

import sys
import threading

import numpy as np
import pytest
from click.testing import CliRunner

from guide.cli import main
from guide.cli.doctor import BELLS
from guide.live.outputs import OUTPUTS, TRIED, trial
from guide.live.outputs.base import NoLoudspeaker, Pull
from guide.live.outputs.trial import Outcome, Trial, soft_bell, tried, tried_apart
from guide.problem import MachineTrouble
from guide.units import RATE_HZ


class Loudspeaker:
    """An output that takes what there is at once, and keeps it."""

    name = "pipe"
    latency_ms = 0

    def __init__(self) -> None:
        self.heard: list[np.ndarray] = []
        self.is_stopped = False

    def start(self, pull: Pull) -> None:
        def run() -> None:
            self.heard = [pull(1000) for _ in range(100)]

        threading.Thread(target=run).start()

    def stop(self) -> None:
        self.is_stopped = True

    @property
    def alive(self) -> bool:
        return True


class Deaf(Loudspeaker):
    """One that opens and never asks for sound."""

    def start(self, pull: Pull) -> None:
        pass


class Absent(Loudspeaker):
    def start(self, pull: Pull) -> None:
        raise NoLoudspeaker("it is not there", "get it")


class Troubled(Loudspeaker):
    def start(self, pull: Pull) -> None:
        raise MachineTrouble("it is in trouble")


def put(monkeypatch: pytest.MonkeyPatch, output: Loudspeaker) -> Loudspeaker:
    monkeypatch.setattr(trial, "OUTPUTS", {**OUTPUTS, "pipe": lambda: output})
    monkeypatch.setattr(trial, "TAKES_S", 0.0)
    return output


def test_the_bells_are_those_of_the_ways_that_a_class_tries() -> None:
    assert BELLS == TRIED


def test_the_bell_is_soft_and_ends_without_a_click() -> None:
    bell = soft_bell()
    assert bell.shape == (1.5 * RATE_HZ, 2) and bell.dtype == np.float32
    assert 20 * np.log10(np.abs(bell).max()) == pytest.approx(-30, abs=0.01)
    assert np.abs(bell[-48:]).max() < 10 ** (-70 / 20)
    assert np.array_equal(bell[:, 0], bell[:, 1])


def test_an_output_that_takes_the_bell_plays_all_of_it_once(monkeypatch: pytest.MonkeyPatch) -> None:
    output = put(monkeypatch, Loudspeaker())
    assert tried("pipe") == Trial(Outcome.PLAYS, "plays (soft bell)")
    bell = soft_bell()
    heard = np.concatenate(output.heard)
    assert np.array_equal(heard[: len(bell)], bell) and not heard[len(bell) :].any()
    assert output.is_stopped


def test_an_output_that_asks_for_nothing_is_told_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(trial, "BELL_MS", 0)
    monkeypatch.setattr(trial, "soft_bell", lambda: np.ones((10, 2), np.float32))
    output = put(monkeypatch, Deaf())
    assert tried("pipe") == Trial(Outcome.TAKES_NONE, "opens, but takes no sound", "start the sound server again")
    assert output.is_stopped


def test_an_output_that_is_not_there_is_told_with_what_mends_it(monkeypatch: pytest.MonkeyPatch) -> None:
    put(monkeypatch, Absent())
    assert tried("pipe") == Trial(Outcome.ABSENT, "it is not there", "get it")
    put(monkeypatch, Troubled())
    assert tried("pipe") == Trial(Outcome.ABSENT, "it is in trouble")


def test_a_trial_in_a_process_of_its_own_answers_as_one_here(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    put(monkeypatch, Absent())
    trial.main("pipe")
    echo = (sys.executable, "-c", f"print({capsys.readouterr().out!r})")
    assert tried_apart("pipe", echo) == tried("pipe")


def test_a_library_that_ends_the_program_is_told_so() -> None:
    ending = (sys.executable, "-c", "import os, signal; os.kill(os.getpid(), signal.SIGSEGV)")
    assert tried_apart("pipe", ending) == Trial(Outcome.BROKEN, "ends the program that uses it (exit code -11)")


def test_a_library_that_hangs_is_told_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(trial, "ANSWERS_S", 0.5)
    hanging = (sys.executable, "-c", "import time; time.sleep(600)")
    assert tried_apart("pipe", hanging) == Trial(Outcome.BROKEN, "hangs (nothing for 0.5 s)")


TRIALS = {
    "miniaudio": Trial(Outcome.PLAYS, "plays (soft bell)"),
    "pipe": Trial(Outcome.TAKES_NONE, "opens, but takes no sound", "start the sound server again"),
    "sounddevice": Trial(Outcome.ABSENT, "sounddevice lacks PortAudio", "sudo apt install libportaudio2"),
    "simpleaudio": Trial(Outcome.BROKEN, "ends the program that uses it (exit code -11)"),
}


def test_the_report_has_a_line_for_every_way_and_none_of_them_is_needed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(trial, "tried_apart", TRIALS.__getitem__)
    monkeypatch.setattr("guide.cli.doctor.PROBES", ())
    result = CliRunner().invoke(main, ["doctor"])
    assert result.exit_code == 0
    assert result.stdout == (
        "ok     sound by miniaudio    plays (soft bell)\n"
        "extra  sound by pipe         opens, but takes no sound\n"
        "                             to mend it: start the sound server again\n"
        "extra  sound by sounddevice  sounddevice lacks PortAudio\n"
        "                             to mend it: sudo apt install libportaudio2\n"
        "extra  sound by simpleaudio  ends the program that uses it (exit code -11)\n"
    )


def test_a_quiet_report_opens_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    rung: list[str] = []
    monkeypatch.setattr(trial, "tried_apart", rung.append)
    monkeypatch.setattr("guide.cli.doctor.PROBES", sys.modules["guide.cli.doctor"].PROBES[:1])
    result = CliRunner().invoke(main, ["doctor", "--quiet"])
    assert (result.exit_code, rung) == (0, [])
    assert result.stdout.startswith("ok     Python  3.") and "sound by" not in result.stdout
