"""What the shipped sounds measure is known before they are read, and is what would be measured now."""

from pathlib import Path

import numpy as np
import pytest

from guide.sequence.sound_names import PALETTE_NAMES
from guide.sound import palette, shipped_measures
from guide.sound.clip_measures import measure
from guide.sound.shipped_measures import measures_of
from guide.sound.sound_files import read_mono


@pytest.mark.parametrize("name", sorted(PALETTE_NAMES))
def test_what_is_kept_of_a_sound_is_what_it_measures(name: str) -> None:
    samples = read_mono(palette.shipped(name), palette.LONGEST_MS)
    kept, found = measures_of(samples), measure(samples)
    assert kept is not None, "python -m guide.sound.shipped_measures_source"
    # Processors differ in the last bits of a sum.
    np.testing.assert_allclose(kept.mean_squares, found.mean_squares, rtol=1e-4, atol=1e-12)
    np.testing.assert_allclose(kept.peaks, found.peaks, rtol=1e-4, atol=1e-9)


def test_a_sound_with_one_other_sample_is_another_sound() -> None:
    samples = read_mono(palette.shipped("tick"), palette.LONGEST_MS)
    samples[100] += np.float32(1 / 32768)
    assert measures_of(samples) is None


def test_without_what_is_kept_a_sound_is_measured(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = palette.load(["tick"], tmp_path).measures("tick")
    monkeypatch.setattr(shipped_measures, "PREBUILT", tmp_path / "none.json")
    shipped_measures._prebuilt.cache_clear()
    again = palette.load(["tick"], tmp_path).measures("tick")
    shipped_measures._prebuilt.cache_clear()
    np.testing.assert_allclose(again.peaks, before.peaks, rtol=1e-4, atol=1e-9)
