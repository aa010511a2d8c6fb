"""Loudness and true peak of a programme while it streams by, as ITU-R BS.1770-5 and EBU Tech 3341 define them."""

from array import array
from collections import deque

import numpy as np
from numpy.typing import NDArray

from guide.sound import true_peak
from guide.sound.k_weighting import HOPS_IN_BLOCK, HOPS_IN_SHORT_TERM, at_rest, gated_lufs, hop_frames, k_filter, lufs

STEREO = (1.0, 1.0)

#: Weights of left, right, centre and the two surrounds: BS.1770-5 Annex 1, Table 3.
SURROUND = (1.0, 1.0, 1.0, 1.41, 1.41)

_FORGOTTEN = 1e-9

Single = NDArray[np.float32]


class Meter:
    """Feed it blocks of any size; ask at any time.

    A block is (count, channels), or (count,) for a sound that is the same in every channel, which costs a fraction.
    What it knows moves on in hops of 100 ms; a hop not yet full is not counted. `weights` has one weight a channel.
    """

    def __init__(self, rate_hz: int, weights: tuple[float, ...] = STEREO) -> None:
        self._weights = weights
        self._hop = hop_frames(rate_hz)
        self._filter = k_filter(rate_hz)
        self._states = [at_rest() for _ in weights]
        self._waiting = np.zeros((len(weights), 0), np.float32)
        self._recent: deque[float] = deque(maxlen=HOPS_IN_SHORT_TERM)
        self._blocks = array("d")
        self._peak = 0.0
        self._peak_tails = [np.zeros(true_peak.TAPS - 1, np.float32) for _ in weights]

    def feed(self, block: Single) -> None:
        """Take in the next frames. Raises ValueError for a block that has another number of channels."""
        if block.ndim == 2 and block.shape[1] != len(self._weights):
            raise ValueError(f"a block of {block.shape[1]} channels for a meter of {len(self._weights)}")
        lanes = _lanes(block)
        if self._waiting.shape[1]:
            if len(self._waiting) != len(lanes):
                lanes, self._waiting = self._spread(lanes), self._spread(self._waiting)
            lanes = np.concatenate([self._waiting, lanes], axis=1)
        hops = lanes.shape[1] // self._hop
        self._waiting = lanes[:, hops * self._hop :].copy()
        if hops:
            self._take(lanes[:, : hops * self._hop])

    @property
    def momentary(self) -> float:
        """Loudness of the last 400 ms, in LUFS; -inf for silence and before the first 400 ms."""
        return self._mean_lufs(HOPS_IN_BLOCK)

    @property
    def short_term(self) -> float:
        """Loudness of the last 3 s, in LUFS; -inf for silence and before the first 3 s."""
        return self._mean_lufs(HOPS_IN_SHORT_TERM)

    @property
    def integrated(self) -> float:
        """Gated loudness of everything so far, in LUFS; -inf where nothing passed the gates."""
        return gated_lufs(np.array(self._blocks))

    @property
    def true_peak(self) -> float:
        """The highest true peak so far, in dBTP; -inf for silence."""
        last = self._peak
        for lane, tail in zip(self._spread(self._waiting), self._peak_tails, strict=True):
            rest = np.concatenate([lane, np.zeros(true_peak.TAPS, np.float32)])
            last = true_peak.highest(true_peak.joined(tail, rest), last)
        return true_peak.decibels(last)

    def _spread(self, lanes: Single) -> Single:
        """One lane for every channel."""
        return lanes if len(lanes) == len(self._weights) else np.repeat(lanes, len(self._weights), axis=0)

    def _take(self, lanes: Single) -> None:
        """Take in whole hops; a single lane stands for all channels as long as they have the same past."""
        if len(lanes) < len(self._weights) and not self._alike():
            lanes = self._spread(lanes)
        hops = lanes.shape[1] // self._hop
        energies = np.zeros(hops)
        for index, lane in enumerate(lanes):
            weight = sum(self._weights) if len(lanes) < len(self._weights) else self._weights[index]
            energies += weight * self._lane(index, lane)
        if len(lanes) < len(self._weights):
            self._states = [self._states[0]] * len(self._weights)
            self._peak_tails = [self._peak_tails[0]] * len(self._weights)
        for energy in energies.tolist():
            self._recent.append(energy)
            if len(self._recent) >= HOPS_IN_BLOCK:
                self._blocks.append(self._mean(HOPS_IN_BLOCK))

    def _alike(self) -> bool:
        """Whether all channels have the same past."""
        return all(
            np.array_equal(state, self._states[0]) and np.array_equal(tail, self._peak_tails[0])
            for state, tail in zip(self._states[1:], self._peak_tails[1:], strict=True)
        )

    def _lane(self, index: int, lane: Single) -> NDArray[np.float64]:
        """The mean squares of a channel's hops; its true peak is looked for on the way."""
        hops = lane.size // self._hop
        whole = true_peak.joined(self._peak_tails[index], lane)
        loudest = max(float(whole.max()), -float(whole.min()))
        if not loudest and np.abs(self._states[index]).max() < _FORGOTTEN:
            self._states[index] = at_rest()
            return np.zeros(hops)
        if loudest * true_peak.LARGEST_GAIN > self._peak:
            self._peak = true_peak.highest(whole, self._peak)
        self._peak_tails[index] = lane[-(true_peak.TAPS - 1) :].copy()
        weighted, self._states[index] = self._filter(np.ascontiguousarray(lane), self._states[index])
        in_hops = weighted.reshape(hops, -1)
        energies: NDArray[np.float64] = np.einsum("ij,ij->i", in_hops, in_hops).astype(np.float64)
        return energies / self._hop

    def _mean(self, hops: int) -> float:
        return sum(list(self._recent)[-hops:]) / hops

    def _mean_lufs(self, hops: int) -> float:
        return lufs(self._mean(hops)) if len(self._recent) >= hops else float("-inf")


def _lanes(block: Single) -> Single:
    """The block with a row a channel; a single row where all channels are the same."""
    if block.ndim == 1:
        return block[np.newaxis]
    if block.shape[1] == 1 or all(np.array_equal(block[:, 0], other) for other in block.T[1:]):
        return block[:, :1].T
    return np.ascontiguousarray(block.T)
