"""The loudspeaker kept going: opened, lost, opened again, and never waited for."""

import threading
from collections.abc import Callable

import numpy as np
import pytest
from pressing import LONGEST_S

from guide.live.speakers import reconnecting as module
from guide.live.speakers.base import Wanted
from guide.live.speakers.reconnecting import ReconnectingSpeaker
from guide.live.speakers.sound_server import ServerSink
from guide.problem import MachineTrouble


class Device:
    """Opens when it may, and hangs while `stuck`."""

    name = "test"
    latency_ms = 0
    widens = True

    def sink(self) -> ServerSink | None:
        self.asked.set()
        return self.played

    def __init__(self) -> None:
        self.played: ServerSink | None = None
        self.asked = threading.Event()
        self.wanted = Wanted()
        self.answers = threading.Event()
        self.answers.set()
        self.alive = False
        self.pull: Callable[[int], np.ndarray] | None = None
        self.stopped = 0
        self.there = True

    def open(self, pull: Callable[[int], np.ndarray], wanted: Wanted) -> "Device":
        self.pull, self.wanted = pull, wanted
        self.answers.wait(LONGEST_S)
        if not self.there:
            raise MachineTrouble("no device")
        self.alive = True
        return self

    def stop(self) -> None:
        self.alive = False
        self.stopped += 1


@pytest.fixture
def device(monkeypatch: pytest.MonkeyPatch) -> Device:
    made = Device()
    monkeypatch.setattr(module, "opened", made.open)
    monkeypatch.setattr(module, "RETRY_S", 0.0)
    return made


def ones(frames: int) -> np.ndarray:
    return np.ones((frames, 2), np.float32)


def tried(sounding: ReconnectingSpeaker) -> None:
    """Look after the output until one try to open it is over."""
    sounding.keep()
    if sounding._opening is not None:
        sounding._opening._thread.join(LONGEST_S)
        sounding.keep()


def test_until_there_is_a_class_it_plays_silence(device: Device) -> None:
    sounding = ReconnectingSpeaker()
    sounding.open()
    assert device.pull is not None
    assert not device.pull(3).any()
    sounding.source = ones
    assert device.pull(3).all()


def test_no_device_at_the_start_is_told(device: Device) -> None:
    device.there = False
    with pytest.raises(MachineTrouble, match="no device"):
        ReconnectingSpeaker().open()


def test_one_that_goes_is_closed_and_opened_again(device: Device) -> None:
    sounding = ReconnectingSpeaker()
    sounding.open()
    device.alive, device.there = False, False
    tried(sounding)
    assert sounding.is_lost
    device.there = True
    tried(sounding)
    assert not sounding.is_lost and device.alive


def test_one_that_stalls_without_a_word_is_opened_again(device: Device, monkeypatch: pytest.MonkeyPatch) -> None:
    sounding = ReconnectingSpeaker()
    sounding.open()
    now_s = module.time.monotonic() + module.WAKES_S + module.STALLED_S + 1
    monkeypatch.setattr(module.time, "monotonic", lambda: now_s)
    sounding.keep()
    assert sounding.is_lost and sounding._opening is not None


def test_a_sound_server_that_never_answers_is_told_of_at_the_start(
    device: Device, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "HANGS_S", 0.05)
    device.answers.clear()
    with pytest.raises(MachineTrouble, match=r"the sound server has not answered for 0.05 s \(restart it\)"):
        ReconnectingSpeaker().open()
    device.answers.set()


def test_one_that_hangs_is_left_alone_and_pulls_nothing_when_it_wakes(
    device: Device, monkeypatch: pytest.MonkeyPatch
) -> None:
    sounding = ReconnectingSpeaker()
    sounding.open()
    sounding.source = ones
    device.alive = False
    device.answers.clear()
    sounding.keep()
    hung = sounding._opening
    assert hung is not None
    monkeypatch.setattr(module, "HANGS_S", -1.0)
    sounding.keep()
    assert sounding._opening is None and sounding.is_lost
    assert device.pull is not None and not device.pull(3).any()
    device.answers.set()
    hung._thread.join(LONGEST_S)
    assert not device.alive and device.stopped >= 1


USB, BUILT_IN, DUMMY = (
    ServerSink("usb", "USB Audio"),
    ServerSink("pci", "Built-in Audio"),
    ServerSink("auto_null", "Dummy Output"),
)


def told(sounding: ReconnectingSpeaker) -> str:
    """What is told first from now on."""
    said = ""
    while not said:
        said = sounding.keep()
    return said


