"""True peak: the highest point of the curve through the samples, as ITU-R BS.1770-5 Annex 2 estimates it."""

import math

import numpy as np
from numpy.typing import NDArray

#: The curve is drawn by a sinc under a Kaiser window, 16 samples long. It is true to 0.05 dB up to 19 kHz, which
#: BS.1770-5 Annex 2 allows: its own filter is an example. Between two samples it is read at three places.
TAPS = 16
_KAISER_BETA = 5.0
_BETWEEN = (0.25, 0.5, 0.75)


def _curve() -> NDArray[np.float64]:
    """The weights of TAPS samples, oldest first, for each place between the two in the middle."""
    offsets = np.arange(TAPS) - (TAPS // 2 - 1) - np.array(_BETWEEN)[:, None]
    window = np.i0(_KAISER_BETA * np.sqrt(1 - (offsets / (TAPS / 2)) ** 2))
    weights: NDArray[np.float64] = np.sinc(offsets) * window
    weights /= weights.sum(axis=1, keepdims=True)
    return weights


_WEIGHTS = _curve()

#: No point of the curve can be more than this many times the largest sample that it is drawn from.
LARGEST_GAIN = float(np.abs(_WEIGHTS).sum(axis=1).max())

#: Samples looked at together: a piece whose samples are too small to beat the highest peak so far is passed over.
PIECE = 48

Single = NDArray[np.float32]


def _piece_matrix() -> Single:
    """Maps TAPS - 1 samples and a piece after them to the points of the curve that end with each sample."""
    matrix = np.zeros((TAPS - 1 + PIECE, PIECE, len(_BETWEEN)), np.float32)
    for at in range(PIECE):
        matrix[at : at + TAPS, at, :] = _WEIGHTS.T
    return matrix.reshape(TAPS - 1 + PIECE, -1)


_PIECE = _piece_matrix()


def decibels(amplitude: float) -> float:
    """An amplitude in dB of full scale; -inf for silence."""
    return 20 * math.log10(amplitude) if amplitude > 0 else -math.inf


def pieces_over(samples: Single, floor: float) -> list[int]:
    """Starts of the pieces of `samples` in which the true peak may be above `floor`.

    `samples` begins with the TAPS - 1 samples before the first piece; what is left over at the end must be looked at
    with the next ones.
    """
    limit = floor / LARGEST_GAIN
    if max(float(samples.max()), -float(samples.min())) <= limit:
        return []
    count = (samples.size - (TAPS - 1)) // PIECE
    body = samples[TAPS - 1 : TAPS - 1 + count * PIECE].reshape(count, PIECE)
    over = np.maximum(body.max(axis=1), -body.min(axis=1)) > limit
    # A large sample also reaches TAPS - 1 places into the piece after its own.
    lead = bool(np.abs(samples[: TAPS - 1]).max() > limit)
    reach = over | np.concatenate([[lead], over[:-1]])
    return [int(index) * PIECE for index in np.flatnonzero(reach)]


def highest(samples: Single, floor: float = 0.0) -> float:
    """The true peak of `samples` where it is above `floor`, else `floor`; the pieces are as in `pieces_over`."""
    starts = pieces_over(samples, floor)
    if not starts:
        return floor
    windows = np.lib.stride_tricks.sliding_window_view(samples, TAPS - 1 + PIECE)[starts]
    return max(floor, float(np.abs(windows).max()), float(np.abs(windows @ _PIECE).max()))


def each(samples: Single) -> Single:
    """The true peak at each sample of a whole sound: the larger of the sample and of the curve around it."""
    count = -(-(samples.size + TAPS) // PIECE)
    padded = np.zeros(TAPS - 1 + count * PIECE, np.float32)
    padded[TAPS - 1 : TAPS - 1 + samples.size] = samples
    windows = np.lib.stride_tricks.sliding_window_view(padded, TAPS - 1 + PIECE)[::PIECE]
    points = np.abs(windows @ _PIECE).reshape(-1, len(_BETWEEN)).max(axis=1)
    # Point n lies in the middle of the TAPS samples that end with n: between n - TAPS/2 and the sample after that.
    after = points[TAPS // 2 : TAPS // 2 + samples.size]
    before = points[TAPS // 2 - 1 : TAPS // 2 - 1 + samples.size]
    around: Single = np.maximum(np.maximum(before, after), np.abs(samples))
    return around
