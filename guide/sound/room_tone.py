"""Room tone: noise too soft to be heard, so that a loudspeaker that sleeps in silence stays awake."""

from functools import cache

import numpy as np
from numpy.typing import NDArray

from guide.units import RATE_HZ

#: Its level as a whole (root mean square), about 55 LU under the words: below the absolute gate of a meter (-70:
#: BS.1770-5), so that a class with it reads as loud as without. A quiet room has more (from memory: -60 to -75 dBFS).
LEVEL_DBFS = -77.5

#: So long until it begins again. Nothing is heard of that: its end goes on into its beginning.
SECONDS = 7

_SEED = 1
_FULL_SCALE = 32768


def room_tone(first_frame: int, count: int) -> NDArray[np.float32]:
    """`count` frames of it from `first_frame` on; the same frames on every machine, whoever asks."""
    around = _around()
    return around.take(np.arange(first_frame, first_frame + count), mode="wrap")


@cache
def _around() -> NDArray[np.float32]:
    """The whole of it: whole numbers at random, each with its neighbours, for less hiss; sums that nothing rounds."""
    steps = np.random.PCG64(_SEED).random_raw(SECONDS * RATE_HZ) % 15
    even = steps.astype(np.int64) - 7
    soft = even + np.roll(even, 1) + np.roll(even, 2) + np.roll(even, 3)
    return (soft / (2 * _FULL_SCALE)).astype(np.float32)
