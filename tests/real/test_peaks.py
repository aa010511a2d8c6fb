"""How high the peaks of a track are when it is decoded, in every format that loses something, from quiet to loud."""

import re
import subprocess
from dataclasses import replace
from itertools import product
from pathlib import Path

import numpy as np
import pytest

from guide.export.audio import AUDIO, opus
from guide.export.track import write_track
from guide.ready.load import load_text
from guide.ready.make_ready import make_ready
from guide.sound.loudness_meter import Meter
from guide.units import RATE_HZ

pytestmark = pytest.mark.real

#: Words whose peaks Opus raises, and Vorbis.
CLASS = """\
title: Loud words
bells: {class: none}
class:
  - say: Push your chair back a little, and take your hands off the keys.
  - say: Stop at any pain or dizziness. Smaller is always fine.
  - say: Sit near the front of the chair, both feet flat on the floor.
  - say: Let your hands lie on your thighs.
  - say: The rising chime is in, the falling one is out.
  - say: Light and low, so that nobody beside you would hear it.
"""

LOSSY = {suffix: audio_format for suffix, audio_format in AUDIO.items() if audio_format.overshoot_db}


def decoded(path: Path) -> Meter:
    """The sound as FFmpeg decodes it, measured; not clipped at full scale."""
    command = ["ffmpeg", "-v", "error", "-i", str(path), "-f", "f32le", "-af", "pan=mono|c0=c0", "-"]
    meter = Meter(RATE_HZ)
    meter.feed(np.frombuffer(subprocess.run(command, capture_output=True, check=True).stdout, np.float32))
    return meter


def test_every_format_that_loses_something_is_known() -> None:
    assert set(LOSSY) == set(AUDIO) - {".wav", ".flac"}


@pytest.mark.parametrize(("name", "loudness"), [*product(LOSSY, (-14.0, -18.0, -30.0)), (".opus, without PyAV", -14.0)])
def test_no_decoded_peak_is_above_minus_one_or_above_what_was_said(name: str, loudness: float, tmp_path: Path) -> None:
    """Source: EBU Tech 3343, Appendix 2: at most -1 dBTP, where the listener hears it."""
    suffix, _, other_way = name.partition(",")
    audio_format = replace(LOSSY[suffix], start=opus.SndfileOpusEncoder) if other_way else LOSSY[suffix]
    path = tmp_path / f"loud{suffix}"
    path.touch()
    ready = make_ready(load_text(CLASS, "loud.yaml", tmp_path), loudness_lufs=loudness)
    said = str(write_track(path, audio_format, ready))
    told = re.fullmatch(r"(\S+) LUFS, peak at most (\S+) dBTP", said)
    assert told
    found = decoded(path)
    print(f"\n{name} at {loudness:g} LUFS: {said}; decoded {found.integrated:.2f} LUFS, {found.true_peak:.2f} dBTP")
    assert found.true_peak <= -1.0
    assert found.true_peak <= float(told[2]) + 0.1
    assert found.integrated == pytest.approx(loudness, abs=0.5)
