"""The ways to a microphone without one: what is tried, what is said when there is none, and what a gap becomes."""

import os
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from pressing import LONGEST_S

from guide.live import microphones
from guide.live.device_errors import NoDevice
from guide.live.microphones import MICROPHONES, opened, reconnecting, recorder_microphone
from guide.live.microphones.base import RATE_HZ, Heard, Microphone
from guide.live.microphones.reconnecting import RETRY_S, STALLED_S, ReconnectingMicrophone
from guide.live.microphones.recorder_microphone import RecorderMicrophone
from guide.problem import MachineTrouble, UnusableChoice


def unheard(sound: bytes) -> None:
    raise AssertionError("nothing is to be heard")


def test_every_microphone_goes_by_its_name() -> None:
    assert all(made(RATE_HZ).name == name for name, made in MICROPHONES.items())
    assert list(MICROPHONES) == ["recorder", "miniaudio", "sounddevice"]


def test_an_unknown_microphone_is_told_with_those_there_are() -> None:
    told = r"there is no microphone `ear` \(there are recorder, miniaudio, sounddevice\)"
    with pytest.raises(UnusableChoice, match=told):
        opened(unheard, "ear")


def test_no_microphone_at_all_is_told_with_every_way_tried_and_what_to_do(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in MICROPHONES:

        def none(self: object, heard: object, name: str = name) -> None:
            raise NoDevice(f"{name} is not there", f"get {name}")

        monkeypatch.setattr(MICROPHONES[name], "start", none)
    with pytest.raises(MachineTrouble) as caught:
        opened(unheard)
    assert str(caught.value) == (
        "nothing to listen with: no microphone opens\n"
        "  recorder is not there (get recorder)\n"
        "  miniaudio is not there (get miniaudio)\n"
        "  sounddevice is not there (get sounddevice)\n"
        "  to press a key at each change instead: leave out --listen"
    )
    with pytest.raises(MachineTrouble) as caught:
        opened(unheard, "recorder")
    assert str(caught.value) == (
        "nothing to listen with: recorder is not there (get recorder); "
        "to press a key at each change instead: leave out --listen"
    )


@pytest.mark.parametrize(
    ("name", "sentence"),
    [
        ("miniaudio", "miniaudio is not installed (python -m pip install miniaudio)"),
        ("sounddevice", "sounddevice is not installed (python -m pip install 'practice-guide[sounddevice]')"),
    ],
)
def test_a_library_that_is_missing_is_told_with_the_line_that_brings_it(
    name: str, sentence: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, name, None)
    with pytest.raises(NoDevice) as caught:
        MICROPHONES[name](RATE_HZ).start(unheard)
    assert str(caught.value) == sentence


def test_a_system_without_a_recorder_is_told_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(recorder_microphone.shutil, "which", lambda program: None)
    with pytest.raises(NoDevice, match=r"none of parec, pw-cat, arecord is here \(sudo apt install"):
        RecorderMicrophone().start(unheard)


@pytest.fixture
def recorders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of recorders that stand in for the system's; `sh` is in the path too."""
    shell = next(folder for folder in os.environ["PATH"].split(os.pathsep) if (Path(folder) / "cat").exists())
    monkeypatch.setenv("PATH", f"{tmp_path}{os.pathsep}{shell}")
    return tmp_path


def made(folder: Path, name: str, script: str) -> None:
    (folder / name).write_text(f"#!/bin/sh\n{script}\n", encoding="utf-8")
    (folder / name).chmod(0o755)


def test_a_recorder_that_ends_or_hears_nothing_is_passed_over(recorders: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    made(recorders, "parec", "echo Connection refused >&2; exit 1")
    made(recorders, "pw-cat", "exec sleep 600")
    made(recorders, "arecord", "exit 1")
    heard: list[bytes] = []
    microphone = RecorderMicrophone()
    monkeypatch.setattr(recorder_microphone, "PATIENCE_S", 0.3)
    with pytest.raises(NoDevice):
        microphone.start(heard.append)
    assert not heard and not microphone.alive
    made(recorders, "pw-cat", "exit 1")
    made(recorders, "arecord", "printf abcd; exec sleep 600")
    monkeypatch.setattr(recorder_microphone, "PATIENCE_S", LONGEST_S)
    microphone.start(heard.append)
    assert microphone.alive and b"".join(heard) == b"abcd"
    microphone.stop()
    assert not microphone.alive
    microphone.stop()


def test_recorders_that_all_end_are_told_by_their_names(recorders: Path) -> None:
    for name in recorder_microphone.RECORDERS:
        made(recorders, name, "exit 1")
    with pytest.raises(NoDevice) as caught:
        RecorderMicrophone().start(unheard)
    assert str(caught.value) == (
        "the system's recorder (parec, pw-cat, arecord) finds no microphone (connect a microphone and allow its use)"
    )


def test_a_recorder_that_ends_later_is_alive_no_more(recorders: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(recorder_microphone, "PATIENCE_S", LONGEST_S)
    made(recorders, "parec", "printf abcd; read line < fifo")
    os.mkfifo(recorders / "fifo")
    before = Path.cwd()
    os.chdir(recorders)
    try:
        microphone = RecorderMicrophone()
        microphone.start(lambda sound: None)
        assert microphone.alive
        (recorders / "fifo").write_text("end\n", encoding="utf-8")
    finally:
        os.chdir(before)
    assert microphone._recorder is not None
    microphone._recorder.wait(LONGEST_S)
    assert not microphone.alive
    microphone.stop()


class Given:
    """A microphone that hears what a test gives it, and goes when the test says so."""

    name = "given"
    opens = True
    last: "Given | None" = None
    started = 0

    def __init__(self) -> None:
        self.alive = False

    def start(self, heard: Heard) -> None:
        if not Given.opens:
            raise NoDevice("gone", "plug it in")
        self.alive, self.hear = True, heard
        Given.last, Given.started = self, Given.started + 1

    def stop(self) -> None:
        self.alive = False


@pytest.fixture
def given(monkeypatch: pytest.MonkeyPatch) -> Iterator[Callable[[float], None]]:
    """A clock that stands still, moved on by the test; the microphone is `Given`."""
    now_s = 100.0

    def later(by_s: float) -> None:
        nonlocal now_s
        now_s += by_s

    def made(rate_hz: int) -> Microphone:
        return Given()

    monkeypatch.setattr(reconnecting.steady_clock, "now_s", lambda: now_s)
    monkeypatch.setattr(microphones, "MICROPHONES", {"given": made})
    monkeypatch.setattr(Given, "opens", True)
    monkeypatch.setattr(Given, "started", 0)
    yield later


def kept_open(heard: Heard) -> ReconnectingMicrophone:
    one = ReconnectingMicrophone(heard)
    one.open()
    return one


def reopened(one: ReconnectingMicrophone) -> None:
    """Look after it, and wait until it has tried."""
    one.keep()
    # Not looked for among all threads: one at its end is on that list no more, and alive yet.
    if one._opening is not None:
        one._opening.join(LONGEST_S)


def test_what_is_heard_is_handed_on_as_it_comes(given: Callable[[float], None]) -> None:
    heard: list[bytes] = []
    one = kept_open(heard.append)
    assert Given.last is not None
    for _ in range(3):
        given(0.05)
        Given.last.hear(b"\1\0" * (RATE_HZ // 20))
    assert b"".join(heard) == b"\1\0" * (3 * RATE_HZ // 20)
    assert not one.is_lost
    one.keep()
    assert Given.started == 1


def test_a_microphone_that_goes_is_opened_again_and_silence_stands_for_what_was_missed(
    given: Callable[[float], None],
) -> None:
    heard: list[bytes] = []
    one = kept_open(heard.append)
    assert Given.last is not None
    given(0.1)
    Given.last.hear(b"\1\0" * (RATE_HZ // 10))
    Given.last.alive, Given.opens = False, False
    given(STALLED_S + 0.1)
    assert one.is_lost
    reopened(one)
    assert one.is_lost and Given.started == 1
    Given.opens = True
    given(RETRY_S + 0.1)
    reopened(one)
    assert Given.started == 2
    given(0.1)
    Given.last.hear(b"\2\0" * (RATE_HZ // 10))
    assert not one.is_lost
    gap = round((STALLED_S + 0.1 + RETRY_S + 0.1) * RATE_HZ)
    assert b"".join(heard) == b"\1\0" * (RATE_HZ // 10) + bytes(2 * gap) + b"\2\0" * (RATE_HZ // 10)


def test_a_microphone_that_stalls_without_a_word_is_opened_again(given: Callable[[float], None]) -> None:
    one = kept_open(lambda sound: None)
    given(STALLED_S - 0.1)
    reopened(one)
    assert Given.started == 1
    given(0.2)
    reopened(one)
    assert Given.started == 2


def test_after_a_long_sleep_no_more_than_a_minute_is_handed_on_at_once(given: Callable[[float], None]) -> None:
    heard: list[int] = []
    one = kept_open(lambda sound: heard.append(len(sound) // 2))
    assert Given.last is not None and not one.is_lost
    Given.last.hear(b"\1\0")
    given(3 * 3600)
    Given.last.hear(b"\1\0")
    assert max(heard) <= 60 * RATE_HZ
    assert sum(heard) == 3 * 3600 * RATE_HZ + 1


def test_after_the_end_nothing_is_handed_on_and_no_microphone_is_left_open(given: Callable[[float], None]) -> None:
    heard: list[bytes] = []
    one = kept_open(heard.append)
    assert Given.last is not None
    one.stop()
    assert not Given.last.alive
    Given.last.hear(b"\1\0")
    one._open_again()
    assert not heard and not Given.last.alive and Given.started == 2
