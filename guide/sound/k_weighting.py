"""The K-weighting of ITU-R BS.1770-5 and the gated mean, on which every loudness here rests.

The filter is a recursion of fourth order. Run sample by sample it would take most of the time of a render, so it is
written here as matrices over rows of some 60 samples: a row's output is one product with the row and the state at its
start, and the states follow each other by doubling steps. The result is that of the recursion to single precision.
"""

import math
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

#: BS.1770-5 Annex 1: loudness = OFFSET + 10 log10 of the weighted sum of mean squares.
OFFSET_LU = -0.691

#: BS.1770-5 Annex 1: no block below this counts, and none more than RELATIVE_LU below the mean of those that do.
ABSOLUTE_LUFS = -70.0
RELATIVE_LU = 10.0

#: BS.1770-5 Annex 1: blocks of 400 ms that begin every 100 ms.
HOP_MS = 100
HOPS_IN_BLOCK = 4

#: EBU Tech 3341, 2.2: short-term loudness is that of three seconds.
HOPS_IN_SHORT_TERM = 30

#: All is heard in two channels, the same left and right, whose powers add up (BS.1770-5 Annex 1).
CHANNELS = 2

_LONGEST_ROW = 60
_STATE = 4
_NEGLIGIBLE = 1e-13

Single = NDArray[np.float32]
Double = NDArray[np.float64]
Stage = tuple[float, float, float, float, float]


def stages(rate_hz: int) -> tuple[Stage, Stage]:
    """The shelf and the high-pass as (b0, b1, b2, a1, a2), with the same response at any rate.

    Source: BS.1770-5 Annex 1, Tables 1 and 2, which give them at 48 kHz; the analogue corner frequencies and qualities
    behind them are common practice in open loudness meters.
    """
    k, q, high = math.tan(math.pi * 1681.974450955533 / rate_hz), 0.7071752369554196, 10 ** (3.999843853973347 / 20)
    middle, a0 = high**0.4996667741545416, 1 + k / q + k * k
    shelf = (
        (high + middle * k / q + k * k) / a0,
        2 * (k * k - high) / a0,
        (high - middle * k / q + k * k) / a0,
        2 * (k * k - 1) / a0,
        (1 - k / q + k * k) / a0,
    )
    k, q = math.tan(math.pi * 38.13547087602444 / rate_hz), 0.5003270373238773
    a0 = 1 + k / q + k * k
    return shelf, (1.0, -2.0, 1.0, 2 * (k * k - 1) / a0, (1 - k / q + k * k) / a0)


@dataclass(frozen=True, slots=True)
class KFilter:
    """The K-weighting filter at one rate, over sounds of whole rows; make it with `k_filter`.

    `row_step` maps a row to its output and to what it adds to the state; `state_out` maps the state at a row's start
    to its share of the row's output; `doublings[i]` carries a state over 2**i rows.
    """

    row: int
    row_step: Single
    state_out: Single
    doublings: tuple[Double, ...]

    def __call__(self, samples: Single, state: Double) -> tuple[Single, Double]:
        """The weighted samples and the state after them. The number of samples must be a multiple of `row`."""
        # A stack of small products instead of one large: the library would put a large one on several cores.
        rows = samples.size // self.row
        stack = samples.reshape(-1, rows // _even_split(rows), self.row)
        stepped = np.matmul(stack, self.row_step).reshape(rows, -1)
        starts = np.empty((_STATE, rows + 1))
        starts[:, 0] = state
        starts[:, 1:] = stepped[:, self.row :].T
        for exponent, carry in enumerate(self.doublings):
            distance = 1 << exponent
            if distance > rows:
                break
            starts[:, distance:] += carry @ starts[:, :-distance]
        weighted = starts[:, :-1].T.astype(np.float32) @ self.state_out
        weighted += stepped[:, : self.row]
        return weighted.reshape(-1), starts[:, -1].copy()


def _even_split(rows: int) -> int:
    """A number that divides `rows` into parts of about a hundred."""
    return next((parts for parts in range(max(1, rows // 100), rows) if rows % parts == 0), 1)


@cache
def k_filter(rate_hz: int) -> KFilter:
    """The K-weighting filter for `rate_hz`, whose rows divide a hop of 100 ms."""
    hop = hop_frames(rate_hz)
    row = next(size for size in range(_LONGEST_ROW, 0, -1) if hop % size == 0)
    shelf, high_pass = (_state_space(stage) for stage in stages(rate_hz))
    carry = np.block([[shelf[0], np.zeros((2, 2))], [np.outer(high_pass[1], shelf[2]), high_pass[0]]])
    enter = np.concatenate([shelf[1], high_pass[1] * shelf[3]])
    leave = np.concatenate([high_pass[3] * shelf[2], high_pass[2]])
    powers = [np.eye(_STATE)]
    for _ in range(row):
        powers.append(carry @ powers[-1])
    response = [shelf[3] * high_pass[3], *(float(leave @ power @ enter) for power in powers[: row - 1])]
    row_step = np.zeros((row, row + _STATE), np.float32)
    for index in range(row):
        row_step[index, index:row] = response[: row - index]
        row_step[index, row:] = powers[row - 1 - index] @ enter
    state_out = np.array([leave @ power for power in powers[:row]], np.float32).T.copy()
    doublings = [powers[row]]
    while np.abs(doublings[-1]).max() > _NEGLIGIBLE:
        doublings.append(doublings[-1] @ doublings[-1])
    return KFilter(row, row_step, state_out, tuple(doublings))


def _state_space(stage: Stage) -> tuple[Double, Double, Double, float]:
    """A stage as (carry, enter, leave, through): state' = carry state + enter x, y = leave state + through x."""
    b0, b1, b2, a1, a2 = stage
    return (
        np.array([[-a1, 1.0], [-a2, 0.0]]),
        np.array([b1 - a1 * b0, b2 - a2 * b0]),
        np.array([1.0, 0.0]),
        b0,
    )


def hop_frames(rate_hz: int) -> int:
    """Frames in a hop of 100 ms."""
    return rate_hz * HOP_MS // 1000


def at_rest() -> Double:
    """The state of a filter that has heard nothing."""
    return np.zeros(_STATE)


def lufs(mean_square: float) -> float:
    """The loudness of a weighted sum of mean squares; -inf for silence."""
    return OFFSET_LU + 10 * math.log10(mean_square) if mean_square > 0 else -math.inf


def mean_square(lufs_value: float) -> float:
    """The weighted sum of mean squares that has this loudness."""
    return float(10 ** ((lufs_value - OFFSET_LU) / 10))


def block_means(hops: Double) -> Double:
    """The mean squares of the 400 ms blocks that begin at each hop; the incomplete ones at the end are left out."""
    if hops.size < HOPS_IN_BLOCK:
        return np.zeros(0)
    last = hops.size - HOPS_IN_BLOCK + 1
    total = hops[:last].copy()
    for later in range(1, HOPS_IN_BLOCK):
        total += hops[later : later + last]
    return total / HOPS_IN_BLOCK


def gated_lufs(blocks: Double) -> float:
    """The integrated loudness of 400 ms blocks given as mean squares; -inf where none passes the gates."""
    heard = blocks[blocks > mean_square(ABSOLUTE_LUFS)]
    if not heard.size:
        return -math.inf
    gate = float(heard.mean()) * 10 ** (-RELATIVE_LU / 10)
    return lufs(float(heard[heard > gate].mean()))
