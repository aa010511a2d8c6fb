"""What tells of each phrase what is done in it: its words and pairs of words, and signs of what is around it."""

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from guide.draft.phrases import Phrase, these
from guide.draft.pose_naming import Naming
from guide.draft.reading.moved import moved
from guide.draft.reading.named import named
from guide.draft.reading.shown import shown
from guide.draft.reading.turning import OTHER_SIDE, other_sides
from guide.review.aligning.word_likeness import stem

#: A word makes pairs with so many after it.
NEAR = 4
#: The first words of a phrase tell more of what begins with it, and the last ones of what ends.
FIRST, LAST = 6, 4
#: Quiet of up to so many ms is told apart; names count in whole steps, and lengths in words by threes.
QUIETS_MS = (300, 800, 1500, 2500, 4000, 7000, 12000, 25000)
EDGE_MS = 9_000
THREES, MOST_THREES = 3, 5

#: Words that say nothing of a pose.
_EMPTY = frozenset(
    map(
        stem,
        these(
            "the a an and or to of in on at as your you my our is are be it that it's this with for from into over if "
            "so let keep then now not no inhale exhale breathe breath i we do just like there here all have one what "
            "but they them me he she um uh okay yes well can where very don't right left side other"
        ),
    )
)


def telling(words: Iterable[str]) -> frozenset[str]:
    """The words that say something of a pose, and the pairs of those that are near each other, in either order."""
    said = [each for each in map(stem, words) if each not in _EMPTY]
    pairs = (
        f"{one} {other}" if one < other else f"{other} {one}"
        for place, one in enumerate(said)
        for other in said[place + 1 : place + 1 + NEAR]
        if one != other
    )
    return frozenset((*said, *pairs))


@dataclass(frozen=True, slots=True)
class Signs:
    """All that a reading rests on, for N phrases and P poses.

    - `starts_ms` (N + 1) is when each phrase begins, and when all is over;
    - `words` are the telling words and pairs of each phrase; `around` the signs of what is said in and around it;
    - `named` (N by P) is how surely each pose is named, `other_side` (N), 0 to 1, whether the sides change;
    - `looked_on` (N) is where people only look on.
    """

    starts_ms: np.ndarray
    words: tuple[frozenset[str], ...]
    around: tuple[frozenset[str], ...]
    named: np.ndarray
    other_side: np.ndarray
    looked_on: np.ndarray


def signs_of(phrases: Sequence[Phrase], end_ms: int, naming: Naming) -> Signs:
    """The signs of some phrases, one at least, that are over at a time."""
    names, turning = named(phrases, naming), other_sides(phrases)
    looked_on = np.zeros(len(phrases), dtype=bool)
    looked_on[sorted(shown(phrases))] = True
    return Signs(
        np.array([*(phrase.start_ms for phrase in phrases), max(end_ms, phrases[-1].end_ms)]),
        tuple(telling(phrase.words) for phrase in phrases),
        tuple(_around(phrases, names.max(axis=1), turning, looked_on)),
        names,
        np.minimum(turning / OTHER_SIDE, 1.0),
        looked_on,
    )


def _around(
    phrases: Sequence[Phrase], names: np.ndarray, turning: np.ndarray, looked_on: np.ndarray
) -> Iterable[frozenset[str]]:
    """The signs of what is said in each phrase, in the two before it and in the next."""
    on_breath = moved(phrases)
    quiets = [
        EDGE_MS,
        *(after.start_ms - one.end_ms for one, after in pairwise(phrases)),
        EDGE_MS,
    ]
    for at, phrase in enumerate(phrases):
        words = phrase.words
        found = {f"word {word}" for word in words}
        found |= {f"among the first {word}" for word in words[:FIRST]}
        found |= {f"together {one} {other}" for one, other in pairwise(words[:FIRST])}
        found |= {f"first {words[0]}", f"first two {' '.join(words[:2])}"}
        found |= {
            f"quiet before {bisect_right(QUIETS_MS, quiets[at])}",
            f"quiet after {bisect_right(QUIETS_MS, quiets[at + 1])}",
            f"breath {phrase.breath}",
            f"moved {bool(on_breath[at])}",
            f"turning {min(int(turning[at]), 3)}",
            f"named {int(names[at])}",
            f"looked on {bool(looked_on[at])}",
            f"length {min(len(words) // THREES, MOST_THREES)}",
            f"side {phrase.sides[:1] or 'none'}",
        }
        if at:
            before = phrases[at - 1]
            found |= {f"before {word}" for word in before.words}
            found |= {f"just before {word}" for word in before.words[-LAST:]}
            found |= {
                f"before first two {' '.join(before.words[:2])}",
                f"before breath {before.breath}",
                f"before named {int(names[at - 1])}",
            }
        if at > 1:
            found |= {f"long before {word}" for word in phrases[at - 2].words}
        if at + 1 < len(phrases):
            after = phrases[at + 1]
            found |= {f"after {word}" for word in after.words}
            found |= {f"after breath {after.breath}", f"after named {int(names[at + 1])}"}
        yield frozenset(found)
