"""What is taken out of a whole recording by its spectrum: rumble always, the hum of the mains where it is measured."""

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

#: Below it there is no speech. The filter has the gain of a Butterworth of the fourth order, and moves nothing in time.
RUMBLE_HZ, ORDER = 80.0, 4

#: The mains, and how far up their harmonics are looked for.
MAINS_HZ, HIGHEST_HZ = (50.0, 60.0), 1500.0

#: A harmonic lies within so much of its place and stands so far above what is around it.
NEAR_HZ, AROUND_HZ, STANDS_DB = 0.8, (3.0, 12.0), 12.0

#: So many of them make a hum.
FEWEST = 2

#: How wide a notch is. Its shape is Gauss's, which rings the shortest: about 60 ms.
NOTCH_HZ = 2.5

#: Sound is led on at both ends for so long, so that the end does not wrap around to the beginning.
PADDING_S = 0.5

Single = NDArray[np.float32]
Double = NDArray[np.float64]


def without_rumble(samples: Single, rate_hz: int, notched_hz: Sequence[float] = ()) -> Single:
    """The sound without what is below `RUMBLE_HZ`, and without narrow bands at the frequencies given."""
    padding = int(PADDING_S * rate_hz)
    padded = np.pad(samples, padding)
    size = _easy_size(padded.size)
    spectrum = np.fft.rfft(padded, size)
    hz = np.fft.rfftfreq(size, 1 / rate_hz)
    with np.errstate(divide="ignore"):
        spectrum *= 1 / np.sqrt(1 + (RUMBLE_HZ / np.maximum(hz, 1e-9)) ** (2 * ORDER))
    for notch_hz in notched_hz:
        spectrum *= 1 - np.exp(-(((hz - notch_hz) / NOTCH_HZ) ** 2) / 2)
    made: Double = np.fft.irfft(spectrum, size)
    return made[padding : padding + samples.size].astype(np.float32)


def hum_hz(quiet: Single, rate_hz: int) -> tuple[float, ...]:
    """The harmonics of the mains that stand out of a sound without speech; none where it is too short to tell."""
    if quiet.size < rate_hz // 2:
        return ()
    size = _easy_size(4 * quiet.size)
    power: Double = np.abs(np.fft.rfft(quiet * np.hanning(quiet.size), size)) ** 2
    found = [tuple(_standing(power, size / rate_hz, mains_hz)) for mains_hz in MAINS_HZ]
    most = max(found, key=len)
    return most if len(most) >= FEWEST else ()


def _standing(power: Double, bins_a_hz: float, mains_hz: float) -> Iterator[float]:
    """The harmonics of the mains that stand out of what is on both sides of them."""
    near, inner, outer = (round(hz * bins_a_hz) for hz in (NEAR_HZ, *AROUND_HZ))
    for number in range(1, int(HIGHEST_HZ / mains_hz)):
        place = round(number * mains_hz * bins_a_hz)
        around = np.concatenate([power[place - outer : place - inner], power[place + inner : place + outer]])
        peak = float(power[place - near : place + near + 1].max())
        if peak > 10 ** (STANDS_DB / 10) * max(float(around.mean()), 1e-12):
            yield number * mains_hz


def _easy_size(size: int) -> int:
    """A size not below `size` whose transform is fast: a power of two, or three times one half of it."""
    power = 1 << (size - 1).bit_length()
    return power * 3 // 4 if power * 3 // 4 >= size else power
