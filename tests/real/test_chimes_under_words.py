"""Whether the chimes of the breath can be heard where they begin while words are said.

A tone is heard in noise when it is no more than a few decibels below the noise of the band around it that the ear takes
together: 2 dB for low tones to 6 dB for high ones; 4 dB here, in thirds of an octave, which are nearly those bands.
(Source: Zwicker and Fastl, Psychoacoustics, 4.1 and 6.1, from memory. That it must be so for 50 ms of the first 600 is
common practice, no source.)
"""

from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from guide.plan.timeline import RingRole
from guide.ready.load import load
from guide.ready.make_ready import make_ready
from guide.sound.mixer import Mix, MixedBell, bells, prepare, voice
from guide.units import RATE_HZ, frames_from_ms

pytestmark = pytest.mark.real

CHIMES = (RingRole.INHALE, RingRole.EXHALE, RingRole.PAUSE)

MASKED_DB, HEARD_MS, WITHIN_MS = -4.0, 50, 600
FRAME_MS, HOP_MS = 40, 10
MIDDLES_HZ = 250 * 2 ** (np.arange(14) / 3)

#: A band counts for a chime when it has at least a hundredth of the energy of its strongest.
STRONG = 0.01


def band_energies(sound: NDArray[np.float32]) -> NDArray[np.float64]:
    """The energy in thirds of an octave, of 40 ms each, every 10 ms."""
    size, hop = frames_from_ms(FRAME_MS), frames_from_ms(HOP_MS)
    frames = np.lib.stride_tricks.sliding_window_view(sound, size)[::hop] * np.hanning(size)
    energies, hz = np.abs(np.fft.rfft(frames)) ** 2, np.fft.rfftfreq(size, 1 / RATE_HZ)
    bands = [(hz >= middle / 2 ** (1 / 6)) & (hz < middle * 2 ** (1 / 6)) for middle in MIDDLES_HZ]
    return np.stack([energies[:, band].sum(axis=1) for band in bands], axis=1)


def heard_ms(mix: Mix, ring: MixedBell) -> int:
    """For how long of its beginning a chime stands out of the words."""
    count = frames_from_ms(WITHIN_MS)
    words, chime = (band_energies(part(mix, ring.start, count)) for part in (voice, bells))
    stands_out = (chime >= words * 10 ** (MASKED_DB / 10)) & (chime >= STRONG * chime.max())
    return HOP_MS * int(stands_out.any(axis=1).sum())


def test_every_chime_that_begins_under_words_can_be_heard() -> None:
    ready = make_ready(load(Path("sequences/lakeside-morning.yaml")))
    timeline = ready.timeline
    mix = prepare(timeline, ready.spoken, ready.palette)
    under = {
        frames_from_ms(ring.start_ms)
        for ring in timeline.rings
        if ring.role in CHIMES and any(cue.start_ms <= ring.start_ms < cue.end_ms for cue in timeline.cues)
    }
    found = [heard_ms(mix, ring) for ring in mix.rings if ring.start in under]
    print(
        f"\n{len(found)} chimes begin under words; the least is heard for {min(found)} ms, half for {np.median(found)}"
    )
    assert len(found) > 100
    assert min(found) >= HEARD_MS
