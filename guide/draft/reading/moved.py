"""Breaths that people are moved on, and do not only breathe."""

from collections.abc import Sequence

import numpy as np

from guide.draft.phrases import HESITATIONS, NUMBERS, Phrase, these

#: After a breath on which people moved it is quiet for so long where they stay.
SETTLED_MS = 8_000

_STAYING = these("stay breaths hold linger remain rest soften longer still")


def is_move(phrase: Phrase) -> bool:
    """Whether people are moved on a called breath, and do not only breathe or count."""
    own = phrase.words_in(phrase.called, len(phrase.tokens))
    return phrase.breath is not None and any(word not in NUMBERS and word not in HESITATIONS for word in own)


def moved(phrases: Sequence[Phrase]) -> np.ndarray:
    """For each phrase, whether people are moved on it and go on: not where they are told to stay, or left in quiet."""
    followed = [*phrases[1:], None]
    return np.array([is_move(one) and not _settles(one, after) for one, after in zip(phrases, followed, strict=True)])


def _settles(phrase: Phrase, after: Phrase | None) -> bool:
    if after is None or after.start_ms - phrase.end_ms >= SETTLED_MS:
        return True
    return after.breath is None and not _STAYING.isdisjoint(after.words)
