"""How like what was said is to what people are told in each pose: by its words and by pairs of them (naive Bayes).

`told.json` has how often each is told in each pose, counted by `tests/draft/learn_told.py`: in `told.txt`, which has it
as teachers may say it, in the library's own words, and in the talked classes of the tests, whose truth is known.
"""

import json
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np

from guide.draft.phrases import these
from guide.review.aligning.word_likeness import stem

COUNTED = Path(__file__).with_name("told.json")

#: A word makes pairs with so many after it.
NEAR = 4
#: Each pose is taken to have so many words more, as they are said anywhere.
MORE_WORDS = 120.0
#: A word or a pair says so much at most, for a pose and against it.
MOST, LEAST = 3.0, -0.3

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

#: For each word or pair how often it is told in each pose; in "" where it is told in none.
Counts = Mapping[str, Mapping[str, float]]


def telling(words: Iterable[str]) -> Counter[str]:
    """The words of a sentence that say something, and the pairs of those that are near each other."""
    said = [each for each in map(stem, words) if each not in _EMPTY]
    found = Counter(dict.fromkeys(said, 1))
    for place, one in enumerate(said):
        for other in said[place + 1 : place + 1 + NEAR]:
            if one != other:
                found[f"{one} {other}" if one < other else f"{other} {one}"] += 1
    return found


@dataclass(frozen=True, slots=True)
class ToldWords:
    """`weights` has a row for each word or pair, by the numbers in `rows`: how much it speaks for each pose."""

    rows: Mapping[str, int]
    weights: np.ndarray

    def speak_for(self, words: Iterable[str]) -> np.ndarray:
        """How much the words of a sentence speak for each pose, as a logarithm."""
        found = [self.rows[each] for each in telling(words) if each in self.rows]
        total: np.ndarray = self.weights[found].sum(axis=0)
        return total


def weighed(counts: Counts, poses: Sequence[str]) -> ToldWords:
    """How much likelier each word or pair is told in each pose than anywhere."""
    column = {name: number for number, name in enumerate(poses)}
    rows = {each: number for number, each in enumerate(counts)}
    table = np.zeros((len(rows), len(poses) + 1), dtype=np.float32)
    for each, by_pose in counts.items():
        for name, count in by_pose.items():
            table[rows[each], column.get(name, len(poses))] += count
    anywhere = table.sum(axis=1, keepdims=True) / table.sum()
    likelier = np.log((table / anywhere + MORE_WORDS) / (table.sum(axis=0) + MORE_WORDS))
    return ToldWords(rows, np.clip(likelier[:, :-1], LEAST, MOST))


@cache
def learned(poses: tuple[str, ...]) -> ToldWords:
    """What was counted of these poses."""
    counted = json.loads(COUNTED.read_text(encoding="utf-8"))
    names = counted["poses"]
    tenths = counted["tenths"].items()
    return weighed(
        {each: {names[at]: n / 10 for at, n in zip(by[::2], by[1::2], strict=True)} for each, by in tenths}, poses
    )
