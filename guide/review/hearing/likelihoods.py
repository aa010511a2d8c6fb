"""How likely it is that what was planned sounds like what was heard: one cue to the next, one stretch to the next.

All values are natural logarithms of densities, per second of an onset and per doubling (e-fold) of a length, so that
every stretch that was heard is accounted for once in every segmentation of a class. The figures are no measurements of
classes (no source): they are wide enough for a person who holds poses a fifth longer or shorter.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Numbers = NDArray[np.float64]
    Indices = NDArray[np.int64]

#: The spread of the time from one cue to the next, beside the plan, as a share; and in seconds, where it is short.
TIME_SPREAD, TIME_SPREAD_S = 0.2, 0.4

#: The spread of the length of what is said, beside the plan, as a share; and as seconds, for short words.
LENGTH_SPREAD, LENGTH_SPREAD_S = 0.12, 0.15

#: The degrees of freedom of both: how seldom, and how readily, something far off is believed.
TIME_TAIL, LENGTH_TAIL = 3.0, 4.0

#: A cue that is not said, or not heard; and each further one where a part of the class is left out.
DROPPED, LEFT_OUT = -2.8, -0.7
#: So many are dropped one by one before a part counts as left out.
DROPS = 4

#: What comes in no plan: so many a second, and more often just after something else; seconds.
EXTRA_RATE, MORE_RATE, MORE_WITHIN_S = 0.012, 0.12, 1.5
#: Before the class and after it people talk.
TALK_RATE = 0.1
#: How long that lasts: the middle, in seconds, and the spread of its logarithm.
EXTRA_S, EXTRA_SPREAD = 2.0, 0.9

#: One cue heard in two stretches, with so much quiet between them.
SPLIT, SPLIT_QUIET_S = 0.2, 0.4

#: Two cues heard in one stretch, where the plan has so much quiet between them.
MERGED_TIGHT, MERGED_LOOSE, TIGHT_S = 0.4, 0.02, 0.6


@dataclass(frozen=True, slots=True)
class PlannedCues:
    """The cues of a plan, in seconds, and sums over them; each sum has an entry more than there are cues."""

    starts_s: "Numbers"
    lengths_s: "Numbers"
    spoken_sum: "Numbers"
    merged_sum: "Numbers"

    @staticmethod
    def of(starts_s: "Numbers", lengths_s: "Numbers") -> "PlannedCues":
        """What is asked of the plan again and again, worked out once; seconds, shape (cues,)."""
        quiet = np.append(starts_s[1:] - starts_s[:-1] - lengths_s[:-1], 99.0)
        merged = np.log(np.where(quiet < TIGHT_S, MERGED_TIGHT, MERGED_LOOSE))
        return PlannedCues(starts_s, lengths_s, _summed(lengths_s), _summed(merged))


@dataclass(frozen=True, slots=True)
class HeardStretches:
    """The stretches that were heard, as `PlannedCues` has the cues."""

    starts_s: "Numbers"
    lengths_s: "Numbers"
    spoken_sum: "Numbers"
    split_sum: "Numbers"
    extra_sum: "Numbers"
    talk_sum: "Numbers"

    @staticmethod
    def of(starts_s: "Numbers", lengths_s: "Numbers") -> "HeardStretches":
        """What is asked of the stretches again and again, worked out once; seconds, shape (stretches,)."""
        quiet = np.insert(starts_s[1:] - starts_s[:-1] - lengths_s[:-1], 0, 99.0) if len(starts_s) else starts_s
        length = -0.5 * (np.log(lengths_s / EXTRA_S) / EXTRA_SPREAD) ** 2 - np.log(EXTRA_SPREAD * np.sqrt(2 * np.pi))
        split = np.log(SPLIT / SPLIT_QUIET_S) - quiet / SPLIT_QUIET_S + np.log(0.5)
        extra = np.log(EXTRA_RATE + MORE_RATE * np.exp(-quiet / MORE_WITHIN_S)) + length
        talk = np.log(TALK_RATE) + length
        return HeardStretches(starts_s, lengths_s, _summed(lengths_s), _summed(split), _summed(extra), _summed(talk))


def _summed(values: "Numbers") -> "Numbers":
    return np.concatenate([[0.0], np.cumsum(values)])


def time_likelihood(real_s: "Numbers", planned_s: "Numbers", tempo: float) -> "Numbers":
    """That so much time lies between two onsets, where the plan has so much; both are over 0."""
    spread = np.sqrt(TIME_SPREAD**2 + (TIME_SPREAD_S / planned_s) ** 2)
    return _tailed(np.log(real_s / (planned_s * tempo)), spread, TIME_TAIL) - np.log(real_s)


def length_likelihood(real_s: "Numbers", planned_s: "Numbers") -> "Numbers":
    """That what is planned to last so long lasts so long; both are over 0."""
    spread = np.sqrt(LENGTH_SPREAD**2 + (LENGTH_SPREAD_S / planned_s) ** 2)
    return _tailed(np.log(real_s / (planned_s)), spread, LENGTH_TAIL)


def dropped(cues: "Indices") -> "Numbers":
    """That so many cues in a row are not heard."""
    return np.minimum(cues, DROPS) * DROPPED + np.maximum(cues - DROPS, 0) * LEFT_OUT


def _tailed(off: "Numbers", spread: "Numbers", tail: float) -> "Numbers":
    """Student's distribution, about: a bell with long tails."""
    return -(tail + 1) / 2 * np.log1p((off / spread) ** 2 / tail) - np.log(spread) - 0.95
