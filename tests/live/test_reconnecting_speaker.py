"""The loudspeaker kept going: opened, lost, opened again, and never waited for."""

import threading
from collections.abc import Callable

import numpy as np
import pytest
from pressing import LONGEST_S

from guide.live.speakers import reconnecting as module
from guide.live.speakers.reconnecting import ReconnectingSpeaker
from guide.problem import MachineTrouble


class Device:
    """Opens when it may, and hangs while `stuck`."""

    name = "test"
    latency_ms = 0

    def __init__(self) -> None:
        self.answers = threading.Event()
        self.answers.set()
        self.alive = False
        self.pull: Callable[[int], np.ndarray] | None = None
        self.stopped = 0
        self.there = True

    def open(self, pull: Callable[[int], np.ndarray], asked: str | None) -> "Device":
        self.pull = pull
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
