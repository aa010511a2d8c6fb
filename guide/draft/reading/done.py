"""How likely each pose is done where something is said: by what people are told in it."""

from collections.abc import Sequence
from functools import cache

import numpy as np

from guide.draft.phrases import Phrase
from guide.draft.pose_spelling import held_poses
from guide.draft.reading.shown import shown
from guide.draft.reading.told_words import learned
from guide.sequence.poses.pose import Pose

#: Words that go together say less than if each were said by itself: so much of it.
TOGETHER = 0.3
#: So likely a phrase has nothing to do with the pose in which it is said.
BY_THE_WAY = 0.2
#: What phrases say counts so much beside the other terms.
WORDS = 0.8


@cache
def all_poses() -> tuple[Pose, ...]:
    """The poses that a reading may have, in one order."""
    return tuple(held_poses())


@cache
def number_of() -> dict[str, int]:
    """The number of each pose by its name."""
    return {pose.name: number for number, pose in enumerate(all_poses())}


def done(phrases: Sequence[Phrase]) -> np.ndarray:
    """For each phrase and each pose, how much its words speak for the pose being done, as a logarithm."""
    told = learned(tuple(number_of()))
    said = TOGETHER * np.array([told.speak_for(phrase.words) for phrase in phrases])
    likelier = np.exp(said) / np.exp(said).mean(axis=1, keepdims=True)
    found: np.ndarray = WORDS * np.log(BY_THE_WAY + (1 - BY_THE_WAY) * likelier)
    found[sorted(shown(phrases))] = 0
    return found
