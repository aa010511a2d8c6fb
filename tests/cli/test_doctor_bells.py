"""`guide doctor` and the ways to a loudspeaker: what is rung, what is said of each, and that none takes it down."""

import importlib
import sys
import threading
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from guide.cli import main
from guide.cli.doctor import BELLS, EARS, WAYS
from guide.live import device_trial as trials
from guide.live.device_errors import NoDevice
from guide.live.device_trial import Outcome, Trial, child, tried_apart
from guide.live.microphones import MICROPHONES
from guide.live.microphones import trial as listening
from guide.live.microphones.base import Heard
from guide.live.speakers import SPEAKERS, TRIED, trial
from guide.live.speakers.base import Pull
from guide.live.speakers.sound_server import ServerSink
from guide.live.speakers.trial import soft_bell, tried
from guide.problem import MachineTrouble
from guide.sound.sound_files import read_mono
from guide.units import RATE_HZ

#: How long a test waits for what has to come; it never has to.
LONGEST_S = 120.0


class Loudspeaker:
    """An output that takes what there is at once, and keeps it."""

    name = "pipe"
    latency_ms = 0

    def __init__(self) -> None:
        self.heard: list[np.ndarray] = []
        self.is_stopped = False
        self.played: ServerSink | None = None
        self._thread: threading.Thread | None = None

    def start(self, pull: Pull, wanted: object = None) -> None:
        def run() -> None:
            self.heard = [pull(1000) for _ in range(100)]

        self._thread = threading.Thread(target=run)
        self._thread.start()

    def stop(self) -> None:
        if self._thread is not None:
            self._thread.join(LONGEST_S)
        self.is_stopped = True

    def devices(self) -> tuple[str, ...]:
        return ("Garden", "Hall")

    def sink(self) -> ServerSink | None:
        return self.played

    @property
    def alive(self) -> bool:
        return True


class Deaf(Loudspeaker):
    """One that opens and never asks for sound."""

    def start(self, pull: Pull, wanted: object = None) -> None:
        pass


class Absent(Loudspeaker):
    def start(self, pull: Pull, wanted: object = None) -> None:
        raise NoDevice("it is not there", "get it")


class Troubled(Loudspeaker):
    def start(self, pull: Pull, wanted: object = None) -> None:
        raise MachineTrouble("it is in trouble")


def put(monkeypatch: pytest.MonkeyPatch, output: Loudspeaker) -> Loudspeaker:
    monkeypatch.setattr(trial, "SPEAKERS", {**SPEAKERS, "pipe": lambda: output})
    monkeypatch.setattr(trial, "TAKES_S", LONGEST_S)
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
    assert tried("pipe") == Trial(Outcome.WORKS, "plays (soft bell)", devices=("Garden", "Hall"))
    bell = soft_bell()
    heard = np.concatenate(output.heard)
    assert np.array_equal(heard[: len(bell)], bell) and not heard[len(bell) :].any()
    assert output.is_stopped


def test_an_output_that_asks_for_nothing_is_told_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(trial, "BELL_MS", 0)
    monkeypatch.setattr(trial, "soft_bell", lambda: np.ones((10, 2), np.float32))
    output = put(monkeypatch, Deaf())
    monkeypatch.setattr(trial, "TAKES_S", 0.0)
    idle = Trial(Outcome.IDLE, "opens, but takes no sound", "start the sound server again", ("Garden", "Hall"))
    assert tried("pipe") == idle
    assert output.is_stopped


