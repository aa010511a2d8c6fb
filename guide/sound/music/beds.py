"""Beds of music made from numbers: a drone, rain and deep noise, each a circle without a beginning or an end.

They are made as spectra: what is a sum of waves that all fit into the circle a whole number of times has no seam.
"""

from collections.abc import Callable, Mapping
from functools import cache

import numpy as np
from numpy.typing import NDArray

from guide.sound.clip_finish import to_int16
from guide.units import RATE_HZ

#: So long until a bed comes round: too long for an ear to know noise again.
SECONDS = 30

_FRAMES = SECONDS * RATE_HZ
_PEAK = 0.5
_SEED = 15

# The notes of the drone: an A, its fifth and its octaves, with levels and how fast they swell and fade against
# themselves. Chosen by ear.
_NOTES = ((110.0, 1.0), (165.0, 0.6), (220.0, 0.5), (275.0, 0.12), (330.0, 0.25), (440.0, 0.15), (660.0, 0.05))
_SWELLS = ((0, 1.0), (3, 0.55), (-4, 0.45), (7, 0.25))

Double = NDArray[np.float64]


@cache
def bed(name: str) -> NDArray[np.int16]:
    """The whole circle of a bed, mono at 48 kHz. Raises KeyError for a name that is not in `BEDS`."""
    sound = np.fft.irfft(_MADE[name](), _FRAMES)
    return to_int16((sound * (_PEAK / np.abs(sound).max())).astype(np.float32))


def _drone() -> NDArray[np.complex128]:
    spectrum = np.zeros(_FRAMES // 2 + 1, np.complex128)
    turns = _turns(len(_NOTES) * len(_SWELLS))
    for note, (hz, level) in enumerate(_NOTES):
        for number, (steps, share) in enumerate(_SWELLS):
            spectrum[round(hz * SECONDS) + steps] += level * share * turns[note * len(_SWELLS) + number]
    return spectrum


def _rain() -> NDArray[np.complex128]:
    """Noise without depth, which falls off gently toward the height."""
    hz = _frequencies()
    return _noise((hz / 600) ** 2 / (1 + (hz / 600) ** 2) / (1 + (hz / 3500) ** 2) ** 0.75)


def _brown() -> NDArray[np.complex128]:
    """Noise whose level falls by 6 dB an octave; what no loudspeaker gives is left out."""
    hz = _frequencies()
    return _noise(np.where(hz < 30, 0.0, 1 / np.maximum(hz, 1)))


def _noise(levels: Double) -> NDArray[np.complex128]:
    return levels * _turns(levels.size)


def _frequencies() -> Double:
    return np.arange(_FRAMES // 2 + 1) / SECONDS


def _turns(count: int) -> NDArray[np.complex128]:
    """Where in its circle each wave begins: at random, and the same on every machine."""
    share = (np.random.PCG64(_SEED).random_raw(count) >> np.uint64(11)) / 2**53
    turns: NDArray[np.complex128] = np.exp(2j * np.pi * share)
    return turns


_MADE: Mapping[str, Callable[[], NDArray[np.complex128]]] = {"drone": _drone, "rain": _rain, "brown noise": _brown}
