"""What follows what in a class: by what carries the body, by the library's `after`, and by what is done often."""

from functools import cache
from itertools import chain

import numpy as np

from guide.draft.reading.all_poses import all_poses, number_of
from guide.sequence.poses.pose import Base

#: From one base to another: near ones and far ones.
NEAR = -0.5
FAR = -2.5
#: The same pose again without a word of the other side.
AGAIN = -3.0
#: After one of the poses that should come before it.
AFTER = 0.6
#: A pose that no other in the library speaks of is so much rarer than those that most do.
RARE = 2.2

#: How classes end.
CLOSING = 2.5
_CLOSING = (
    ("final rest", "side-lying rest"),
    ("side-lying rest", "easy seat"),
    ("supported final rest", "side-lying rest"),
    ("final rest", "easy seat"),
    ("supported final rest", "easy seat"),
)

_NEIGHBOURS = (
    (Base.STANDING, Base.ALL_FOURS),
    (Base.ALL_FOURS, Base.KNEELING),
    (Base.STANDING, Base.KNEELING),
    (Base.ALL_FOURS, Base.PRONE),
    (Base.PRONE, Base.KNEELING),
    (Base.KNEELING, Base.SEATED),
    (Base.SEATED, Base.SUPINE),
    (Base.SEATED, Base.ALL_FOURS),
    (Base.STANDING, Base.ARM_BALANCE),
    (Base.ALL_FOURS, Base.ARM_BALANCE),
    (Base.SUPINE, Base.INVERTED),
    (Base.ALL_FOURS, Base.INVERTED),
)


@cache
def follows() -> np.ndarray:
    """For each pose and the next, how usual it is; the last row is for the first pose of a class."""
    near = {*_NEIGHBOURS, *((other, one) for one, other in _NEIGHBOURS)}
    poses = all_poses()
    table = np.zeros((len(poses) + 1, len(poses)))
    for row, one in enumerate(poses):
        for column, other in enumerate(poses):
            if one.base is not other.base:
                table[row, column] = NEAR if (one.base, other.base) in near else FAR
            if one.name in other.after:
                table[row, column] += AFTER
        table[row, row] += AGAIN
    found: np.ndarray = table + _usual() + CLOSING * closings()
    return found


@cache
def closings() -> np.ndarray:
    """For each pose and the next, a 1 where classes end so."""
    table = np.zeros((len(all_poses()) + 1, len(all_poses())))
    for one, other in _CLOSING:
        if {one, other} <= number_of().keys():
            table[number_of()[one], number_of()[other]] = 1
    return table


@cache
def _usual() -> np.ndarray:
    """How often each pose is done, by how many others of the library speak of it."""
    spoken_of = np.zeros(len(all_poses()))
    for pose in all_poses():
        ways = [way.pose for way in (pose.easier, pose.stronger) if way is not None]
        for name in chain(pose.after, pose.rests, ways):
            if name in number_of():
                spoken_of[number_of()[name]] += 1
    usual: np.ndarray = RARE * (np.minimum(np.log1p(spoken_of) / np.log(12), 1.0) - 1.0)
    return usual
