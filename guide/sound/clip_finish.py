"""How every spoken clip is shaped before it is kept: one rate, one loudness, a capped peak, and its measures."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from guide.sound.clip_measures import measure, whole_lufs
from guide.units import RATE_HZ

#: Every clip has this loudness, measured over the whole clip without gates, as one mono clip heard in both channels.
#: Half of it comes from each: the same clip in one channel alone measures 3.01 LU less (BS.1770-5 Annex 1).
VOICE_LUFS = -20.0

#: A clip whose peaks are far above its loudness stays this far below full scale, and is quieter instead.
PEAK_DBTP = -1.0

FULL_SCALE = 32768.0

#: The version of everything that these results rest on; it changes whenever they do.
VERSION = "1"

_SILENT_LUFS = -80.0


@dataclass(frozen=True, slots=True)
class Finish:
    """Turns what a voice said into the clip that is kept; clips of another `version` must be made again."""

    version: str = VERSION

    def __call__(self, samples: NDArray[np.float32], rate_hz: int) -> tuple[NDArray[np.int16], NDArray[np.float32]]:
        """The clip, mono at 48 kHz and at VOICE_LUFS, and its measures (see `measure.Measures.packed`).

        A clip that is silent, or nearly, keeps its level. Raises ValueError for samples that are no mono sound.
        """
        if samples.ndim != 1 or not np.isfinite(samples).all():
            raise ValueError("a clip is one row of finite samples")
        clip = resampled(samples, rate_hz)
        loudness = whole_lufs(clip)
        if loudness > _SILENT_LUFS:
            clip = clip * np.float32(10 ** ((VOICE_LUFS - loudness) / 20))
            clip = clip * np.float32(min(1.0, 10 ** (PEAK_DBTP / 20) / measure(clip).true_peak))
        pcm = to_int16(clip)
        return pcm, self.measured(pcm)

    def measured(self, pcm: NDArray[np.int16]) -> NDArray[np.float32]:
        """The measures of a finished clip."""
        return measure(from_int16(pcm)).packed()


def resampled(samples: NDArray[np.float32], rate_hz: int) -> NDArray[np.float32]:
    """A whole mono sound at 48 kHz."""
    import soxr

    if rate_hz == RATE_HZ or not samples.size:
        return samples.astype(np.float32)
    at_rate: NDArray[np.float32] = soxr.resample(samples.astype(np.float32), rate_hz, RATE_HZ, quality="VHQ")
    return at_rate


def to_int16(samples: NDArray[np.float32]) -> NDArray[np.int16]:
    """Samples as 16-bit numbers, to the nearest; what is beyond full scale is held there."""
    scaled = samples * np.float32(FULL_SCALE)
    np.rint(scaled, out=scaled)
    np.clip(scaled, -FULL_SCALE, FULL_SCALE - 1, out=scaled)
    return scaled.astype(np.int16)


def from_int16(pcm: NDArray[np.int16]) -> NDArray[np.float32]:
    """16-bit numbers as samples from -1 up to 1."""
    return pcm.astype(np.float32) * np.float32(1 / FULL_SCALE)


def in_both_channels(pcm: NDArray[np.int16]) -> NDArray[np.int16]:
    """A mono sound as stereo, the same left and right: shape (frames, 2).

    Two samples are written at once as one number of 32 bits, which is several times faster than one by one.
    """
    pairs = pcm.view(np.uint16).astype(np.uint32) * np.uint32(0x1_0001)
    return pairs.view(np.int16).reshape(-1, 2)


FINISH = Finish()
