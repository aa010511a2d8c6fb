"""The meter beside another one: ffmpeg's ebur128 on the same sound."""

import os
import re
import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest
import soundfile
from sound_samples import led_class

from guide.sound.loudness_meter import Meter
from guide.sound.mixer import centre, prepare
from guide.sound.palette import Palette
from guide.units import RATE_HZ


def by_ffmpeg(path: Path) -> tuple[float, float]:
    """Integrated loudness and true peak, as ffmpeg's ebur128 filter reads them."""
    if os.environ.get("CI") is None and shutil.which("ffmpeg") is None:
        pytest.skip("ffmpeg is not installed")
    told = subprocess.run(
        ["ffmpeg", "-nostats", "-i", str(path), "-filter_complex", "ebur128=peak=true", "-f", "null", "-"],
        capture_output=True,
        text=True,
        check=True,
        timeout=120,
    ).stderr
    summary = told[told.rindex("Summary:") :]
    integrated = re.search(r"I:\s+(-?[\d.]+) LUFS", summary)
    peak = re.search(r"Peak:\s+(-?[\d.]+) dBFS", summary)
    assert integrated and peak, told
    return float(integrated[1]), float(peak[1])


@pytest.mark.real
@pytest.mark.parametrize("target", [-23.0, -18.0, -14.0])
def test_a_class_reads_the_same_as_by_ffmpeg(tmp_path: Path, shipped_palette: Palette, target: float) -> None:
    """Within 0.2 LU, and a true peak within the 0.3 dB that EBU Tech 3343 gives two meters."""
    timeline, clips = led_class(5000, 120_000)
    mix = prepare(timeline, clips, shipped_palette, target)
    sound = centre(mix, 0, mix.length_frames)
    soundfile.write(tmp_path / "class.wav", np.stack([sound, sound], axis=1), RATE_HZ, subtype="FLOAT")
    meter = Meter(RATE_HZ)
    meter.feed(sound)
    integrated, peak = by_ffmpeg(tmp_path / "class.wav")
    assert meter.integrated == pytest.approx(integrated, abs=0.2)
    assert meter.true_peak == pytest.approx(peak, abs=0.3)
    assert integrated == pytest.approx(target, abs=0.5)
    assert peak <= -1.0


@pytest.mark.real
def test_a_sound_unlike_in_its_channels_reads_the_same_as_by_ffmpeg(tmp_path: Path) -> None:
    draw = np.random.default_rng(8)
    sound = (draw.normal(0, 0.08, (RATE_HZ * 20, 2)) * np.array([1.0, 0.3])).astype(np.float32)
    sound[RATE_HZ * 5 : RATE_HZ * 9] *= 0.01
    soundfile.write(tmp_path / "noise.wav", sound, RATE_HZ, subtype="FLOAT")
    meter = Meter(RATE_HZ)
    meter.feed(sound)
    integrated, peak = by_ffmpeg(tmp_path / "noise.wav")
    assert meter.integrated == pytest.approx(integrated, abs=0.1)
    assert meter.true_peak == pytest.approx(peak, abs=0.3)