def played_at(device: Device, place: ServerSink, sounding: ReconnectingSpeaker) -> None:
    """Open it at a place, and see that this is known."""
    device.played = place
    sounding.open()
    assert device.asked.wait(LONGEST_S)
    while sounding._watch is None or sounding._watch.first is None:
        pass


@pytest.fixture
def watched(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "LOOKS_S", 0.0)
    monkeypatch.setattr(module, "STALLED_S", 10 * LONGEST_S)


@pytest.mark.usefixtures("watched")
def test_sound_that_is_moved_to_where_nobody_hears_it_is_lost_and_comes_back(device: Device) -> None:
    sounding = ReconnectingSpeaker()
    played_at(device, USB, sounding)
    assert sounding.keep() == "" and not sounding.is_lost
    device.played, device.there = DUMMY, False
    assert told(sounding) == "the loudspeaker is gone"
    assert sounding.is_lost
    tried(sounding)
    assert sounding.is_lost
    device.played, device.there = USB, True
    tried(sounding)
    assert not sounding.is_lost and device.alive


@pytest.mark.usefixtures("watched")
def test_sound_that_goes_to_another_loudspeaker_goes_on_and_says_so(device: Device) -> None:
    sounding = ReconnectingSpeaker()
    played_at(device, USB, sounding)
    device.played = BUILT_IN
    assert told(sounding) == "the sound goes to Built-in Audio now"
    assert not sounding.is_lost and sounding.keep() == ""


@pytest.mark.usefixtures("watched")
def test_who_has_named_a_loudspeaker_waits_for_that_one(device: Device) -> None:
    sounding = ReconnectingSpeaker(Wanted(device="usb"))
    played_at(device, USB, sounding)
    device.played = BUILT_IN
    assert told(sounding) == "the loudspeaker is gone"
    assert sounding.is_lost


def test_one_that_begins_to_take_everything_at_once_takes_two_seconds_of_the_class_at_most(device: Device) -> None:
    sounding = ReconnectingSpeaker()
    sounding.open()
    given = 0

    def counted(frames: int) -> np.ndarray:
        nonlocal given
        given += frames
        return ones(frames)

    sounding.source = counted
    assert device.pull is not None
    for _ in range(100):
        device.pull(4800)
    assert given < 2 * 48_000
    assert told(sounding) == "the loudspeaker takes the sound faster than it can be heard"
    assert sounding.is_lost


def dried(sounding: ReconnectingSpeaker, seconds: float) -> None:
    """As if there had been nothing to play for so long."""
    sounding._timing.dry_s = seconds


def test_one_that_runs_dry_is_given_more_ahead_and_says_so_until_that_is_all_there_is(device: Device) -> None:
    sounding = ReconnectingSpeaker()
    sounding.open()
    said = []
    for _ in range(3):
        dried(sounding, 4.0)
        said.append(sounding.keep())
        assert not sounding.is_lost
        tried(sounding)
    assert said == [
        "the sound broke off: 150 ms are kept ahead from now on (--buffer 150)",
        "the sound broke off: 400 ms are kept ahead from now on (--buffer 400)",
        "the sound breaks off: this machine is too busy (close other programs)",
    ]
    assert device.wanted == Wanted(buffer_ms=400) and device.stopped == 2
    dried(sounding, 9.0)
    assert sounding.keep() == ""


def test_a_device_that_runs_dry_little_by_little_is_told_of_once_that_is_much(device: Device) -> None:
    sounding = ReconnectingSpeaker(Wanted(buffer_ms=400))
    sounding.open()
    said = []
    for seconds in (0.1, 1.0, 2.9, 3.1, 5.0):
        dried(sounding, seconds)
        said.append(sounding.keep())
    assert said == ["", "", "", "the sound breaks off: this machine is too busy (close other programs)", ""]


def test_it_is_given_more_in_a_silence_so_that_no_word_is_cut(device: Device, monkeypatch: pytest.MonkeyPatch) -> None:
    sounding = ReconnectingSpeaker()
    sounding.open()
    sounding.source = ones
    assert device.pull is not None
    device.pull(480)
    device.latency_ms = 1000 * round(LONGEST_S)
    dried(sounding, 1.0)
    assert sounding.keep() == "" and device.stopped == 0
    monkeypatch.setattr(module, "WAITS_S", 0.0)
    assert sounding.keep().startswith("the sound broke off: 150 ms")
