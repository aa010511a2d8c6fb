"""Where something new begins: as a place in any talk is like an opening, and where the two sides meet."""

from collections.abc import Sequence
from itertools import accumulate

import numpy as np

from guide.draft.phrases import Phrase
from guide.review.own_words.openings import opening
from guide.review.own_words.talk_places import Said

#: So much of the logarithm of the odds of an opening counts beside the other terms, from about where they are even.
OPENS = 0.18
EVEN = -4.0
#: Where the two sides are known to begin or end.
FRESH = 0.9


def begins(phrases: Sequence[Phrase], fresh: frozenset[int]) -> np.ndarray:
    """For each phrase, how likely something new begins with it."""
    words = _said(phrases)
    firsts = accumulate((len(phrase.tokens) for phrase in phrases[:-1]), initial=0)
    found = np.array([OPENS * (opening(words, first) - EVEN) for first in firsts])
    found[sorted(fresh)] += FRESH
    return found


def _said(phrases: Sequence[Phrase]) -> list[Said]:
    """Every word with the quiet before it."""
    words: list[Said] = []
    over_ms = phrases[0].start_ms
    for token in (token for phrase in phrases for token in phrase.tokens):
        quiet_ms = max(token.start_ms - over_ms, 0)
        words.append(Said(token.text, token.start_ms, quiet_ms, opens=True, loose_ms=0, ends_sentence=token.ends))
        over_ms = token.end_ms
    return words
