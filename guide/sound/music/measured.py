"""What is measured of music once, while it is made or read, so that its level in a class follows from the plan."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from guide.sound.k_weighting import (
    CHANNELS,
    HOPS_IN_SHORT_TERM,
    at_rest,
    block_means,
    gated_lufs,
    hop_frames,
    k_filter,
    lufs,
)
from guide.units import RATE_HZ

#: Music is measured in hops of 100 ms.
HOP_FRAMES = hop_frames(RATE_HZ)

#: The curve between two samples of music may be so much higher than they are. (Measured with songs mastered loud: up to
#: 1 dB; under the words music is so soft that more would not show.)
BETWEEN = 10 ** (1 / 20)

Single = NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Hops:
    """Mono music in hops of 100 ms: the K-weighted mean square of one channel, and a bound on the true peak."""

    squares: Single
    peaks: Single

    @property
    def integrated_lufs(self) -> float:
        """How loud it is as a whole, heard in both channels."""
        return gated_lufs(block_means(CHANNELS * self.squares.astype(np.float64)))

    @property
    def loudest_lufs(self) -> float:
        """How loud its loudest three seconds are."""
        sums = np.cumsum(np.concatenate([np.zeros(1), CHANNELS * self.squares.astype(np.float64)]))
        size = min(HOPS_IN_SHORT_TERM, self.squares.size)
        return lufs(float((sums[size:] - sums[:-size]).max()) / size)


class HopMeter:
    """Feed it whole hops of music as they go by."""

    def __init__(self) -> None:
        self._state = at_rest()
        self._squares: list[Single] = []
        self._peaks: list[Single] = []

    def feed(self, samples: Single) -> None:
        """Take in the next hops."""
        weighted, self._state = k_filter(RATE_HZ)(np.ascontiguousarray(samples), self._state)
        in_hops = weighted.reshape(-1, HOP_FRAMES)
        self._squares.append((np.einsum("ij,ij->i", in_hops, in_hops) / HOP_FRAMES).astype(np.float32))
        self._peaks.append(np.abs(samples).reshape(-1, HOP_FRAMES).max(axis=1) * np.float32(BETWEEN))

    def hops(self) -> Hops:
        """What was measured so far."""
        nothing = np.zeros(0, np.float32)
        return Hops(np.concatenate([nothing, *self._squares]), np.concatenate([nothing, *self._peaks]))
