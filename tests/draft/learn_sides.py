"""Fits what the signs of two sides are worth, for `WORTH` and `LEAST` in `guide/draft/told_sides.py`, and prints them.

    PYTHONPATH=.:tests:tests/review:tests/draft python tests/draft/learn_sides.py

Classes that nothing was learned from (`talks/put_away_before/`) are read, and the pairs that may be in them are told
apart by whether they are the true ones (logistic regression).
"""

from multiprocessing import Pool

import numpy as np
from scipy.optimize import minimize
from talked import PUT_AWAY_BEFORE, Talked, captions, names, talked

from guide.draft.events import beginnings
from guide.draft.from_captions import named_phrases, stayed_in
from guide.draft.phrases import in_thoughts
from guide.draft.reading.encoder import told_of
from guide.draft.shared_names import names_of
from guide.draft.side_words import SideWords, side_words
from guide.draft.told_sides import Pairs, pairs_of

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


def material(name: str) -> list[tuple[dict[str, float], bool, float]]:
    """The signs of true pairs in a talk and of others, whether they are true, and how much each counts."""
    chance = np.random.default_rng(0)
    talk = talked(PUT_AWAY_BEFORE, name)
    transcript = captions(talk, "eight words")
    said, naming = named_phrases(transcript)
    thoughts, _ = in_thoughts(said, ())
    told = told_of(thoughts)
    stays = stayed_in(thoughts, transcript.blocks[-1].end_ms, naming, told)
    words = side_words(said, beginnings(said, naming), names_of(naming, said))
    found = []
    for pairs in pairs_of(words, stays, told):
        common = truth(talk, words, pairs)
        same, others = np.argwhere(common >= SAME), np.argwhere(common < OTHER)
        for row, column in (*same, *chance.permutation(others)[:OTHERS]):
            true = bool(common[row, column] >= SAME)
            signs = {name: float(each[row, column]) for name, each in pairs.signs.items()}
            found.append((signs, true, min(1, WHOLE / len(same)) if true else 1.0))
    return found


def main() -> None:
    """Prints what every sign is worth."""
    with Pool() as workers:
        classes = workers.map(material, names(PUT_AWAY_BEFORE), 2)
    signs, right, worth = zip(*(each for one in classes for each in one), strict=True)
    titles, rows = list(signs[0]), [list(each.values()) for each in signs]
    table, true, counts = np.column_stack([rows, np.ones(len(rows))]), np.array(right), np.array(worth)

    def unlikely(weights: np.ndarray) -> tuple[float, np.ndarray]:
        odds = table @ weights
        slope = table.T @ (counts * (1 / (1 + np.exp(-odds)) - true))
        slope[:-1] += weights[:-1]
        whole = (counts * np.logaddexp(0, np.where(true, -odds, odds))).sum() + (weights[:-1] ** 2).sum() / 2
        return float(whole), slope

    found = minimize(unlikely, np.zeros(table.shape[1]), jac=True, method="L-BFGS-B").x
    for name, each in zip(titles, found, strict=False):
        print(f'    "{name}": {each:.2f},')
    print(f"LEAST = {MORE - found[-1]:.2f}")


if __name__ == "__main__":
    main()
