"""What is no stay: time that nothing explains, and breaths that people are moved on."""

from collections.abc import Sequence

import numpy as np

from guide.draft.phrases import NUMBERS, Phrase, these

#: A second outside every pose.
SECOND = -0.02
#: A called breath with words of its own is a move; within a stay it is none.
MOVED = 0.6
#: A word of staying, or a number that is counted, says that there is a pose to stay in.
STAYS = 0.5
#: So many words of its own make a called breath a move.
OWN_WORDS = 2

_STAYING = these("stay breaths hold linger remain rest soften longer still")


def is_move(phrase: Phrase) -> bool:
    """Whether people are moved on a called breath, and do not only breathe."""
    return phrase.breath is not None and len(phrase.tokens) - phrase.called >= OWN_WORDS


def unexplained(phrases: Sequence[Phrase], starts_ms: np.ndarray) -> np.ndarray:
    """For each phrase, what it costs to leave it and the quiet after it outside every stay."""
    lasts_s = np.diff(starts_ms) / 1000
    return np.array([MOVED if is_move(phrase) else SECOND * s for phrase, s in zip(phrases, lasts_s, strict=True)])


def beside(phrases: Sequence[Phrase]) -> np.ndarray:
    """For each phrase, what it costs to have it within a stay."""
    return np.array([_within(phrase) for phrase in phrases])


def _within(phrase: Phrase) -> float:
    if is_move(phrase):
        return -MOVED
    return STAYS if any(word in _STAYING or word in NUMBERS for word in phrase.words) else 0.0