def test_a_bell_in_a_server_without_a_loudspeaker_is_not_taken_for_one_that_is_heard(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    put(monkeypatch, Loudspeaker()).played = ServerSink("auto_null", "Dummy Output")
    found = tried("pipe")
    assert (found.outcome, found.what) == (Outcome.ABSENT, "plays into a sound server that has no loudspeaker")


def test_an_output_that_is_not_there_is_told_with_what_mends_it(monkeypatch: pytest.MonkeyPatch) -> None:
    put(monkeypatch, Absent())
    assert tried("pipe") == Trial(Outcome.ABSENT, "it is not there", "get it")
    put(monkeypatch, Troubled())
    assert tried("pipe") == Trial(Outcome.ABSENT, "it is in trouble")


def test_a_trial_in_a_process_of_its_own_answers_as_one_here(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(trials, "ANSWERS_S", LONGEST_S)
    for output in (Absent, Loudspeaker):
        put(monkeypatch, output())
        trial.main("pipe")
        echo = (sys.executable, "-c", f"print({capsys.readouterr().out!r})")
        put(monkeypatch, output())
        assert tried_apart(echo) == tried("pipe")


def test_a_library_that_ends_the_program_is_told_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(trials, "ANSWERS_S", LONGEST_S)
    ending = (sys.executable, "-c", "import os, signal; os.kill(os.getpid(), signal.SIGSEGV)")
    assert tried_apart(ending) == Trial(Outcome.BROKEN, "ends the program that uses it (exit code -11)")


def test_a_library_that_hangs_is_told_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(trials, "ANSWERS_S", 0.5)
    hanging = (sys.executable, "-c", "import time; time.sleep(600)")
    assert tried_apart(hanging) == Trial(Outcome.BROKEN, "hangs (nothing for 0.5 s)")


class Ear:
    """A microphone that hands on at once what the test has for it."""

    name = "recorder"
    alive = True

    def __init__(self, sound: bytes) -> None:
        self.sound = sound
        self.is_stopped = False

    def start(self, heard: Heard) -> None:
        for at in range(0, len(self.sound), 998):
            heard(self.sound[at : at + 998])

    def stop(self) -> None:
        self.is_stopped = True


class NoEar(Ear):
    def start(self, heard: Heard) -> None:
        raise NoDevice("it is not there", "get it")


#: Half a second of sound whose loudest sample is a hundredth of full scale: -40 dBFS.
HUNDREDTH = (328).to_bytes(2, "little", signed=True) + (-327).to_bytes(2, "little", signed=True)


@pytest.mark.parametrize(
    ("ear", "found"),
    [
        (Ear(HUNDREDTH * 5000), Trial(Outcome.WORKS, "hears (loudest -40 dBFS)")),
        (
            Ear(bytes(20_000)),
            Trial(Outcome.IDLE, "opens, but is silent", "switch the microphone on in the system's sound settings"),
        ),
        (Ear(b""), Trial(Outcome.IDLE, "opens, but hears nothing", "start the sound server again")),
        (NoEar(b""), Trial(Outcome.ABSENT, "it is not there", "get it")),
    ],
    ids=["voice", "silence", "nothing", "none"],
)
def test_a_microphone_is_told_by_what_it_hears(monkeypatch: pytest.MonkeyPatch, ear: Ear, found: Trial) -> None:
    monkeypatch.setattr(listening, "MICROPHONES", {"recorder": lambda rate_hz: ear})
    monkeypatch.setattr(listening, "WAITS_S", 0.0)
    assert listening.tried("recorder") == found
    assert ear.is_stopped is (found.outcome is not Outcome.ABSENT)


def test_the_ears_are_the_microphones_that_a_rehearsal_tries() -> None:
    assert tuple(MICROPHONES) == EARS


TRIALS = {
    "sound by miniaudio": Trial(Outcome.WORKS, "plays (soft bell)", devices=("Garden", "Hall")),
    "sound by pipe": Trial(Outcome.IDLE, "opens, but takes no sound", "start the sound server again"),
    "sound by sounddevice": Trial(Outcome.ABSENT, "sounddevice lacks PortAudio", "sudo apt install libportaudio2"),
    "sound by simpleaudio": Trial(Outcome.BROKEN, "ends the program that uses it (exit code -11)"),
    "listening by recorder": Trial(Outcome.WORKS, "hears (loudest -42 dBFS)"),
    "listening by miniaudio": Trial(Outcome.BROKEN, "hangs (nothing for 16 s)"),
    "listening by sounddevice": Trial(Outcome.ABSENT, "sounddevice lacks PortAudio", "sudo apt install libportaudio2"),
}


def test_the_report_has_a_line_for_every_way_and_none_of_them_is_needed(monkeypatch: pytest.MonkeyPatch) -> None:
    by_command = {child(*WAYS[what]): trial for what, trial in TRIALS.items()}
    monkeypatch.setattr(trials, "tried_apart", by_command.__getitem__)
    monkeypatch.setattr("guide.cli.doctor.PROBES", ())
    result = CliRunner().invoke(main, ["doctor"])
    assert result.exit_code == 0
    assert result.stdout == (
        "ok     sound by miniaudio        plays (soft bell)\n"
        "                                 for --device: Garden, Hall\n"
        "extra  sound by pipe             opens, but takes no sound\n"
        "                                 to mend it: start the sound server again\n"
        "extra  sound by sounddevice      sounddevice lacks PortAudio\n"
        "                                 to mend it: sudo apt install libportaudio2\n"
        "extra  sound by simpleaudio      ends the program that uses it (exit code -11)\n"
        "ok     listening by recorder     hears (loudest -42 dBFS)\n"
        "extra  listening by miniaudio    hangs (nothing for 16 s)\n"
        "extra  listening by sounddevice  sounddevice lacks PortAudio\n"
        "                                 to mend it: sudo apt install libportaudio2\n"
    )


def test_a_quiet_report_opens_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    tried_ways: list[object] = []
    monkeypatch.setattr(trials, "tried_apart", tried_ways.append)
    monkeypatch.setattr("guide.cli.doctor.PROBES", sys.modules["guide.cli.doctor"].PROBES[:1])
    result = CliRunner().invoke(main, ["doctor", "--quiet"])
    assert (result.exit_code, tried_ways) == (0, [])
    assert result.stdout.startswith("ok     Python  3.") and " by " not in result.stdout


def test_a_machine_whose_wheel_brings_no_libsndfile_is_told_what_to_install(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # What the library itself raises there.
    (tmp_path / "soundfile.py").write_text("raise OSError('sndfile library not found')\n", encoding="utf-8")
    monkeypatch.syspath_prepend(tmp_path)
    monkeypatch.delitem(sys.modules, "soundfile", raising=False)
    importlib.invalidate_caches()
    with pytest.raises(MachineTrouble) as caught:
        read_mono(Path(__file__), 1000)
    assert str(caught.value) == "soundfile lacks libsndfile (on Linux: sudo apt install libsndfile1)"
    doctor = sys.modules["guide.cli.doctor"]
    monkeypatch.setattr(doctor, "PROBES", [probe for probe in doctor.PROBES if probe.__name__ == "_soundfile"])
    result = CliRunner().invoke(main, ["doctor", "--quiet"])
    assert (result.exit_code, result.stdout) == (
        1,
        "lacks  soundfile  soundfile lacks libsndfile\n                  to mend it: sudo apt install libsndfile1\n",
    )
