"""Fits what the signs of two sides are worth, for `WORTH` and `LEAST` in `guide/draft/told_sides.py`, and prints them.

    PYTHONPATH=.:tests:tests/review:tests/draft python tests/draft/learn_sides.py

A quarter of the teachers is read with what was learned from all others, and the pairs that may be in their classes are
told apart by whether they are the true ones (logistic regression). It takes half an hour.
"""

import zlib
from collections.abc import Iterator
from pathlib import Path
from unittest.mock import patch

import numpy as np
from learn_reading import all_lessons, learned_from, talks
from scipy.optimize import minimize
from talked import Talked, captions, talked

from guide.draft.events import beginnings, parted
from guide.draft.from_captions import stayed_in
from guide.draft.phrases import phrases
from guide.draft.pose_naming import naming_of
from guide.draft.reading import likeliest
from guide.draft.shared_names import names_of
from guide.draft.side_words import SideWords, side_words
from guide.draft.told_sides import Pairs, pairs_of

QUARTERS, ROUNDS = 4, 4
#: Passes that have so much in common are the same, and with less they are others.
SAME, OTHER = 0.6, 0.45
#: So many others of each turn are looked at, and the true ones count as much as so many together.
OTHERS, WHOLE = 60, 5
#: Pairs must be so much likelier than not.
MORE = 0.5


def in_common(one: tuple[int, int], other: tuple[int, int]) -> float:
    """How much of two spans together is in both."""
    both = min(one[1], other[1]) - max(one[0], other[0])
    return max(both, 0) / (max(one[1], other[1]) - min(one[0], other[0]))


def truth(talk: Talked, words: SideWords, pairs: Pairs) -> np.ndarray:
    """How much each pair has in common with a true one."""
    turn_ms = words.at_ms(pairs.turn)
    found = np.zeros((len(pairs.starts), len(pairs.ends)))
    for pair in talk.pairs:
        first = [in_common((words.at_ms(start), turn_ms), pair.first) for start in pairs.starts]
        second = [in_common((turn_ms, words.at_ms(end)), pair.second) for end in pairs.ends]
        found = np.maximum(found, np.minimum(np.array(first)[:, None], np.array(second)[None, :]))
    return found


def material(folder: Path, name: str) -> Iterator[tuple[Pairs, np.ndarray]]:
    """The pairs of a talk with how true they are."""
    talk = talked(folder, name)
    transcript = captions(talk, "eight words")
    said = phrases(transcript)
    naming = naming_of(said)
    said = tuple(parted(said, naming))
    stays = stayed_in(said, transcript.blocks[-1].end_ms, naming)
    words = side_words(said, beginnings(said, naming), names_of(naming, said))
    for pairs in pairs_of(words, stays):
        yield pairs, truth(talk, words, pairs)


def main() -> None:
    """Prints what every sign is worth."""
    taken = [each for each in talks() if zlib.crc32(each[1].partition("-")[0].encode()) % QUARTERS == 0]
    weights = learned_from(all_lessons({name.partition("-")[0] for _, name in taken}), ROUNDS, print).weights()
    chance = np.random.default_rng(0)
    rows, right, worth, names = [], [], [], []
    with patch.object(likeliest, "learned", lambda: weights):
        for pairs, common in (each for one in taken for each in material(*one)):
            names = list(pairs.signs)
            signs = np.stack(list(pairs.signs.values()), axis=-1)
            same, others = np.argwhere(common >= SAME), np.argwhere(common < OTHER)
            others = chance.permutation(others)[:OTHERS]
            rows.extend(signs[row, column] for row, column in (*same, *others))
            right.extend([True] * len(same) + [False] * len(others))
            worth.extend([min(1, WHOLE / max(len(same), 1))] * len(same) + [1] * len(others))
    table, true, counts = np.column_stack([rows, np.ones(len(rows))]), np.array(right), np.array(worth)

    def unlikely(weights: np.ndarray) -> tuple[float, np.ndarray]:
        odds = table @ weights
        slope = table.T @ (counts * (1 / (1 + np.exp(-odds)) - true))
        slope[:-1] += weights[:-1]
        whole = (counts * np.logaddexp(0, np.where(true, -odds, odds))).sum() + (weights[:-1] ** 2).sum() / 2
        return float(whole), slope

    found = minimize(unlikely, np.zeros(table.shape[1]), jac=True, method="L-BFGS-B").x
    for name, each in zip(names, found, strict=False):
        print(f'    "{name}": {each:.2f},')
    print(f"LEAST = {MORE - found[-1]:.2f}")


if __name__ == "__main__":
    main()
