"""Soft limiting: of a clip, worked out from the peaks that were measured of it, and of any stretch of a sound."""

import numpy as np
from numpy.typing import NDArray

from guide.sound.clip_measures import STEP_FRAMES, Measures

#: The gain begins to give way this many steps of 10 ms before a peak and is back as long after it.
_REACH = 3

#: How many steps around a frame have a say in its gain: those of the lowest around, of their mean, and of the line.
_STEPS_AROUND = 2 * _REACH + 1

Single = NDArray[np.float32]


def step_gains(measures: Measures, ceiling: float) -> Single:
    """A gain for each step of 10 ms, smooth, that keeps every true peak of the clip at or under `ceiling`."""
    return _smooth_gains(measures.peaks, ceiling)


def _smooth_gains(peaks: Single, ceiling: float) -> Single:
    needed = np.minimum(1.0, ceiling / np.maximum(peaks, 1e-9))
    lowest = _windows(needed).min(axis=1)
    # The mean of the lowest around a step is at most what the step itself needs, for it is in all their reach.
    smooth: Single = _windows(lowest).mean(axis=1).astype(np.float32)
    return smooth


def limited(clip: Single, measures: Measures, ceiling: float) -> Single:
    """The clip with its true peaks at or under `ceiling`; itself where they are already."""
    if measures.true_peak <= ceiling:
        return clip
    return _held(clip, step_gains(measures, ceiling))


def around(first_frame: int, count: int) -> tuple[int, int]:
    """The first frame and the one after the last of what has to be known to limit `count` frames from `first_frame`."""
    first, last = first_frame // STEP_FRAMES, -(-(first_frame + count) // STEP_FRAMES)
    return (first - _STEPS_AROUND) * STEP_FRAMES, (last + _STEPS_AROUND) * STEP_FRAMES


def held_under(sound: Single, ceiling: float) -> Single:
    """A stretch of whole steps with its samples at or under `ceiling`; itself where they are already.

    A frame is the same in every stretch that has all that is `around` it.
    """
    peaks = np.abs(sound).reshape(-1, STEP_FRAMES).max(axis=1)
    return sound if peaks.max(initial=0.0) <= ceiling else _held(sound, _smooth_gains(peaks, ceiling))


def _held(clip: Single, gains: Single) -> Single:
    # Between two steps the lower one counts, so that the line from point to point stays under what each step needs.
    points = np.minimum(np.append(gains, gains[-1]), np.append(gains[:1], gains))
    at = np.arange(points.size) * STEP_FRAMES
    line = np.interp(np.arange(clip.size), at, points).astype(np.float32)
    held: Single = clip * line
    return held


def _windows(values: Single) -> Single:
    """The values around each, as rows."""
    padded = np.pad(values, _REACH, mode="edge")
    return np.lib.stride_tricks.sliding_window_view(padded, 2 * _REACH + 1)
