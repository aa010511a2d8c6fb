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


def _over_line() -> float:
    """How far the curve can be from the line between two samples, as a multiple of the steepest step nearby."""
    line = np.zeros_like(_WEIGHTS)
    line[:, TAPS // 2 - 1] = 1 - np.array(_BETWEEN)
    line[:, TAPS // 2] = _BETWEEN
    # The weights of the difference add up to nothing, so that it is a sum of steps from sample to sample.
    return float(np.abs(np.cumsum(_WEIGHTS - line, axis=1)).sum(axis=1).max())


OVER_LINE = _over_line()

#: Samples looked at together: a piece whose samples are too small to beat the highest peak so far is passed over.
PIECE = 48

Single = NDArray[np.float32]


def _piece_matrix() -> Single:
    """Maps TAPS - 1 samples and a piece after them to the curve: PIECE points for each place between two samples."""
    matrix = np.zeros((TAPS - 1 + PIECE, len(_BETWEEN), PIECE), np.float32)
    for at in range(PIECE):
        matrix[at : at + TAPS, :, at] = _WEIGHTS.T
    return matrix.reshape(TAPS - 1 + PIECE, -1)


_PIECE = _piece_matrix()


def decibels(amplitude: float) -> float:
    """An amplitude in dB of full scale; -inf for silence."""
    return 20 * math.log10(amplitude) if amplitude > 0 else -math.inf


def joined(tail: Single, samples: Single) -> Single:
    """`samples` as `highest` takes them: after the TAPS - 1 samples before them, and filled up to whole pieces."""
    whole = np.zeros(TAPS - 1 + -(-samples.size // PIECE) * PIECE, np.float32)
    whole[: TAPS - 1] = tail
    whole[TAPS - 1 : TAPS - 1 + samples.size] = samples
    return whole


def highest(samples: Single, floor: float = 0.0) -> float:
    """The true peak of samples that were `joined`, where it is above `floor`, else `floor`.

    Pieces that cannot beat `floor` are passed over, and the result is the same as if they were not.
    """
    largest = max(float(samples.max()), -float(samples.min()))
    if largest * LARGEST_GAIN <= floor:
        return floor
    steps = np.diff(samples)
    steepest = max(float(steps.max()), -float(steps.min()))
    floor_of_samples = max(floor / LARGEST_GAIN, floor - OVER_LINE * steepest)
    if largest <= floor_of_samples:
        return floor
    return _looked_at(samples, np.flatnonzero(np.abs(samples) > floor_of_samples), max(floor, largest))


def _looked_at(samples: Single, places: NDArray[np.intp], floor: float) -> float:
    """The highest point of the curve around some places, where it is above `floor`, else `floor`."""
    pieces = samples.size // PIECE
    near = np.zeros(pieces + 2, bool)
    # A sample has a part in the points that end with it and with the TAPS - 1 samples after it.
    near[np.maximum(0, places - (TAPS - 1)) // PIECE] = True
    near[places // PIECE] = True
    windows = np.lib.stride_tricks.sliding_window_view(samples, TAPS - 1 + PIECE)[::PIECE][near[:pieces]]
    bound = np.abs(windows).max(axis=1) + OVER_LINE * np.abs(np.diff(windows, axis=1)).max(axis=1)
    points = windows[bound > floor] @ _PIECE
    return max(floor, float(np.abs(points).max(initial=0.0)))


def each(samples: Single) -> Single:
    """The true peak at each sample of a whole sound: the larger of the sample and of the curve around it."""
    count = -(-(samples.size + TAPS) // PIECE)
    padded = np.zeros(TAPS - 1 + count * PIECE, np.float32)
    padded[TAPS - 1 : TAPS - 1 + samples.size] = samples
    windows = np.lib.stride_tricks.sliding_window_view(padded, TAPS - 1 + PIECE)[::PIECE]
    points = np.abs(windows @ _PIECE).reshape(count, len(_BETWEEN), PIECE).max(axis=1).reshape(-1)
    # Point n lies in the middle of the TAPS samples that end with n: between n - TAPS/2 and the sample after that.
    after = points[TAPS // 2 : TAPS // 2 + samples.size]
    before = points[TAPS // 2 - 1 : TAPS // 2 - 1 + samples.size]
    around: Single = np.maximum(np.maximum(before, after), np.abs(samples))
    return around
