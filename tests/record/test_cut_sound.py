"""The sound of cuts: exactly what lies there, however long the recording is, and kept once."""

from pathlib import Path

import numpy as np
import pytest
import soundfile
from numpy.typing import NDArray
from readings_heard import as_lines

from guide.problem import UnusableChoice
from guide.record.cut_sound import kept_anew, sounds_of
from guide.units import RATE_HZ
from guide.voice.takes.store import Takes

LINE = as_lines(["Let go."])[0]


def noise(seconds: float, rate_hz: int = RATE_HZ) -> NDArray[np.float32]:
    return (np.random.default_rng(1).standard_normal(round(seconds * rate_hz)) * 0.1).astype(np.float32)


@pytest.mark.parametrize("suffix", ["wav", "flac"])
def test_spans_are_cut_to_the_frame_across_pieces(suffix: str, tmp_path: Path) -> None:
    path, sound = tmp_path / f"reading.{suffix}", noise(25)
    soundfile.write(path, sound, RATE_HZ, "PCM_24")
    spans_ms = [(0, 500), (9_990, 10_010), (10_010, 12_000), (19_000, 24_999)]
    for (start_ms, end_ms), heard in zip(spans_ms, sounds_of(path, spans_ms), strict=True):
        assert np.allclose(heard, sound[start_ms * 48 : end_ms * 48], 0, 1e-6), (start_ms, end_ms)


def test_an_mp3_is_cut_as_it_is_read_at_once(tmp_path: Path) -> None:
    """Of a pure tone, frames lie in earlier ones, which a piece that is sought anew does not have."""
    path = tmp_path / "reading.mp3"
    soundfile.write(path, 0.3 * np.sin(2 * np.pi * 500 * np.arange(25 * RATE_HZ) / RATE_HZ), RATE_HZ)
    (heard,) = sounds_of(path, [(5_000, 24_000)])
    assert np.allclose(heard, soundfile.read(path, dtype="float32")[0][5_000 * 48 : 24_000 * 48], 0, 1e-4)


def test_another_rate_and_two_channels_are_brought_to_ours(tmp_path: Path) -> None:
    path, at_ms = tmp_path / "reading.wav", 3_000
    sound = np.zeros((44_100 * 5, 2), np.float32)
    sound[44_100 * at_ms // 1000] = 0.5
    soundfile.write(path, sound, 44_100)
    (heard,) = sounds_of(path, [(2_500, 3_500)])
    assert len(heard) == RATE_HZ
    assert abs(int(np.argmax(heard)) - RATE_HZ // 2) <= 1


def test_a_recording_that_breaks_off_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "reading.flac"
    soundfile.write(path, noise(25), RATE_HZ)
    path.write_bytes(path.read_bytes()[:-200_000])
    with pytest.raises(UnusableChoice, match=r"reading.flac: its sound breaks off"):
        list(sounds_of(path, [(0, 24_000)]))


def test_the_same_recording_is_kept_once_and_another_beside_it(tmp_path: Path) -> None:
    for _ in range(2):
        kept_anew(Takes.in_folder(tmp_path), LINE, noise(1))
    assert len([*(tmp_path / "takes").iterdir()]) == 1
    take = kept_anew(Takes.in_folder(tmp_path), LINE, noise(1) * 0.9)
    assert take is not None
    assert take.number == 2
    assert len([*(tmp_path / "takes").iterdir()]) == 2
