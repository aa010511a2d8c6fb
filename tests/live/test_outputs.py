"""The ways to a loudspeaker that need none: what is tried, and what is said when there is nothing."""

import threading

import numpy as np
import pytest

from guide.live.outputs import OUTPUTS, TRIED, opened, pipe
from guide.live.outputs.pipe import PipeOutput, as_16_bit
from guide.live.outputs.silent import PIECE_FRAMES, SilentOutput
from guide.problem import MachineTrouble, UnusableChoice


def silence(frames: int) -> np.ndarray:
    return np.zeros((frames, 2), np.float32)


def test_every_output_goes_by_its_name_and_silence_is_only_had_by_asking() -> None:
    assert all(made().name == name for name, made in OUTPUTS.items())
    assert set(TRIED) == set(OUTPUTS) - {"silent"}


def test_an_unknown_output_is_told_with_those_there_are() -> None:
    with pytest.raises(UnusableChoice, match=r"there is no output `loud` \(there are miniaudio, pipe, silent\)"):
        opened(silence, "loud")


def test_no_sound_at_all_is_told_with_every_way_tried(monkeypatch: pytest.MonkeyPatch) -> None:
    def none(self: object, pull: object) -> None:
        raise MachineTrouble("none here")

    for made in (OUTPUTS["miniaudio"], OUTPUTS["pipe"]):
        monkeypatch.setattr(made, "start", none)
    with pytest.raises(MachineTrouble, match="no sound: none here; none here"):
        opened(silence)


def test_a_system_without_a_player_is_told_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pipe.shutil, "which", lambda program: None)
    with pytest.raises(MachineTrouble, match=r"none of paplay, pw-cat, aplay is here \(sudo apt install"):
        PipeOutput().start(silence)


def test_the_silent_output_pulls_until_it_is_stopped() -> None:
    pulled = threading.Event()

    def pull(frames: int) -> np.ndarray:
        assert frames == PIECE_FRAMES
        pulled.set()
        return silence(frames)

    output = SilentOutput()
    output.start(pull)
    assert pulled.wait(10) and output.alive
    output.stop()
    assert not output.alive


def test_sound_becomes_numbers_of_sixteen_bits() -> None:
    assert as_16_bit(np.array([[0.0, 1.0], [-1.0, 2.0]], np.float32)).tolist() == [[0, 32767], [-32767, 32767]]
