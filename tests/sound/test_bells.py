"""The shipped sounds: remade byte for byte, and what they claim to be by ear."""

import io
import wave
from pathlib import Path

import numpy as np
import pytest

from guide.problem import UnusableChoice
from guide.sequence.sound_names import DEFAULT_SOUNDS, PALETTE, PALETTE_NAMES
from guide.sound import bells
from guide.sound.palette import Palette
from guide.units import RATE_HZ

SHIPPED = Path(__file__).parents[2] / "sounds"

#: The most that the mathematics libraries of two machines may part, in steps of 16 bits. A sine or an exponential is
#: off by a few units in the last place (1e-16), times 32767, times ten partials.
LIBRARIES_PART = 1e-8


def test_the_shipped_files_are_what_the_command_makes(tmp_path: Path) -> None:
    for path in bells.write(tmp_path / "new" / "folder"):
        assert path.read_bytes() == (SHIPPED / path.name).read_bytes(), path.name
    assert {path.name for path in SHIPPED.glob("*.wav")} == {path.name for path in (tmp_path / "new/folder").iterdir()}


@pytest.mark.parametrize("name", sorted(PALETTE_NAMES))
def test_no_other_mathematics_library_could_round_a_sample_the_other_way(name: str) -> None:
    exact = bells.steps(name)
    assert np.abs(exact - np.floor(exact) - 0.5).min() > LIBRARIES_PART


def test_names_recipes_and_roles_agree() -> None:
    assert set(bells.RECIPES) == set(PALETTE) == PALETTE_NAMES
    assert set(DEFAULT_SOUNDS.values()) <= PALETTE_NAMES


def test_the_folder_stays_small() -> None:
    assert sum(path.stat().st_size for path in SHIPPED.iterdir()) < 3_000_000


@pytest.mark.parametrize("name", sorted(PALETTE_NAMES))
def test_every_sound_says_how_it_was_made(name: str) -> None:
    assert f"`{bells.file_name(name)}`" in (SHIPPED / "README.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("name", sorted(PALETTE_NAMES))
def test_a_sound_is_16_bit_mono_and_as_long_as_its_recipe(name: str) -> None:
    with wave.open(io.BytesIO(bells.wav_bytes(name))) as file:
        assert (file.getnchannels(), file.getsampwidth(), file.getframerate()) == (1, 2, RATE_HZ)
        assert file.getnframes() == bells.RECIPES[name].length_ms * 48


@pytest.mark.parametrize("name", sorted(PALETTE_NAMES))
def test_a_sound_begins_at_once_and_dies_away_to_nothing(name: str) -> None:
    sound = np.abs(bells.pcm(name).astype(float)) / 32767
    assert sound.max() == pytest.approx(0.7, abs=1e-4)
    assert np.flatnonzero(sound > 0.05)[0] < 0.012 * RATE_HZ
    assert sound[-1] < 10 ** (-60 / 20)
    tail = sound[-sound.size // 20 :]
    assert tail.max() < 0.7 * 10 ** (-48 / 20)


def loudest_hz(sound: np.ndarray, start_ms: int, length_ms: int = 120) -> float:
    """The frequency of the highest point of the spectrum over a short time."""
    piece = sound[start_ms * 48 : (start_ms + length_ms) * 48] * np.hanning(length_ms * 48)
    spectrum = np.abs(np.fft.rfft(piece, 1 << 16))
    return float(np.argmax(spectrum)) * RATE_HZ / (1 << 16)


def new_sound_hz(sound: np.ndarray, start_ms: int, length_ms: int = 120) -> float:
    """The frequency that has grown most since the time just before."""
    window = np.hanning(length_ms * 48)
    before, after = (
        np.abs(np.fft.rfft(sound[at * 48 : (at + length_ms) * 48] * window, 1 << 16))
        for at in (start_ms - length_ms - 20, start_ms)
    )
    return float(np.argmax(after - before)) * RATE_HZ / (1 << 16)


def test_the_inhale_rises_and_the_exhale_falls() -> None:
    """The note that the ear follows: the first, then the one struck after it, a fifth apart (3 : 2)."""
    for name, ratio in (("rising", 3 / 2), ("falling", 2 / 3)):
        sound = bells.pcm(name).astype(float)
        first, second = loudest_hz(sound, 20), new_sound_hz(sound, 290)
        assert second / first == pytest.approx(ratio, rel=0.02), name


def test_a_bowl_rings_at_its_modes_and_not_in_harmony() -> None:
    """The lowest three partials lie near 1 : 2.7 : 4.8 (Inácio, Henrique & Antunes 2006, from memory)."""
    spectrum = np.abs(np.fft.rfft(bells.pcm("deep bowl")[: 3 * RATE_HZ] * np.hanning(3 * RATE_HZ)))
    peaks = []
    for _ in range(3):
        peaks.append(int(np.argmax(spectrum)) / 3)
        spectrum[int(peaks[-1] * 3) - 60 : int(peaks[-1] * 3) + 60] = 0
    low, middle, high = sorted(peaks)
    assert middle / low == pytest.approx(2.7, abs=0.05)
    assert high / low == pytest.approx(4.8, abs=0.1)


def test_a_mode_beats_as_often_as_its_recipe_says() -> None:
    """The lowest mode alone: 0.7 beats a second."""
    at_s = np.arange(9 * RATE_HZ) / RATE_HZ
    sound = bells.pcm("deep bowl")[: at_s.size] * np.exp(-2j * np.pi * 138.0 * at_s)
    slow = np.abs(np.add.reduceat(sound, np.arange(0, at_s.size, RATE_HZ // 20)))
    flat = slow * np.exp(6.908 / 10.0 * np.arange(slow.size) / 20)
    quiet = [i for i in range(1, flat.size - 1) if flat[i] < 0.3 * flat.max() and flat[i] == flat[i - 5 : i + 6].min()]
    assert np.diff(quiet).mean() / 20 == pytest.approx(1 / 0.7, rel=0.1)


def test_the_sounds_come_out_at_one_loudness(shipped_palette: Palette) -> None:
    from guide.sound.clip_measures import loudest_lufs, measure

    for name in PALETTE_NAMES - {"tick"}:
        assert loudest_lufs(measure(shipped_palette.samples(name))) == pytest.approx(-20.0, abs=0.05)
    assert shipped_palette.measures("tick").true_peak == pytest.approx(10 ** (-6 / 20), abs=0.01)


def test_a_sound_of_hers_is_not_written_over(tmp_path: Path) -> None:
    bells.write(tmp_path)
    hers = tmp_path / bells.file_name("deep bowl")
    hers.write_bytes(b"hers")
    with pytest.raises(UnusableChoice, match="it is not this sound"):
        bells.write(tmp_path)
    assert hers.read_bytes() == b"hers"
