"""What is measured of a short sound once, so that the loudness of a class follows from its sounds and their places."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from guide.sound import k_weighting, true_peak
from guide.units import RATE_HZ

#: Sounds are measured in steps of 10 ms.
STEP_MS = 10
STEP_FRAMES = RATE_HZ * STEP_MS // 1000

_STEPS_IN_HOP = k_weighting.HOP_MS // STEP_MS

Single = NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Measures:
    """A mono sound in steps of 10 ms: K-weighted mean square of one channel, and true peak (linear, full scale 1)."""

    mean_squares: Single
    peaks: Single

    @property
    def true_peak(self) -> float:
        """The highest true peak, 1.0 at full scale; 0 for a clip without sound."""
        return float(self.peaks.max()) if self.peaks.size else 0.0

    def turned_up(self, gain_db: float) -> "Measures":
        """What the same sound measures when it is turned up by so much."""
        gain = np.float32(10 ** (gain_db / 20))
        return Measures(self.mean_squares * gain**2, self.peaks * gain)

    def packed(self) -> Single:
        """All in one row of numbers, to be kept beside the sound: the true peak, the mean squares, the peaks."""
        return np.concatenate([np.array([self.true_peak], np.float32), self.mean_squares, self.peaks])


def unpacked(numbers: Single) -> Measures:
    """The measures that `Measures.packed` made these numbers from."""
    steps = (numbers.size - 1) // 2
    return Measures(numbers[1 : 1 + steps], numbers[1 + steps : 1 + 2 * steps])


def measure(samples: Single) -> Measures:
    """The measures of a mono sound at 48 kHz; a last step that is cut short counts as filled up with silence."""
    squares = mean_squares(samples)
    padded = np.zeros(squares.size * STEP_FRAMES, np.float32)
    padded[: samples.size] = samples
    return Measures(squares, true_peak.each(padded).reshape(-1, STEP_FRAMES).max(axis=1, initial=0))


def mean_squares(samples: Single) -> Single:
    """The K-weighted mean square of each 10 ms of a mono sound at 48 kHz, the last of them filled up with silence."""
    if not samples.size:
        return np.zeros(0, np.float32)
    steps = -(-samples.size // STEP_FRAMES)
    hops = -(-steps // _STEPS_IN_HOP)
    padded = np.zeros(hops * _STEPS_IN_HOP * STEP_FRAMES, np.float32)
    padded[: samples.size] = samples
    weighted, _ = k_weighting.k_filter(RATE_HZ)(padded, k_weighting.at_rest())
    in_steps = weighted.reshape(-1, STEP_FRAMES)
    squares: Single = np.einsum("ij,ij->i", in_steps, in_steps, dtype=np.float64) / STEP_FRAMES
    return squares[:steps].astype(np.float32)


def whole_lufs(samples: Single) -> float:
    """The loudness of a mono sound at 48 kHz heard in both channels, over its whole length and without gates.

    It is defined for sounds shorter than a 400 ms block, which BS.1770 leaves without a loudness.
    """
    if not samples.size:
        return -np.inf
    return k_weighting.lufs(2 * float(mean_squares(samples).sum(dtype=np.float64)) * STEP_FRAMES / samples.size)


def loudest_lufs(measures: Measures) -> float:
    """The loudest 400 ms of a mono sound heard in both channels; a shorter one is followed by silence."""
    mean_squares = measures.mean_squares.astype(np.float64)
    steps = k_weighting.HOPS_IN_BLOCK * _STEPS_IN_HOP
    padded = np.concatenate([np.zeros(1), np.cumsum(mean_squares), np.full(steps, mean_squares.sum())])
    return k_weighting.lufs(2 * float((padded[steps:] - padded[:-steps]).max()) / steps)
