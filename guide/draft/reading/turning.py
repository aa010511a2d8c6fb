"""Where the same thing begins again on the other side."""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from guide.draft.phrases import Phrase, side_of, these
from guide.sequence.steps import Side

#: The same pose again, where people are told that it is the other side; where a limb is spoken of for the first time
#: whose like on the other side was.
OTHER_SIDE = 5.6
OTHER_LIMB = 2.8

#: A limb was spoken of so long ago, in ms.
LEAST_MS = 15_000
MOST_MS = 240_000

_SIDED = these("side leg arm foot knee ear hand way direction one thigh ankle elbow shoulder hip")
_OTHER = these("other second opposite")
_CHANGE = these("change switch swap mirrored mirror")
#: `Before we change`; `one heel and then the other one`.
_NOT_YET = these("not dont never before without")
_WITHIN = these("one each both either")
_LIMBS = {"feet": "foot"} | {word: word for word in these("leg foot knee ear arm elbow ankle heel shin thigh forearm")}


def other_sides(phrases: Sequence[Phrase]) -> np.ndarray:
    """For each phrase, how likely what was done is done on the other side from it on."""
    told = np.array([_told(phrase) for phrase in phrases])
    near: np.ndarray = np.maximum(told, np.maximum(np.append(told[1:], 0), np.append(0, told[:-1])))
    found: np.ndarray = near * OTHER_SIDE + _other_limbs(phrases) * OTHER_LIMB
    return found


def _told(phrase: Phrase) -> float:
    words = phrase.words
    if ("same", "again") in pairwise(words):
        return 1.0
    return float(any(_turns(words[max(at - 6, 0) : at], one, words[at + 1 : at + 3]) for at, one in enumerate(words)))


def _turns(before: Sequence[str], word: str, after: Sequence[str]) -> bool:
    """Whether a word between others says that the sides change."""
    if word in _CHANGE:
        return _NOT_YET.isdisjoint(before[-3:])
    return word in _OTHER and not _SIDED.isdisjoint(after) and _WITHIN.isdisjoint(before)


def _other_limbs(phrases: Sequence[Phrase]) -> np.ndarray:
    """Where a limb is spoken of for the first time for long whose like on the other side was spoken of."""
    found = np.zeros(len(phrases))
    last_ms: dict[tuple[str, Side], int] = {}
    for number, phrase in enumerate(phrases):
        for limb, side in _limbs(phrase):
            other_ms = last_ms.get((limb, side.other))
            own_ms = last_ms.get((limb, side), -MOST_MS)
            if other_ms is not None and LEAST_MS <= phrase.start_ms - other_ms <= MOST_MS and own_ms < other_ms:
                found[number] = 1.0
            last_ms[limb, side] = phrase.start_ms
    return found


def _limbs(phrase: Phrase) -> list[tuple[str, Side]]:
    words = phrase.words
    found = []
    for at, word in enumerate(words):
        side = side_of(word)
        after = next((other for other in words[at + 1 : at + 3] if other in _LIMBS), None) if side else None
        if side is not None and after is not None:
            found.append((_LIMBS[after], side))
    return found
