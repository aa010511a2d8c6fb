"""Where something new begins: after a quiet, or with the words that people are moved with."""

from collections.abc import Sequence

import numpy as np

from guide.draft.phrases import Phrase, these

#: After a quiet of so long something new begins a little more likely than not; the logarithm's share of it.
QUIET_MS = 1_000
QUIET = 0.5
MOST_QUIET = 1.0
#: With a word that goes on to the next thing, and with one that moves people out of where they were.
ONWARD = 0.5
MOVED = 0.4
#: Where the two sides are known to begin or end.
FRESH = 1.5

_ONWARD = these("and okay ok so now then next alright good from when let's lovely great")
_MOVED = these("come lower release step roll sit lie walk bring stand push press slide turn back up down hands lift")


def begins(phrases: Sequence[Phrase], fresh: frozenset[int]) -> np.ndarray:
    """For each phrase, how likely something new begins with it."""
    found = np.zeros(len(phrases))
    for number, phrase in enumerate(phrases):
        quiet_ms = phrase.start_ms - (phrases[number - 1].end_ms if number else 0)
        if quiet_ms > QUIET_MS:
            found[number] += min(QUIET * float(np.log(quiet_ms / QUIET_MS)), MOST_QUIET)
        first = phrase.words[:6]
        found[number] += ONWARD if first[:1] and first[0] in _ONWARD else 0.0
        found[number] += MOVED if not _MOVED.isdisjoint(first) else 0.0
        found[number] += FRESH if number in fresh else 0.0
    return found
