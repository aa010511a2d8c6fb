"""What signs say of a class (`scores`) and what the network tells of it (`encoder`), taken together.

How much each counts was fitted by `tests/draft/learn_together.py` to classes of teachers that neither was learned from.
"""

from dataclasses import dataclass, replace

import numpy as np

from guide.draft.reading.all_poses import all_poses
from guide.draft.reading.encoder import ToldPhrases
from guide.draft.reading.follows import closings
from guide.draft.reading.scores import Scores


@dataclass(frozen=True, slots=True)
class Worth:
    """How much each part of `Scores` counts, then each of `ToldPhrases`, and how much is added to each."""

    within: float
    starts: float
    ends: float
    outside: float
    after: float
    again: float
    lengths: float
    told_likely: float
    told_begins: float
    told_ends: float
    told_turns: float
    more_starts: float
    more_ends: float
    more_outside: float
    more_again: float
    more_closing: float


WORTH = Worth(
    within=1.12,
    starts=0.24,
    ends=0.39,
    outside=0.29,
    after=0.94,
    again=0.10,
    lengths=1.30,
    told_likely=0.40,
    told_begins=0.37,
    told_ends=0.49,
    told_turns=3.54,
    more_starts=-0.73,
    more_ends=-0.53,
    more_outside=0.70,
    more_again=-0.23,
    more_closing=1.91,
)


def together(scores: Scores, told: ToldPhrases, worth: Worth = WORTH) -> Scores:
    """How likely all is by both; each part grows evenly with each worth."""
    sided = np.array([*(pose.sides for pose in all_poses()), False, False])[scores.states]
    within = worth.within * np.diff(scores.sums, axis=0) + worth.told_likely * told.likely[:, scores.states]
    begins = worth.told_begins * told.begins + worth.more_starts
    ends = np.append(worth.told_ends * told.ends + worth.more_ends, 0.0)
    outside = worth.told_likely * told.likely[:, -1] + worth.more_outside
    poses = scores.states[:-2]
    closing = np.pad(closings()[poses][:, poses], ((0, 3), (0, 2)))
    turns = worth.told_turns / (1 + np.exp(-told.turns))
    return replace(
        scores,
        sums=np.vstack([np.zeros((1, len(scores.states))), np.cumsum(within, axis=0)]),
        starts=worth.starts * scores.starts + begins[:, None],
        ends=worth.ends * scores.ends + ends,
        outside=worth.outside * scores.outside + outside,
        after=worth.after * scores.after + worth.more_closing * closing,
        again=worth.again * scores.again + np.outer(turns, sided) + worth.more_again,
        lengths=worth.lengths * scores.lengths,
    )
