"""The times in which everything but the voice is turned down, as a gain at every frame."""

from bisect import bisect_right
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from guide.plan.timeline import Dip
from guide.units import frames_from_ms

#: How far bells go down under the voice. They ring at most 4 LU below it, so that they end up well more than 20 dB
#: below: what WCAG 2.2, SC 1.4.7 asks of a background. They have a time alone to begin in.
BELL_DB = 24.0

#: How far the chimes of the breath do, which often begin under words. They ring at least 10 LU below the voice anyway,
#: so that they end up more than 20 dB below as well, and can still be heard (`tests/real/test_chimes_under_words.py`).
CHIME_DB = 12.0

#: The way down before a dip and the way up after it; together no longer than the shortest time between two dips.
FALL_MS = 180
RISE_MS = 320

_FALL_FRAMES = frames_from_ms(FALL_MS)
_RISE_FRAMES = frames_from_ms(RISE_MS)


@dataclass(frozen=True, slots=True)
class _Ways:
    """The gains on the way down and on the way up, frame by frame, and between them."""

    fall: NDArray[np.float32]
    rise: NDArray[np.float32]
    down: np.float32


@cache
def _ways(depth_db: float, fall_frames: int, rise_frames: int) -> _Ways:
    fall, rise = _way(fall_frames, depth_db), _way(rise_frames, depth_db)[::-1].copy()
    return _Ways(fall, rise, np.float32(10 ** (-depth_db / 20)))


def _way(frames: int, depth_db: float) -> NDArray[np.float32]:
    """The gain on the way down, frame by frame: half a cosine in decibels, so that neither end is heard."""
    turned = (1 - np.cos(np.pi * (np.arange(frames) + 0.5) / frames)) / 2
    way: NDArray[np.float32] = (10 ** (-depth_db / 20 * turned)).astype(np.float32)
    return way


@dataclass(frozen=True, slots=True)
class Dips:
    """Where the bells are down: from frame `starts[i]` to `ends[i]`, with room between for the ways up and down.

    Those take so many frames.
    """

    starts: tuple[int, ...]
    ends: tuple[int, ...]
    fall: int = _FALL_FRAMES
    rise: int = _RISE_FRAMES

    def turn_down(self, bells: NDArray[np.float32], first_frame: int, depth_db: float) -> None:
        """Apply the gain to `bells`, which begin at `first_frame`, in place."""
        ways = _ways(depth_db, self.fall, self.rise)
        last_frame = first_frame + bells.size
        index = bisect_right(self.ends, first_frame - self.rise)
        while index < len(self.starts) and self.starts[index] - self.fall < last_frame:
            start, end = self.starts[index] - first_frame, self.ends[index] - first_frame
            _apply(bells, start - self.fall, ways.fall)
            bells[max(0, start) : max(0, end)] *= ways.down
            _apply(bells, end, ways.rise)
            index += 1

    def gains(self, frames: NDArray[np.int64], depth_db: float) -> NDArray[np.float64]:
        """The gain at each of some frames, which may come in any order."""
        ways = _ways(depth_db, self.fall, self.rise)
        gains = np.ones(frames.size)
        if not self.starts:
            return gains
        starts, ends = np.array(self.starts), np.array(self.ends)
        index = np.clip(np.searchsorted(ends, frames - self.rise, side="right"), 0, ends.size - 1)
        before, after = starts[index] - frames, frames - ends[index]
        falling = (before > 0) & (before <= self.fall)
        rising = (after >= 0) & (after < self.rise)
        gains[falling] = ways.fall[self.fall - before[falling]]
        gains[rising] = ways.rise[after[rising]]
        gains[(before <= 0) & (after < 0)] = ways.down
        return gains


def from_plan(dips: Iterable[Dip], fall_ms: int = FALL_MS, rise_ms: int = RISE_MS) -> Dips:
    """The dips of a plan; those too close together to come up between them become one."""
    fall, rise = frames_from_ms(fall_ms), frames_from_ms(rise_ms)
    starts: list[int] = []
    ends: list[int] = []
    for dip in sorted(dips, key=lambda dip: dip.start_ms):
        start, end = frames_from_ms(dip.start_ms), frames_from_ms(dip.end_ms)
        if ends and start - fall < ends[-1] + rise:
            ends[-1] = max(ends[-1], end)
        else:
            starts.append(start)
            ends.append(end)
    return Dips(tuple(starts), tuple(ends), fall, rise)


def _apply(bells: NDArray[np.float32], start: int, way: NDArray[np.float32]) -> None:
    """Multiply `bells` by a way up or down that begins at index `start`, which may lie outside."""
    low, high = max(0, start), min(bells.size, start + way.size)
    if low < high:
        bells[low:high] *= way[low - start : high - start]
