"""Fits how much signs and the network count, for `WORTH` in `guide/draft/reading/together.py`, and prints it.

    PYTHONPATH=.:tests:tests/review:tests/draft python tests/draft/learn_together.py

Two of three classes that neither was learned from (`talks/put_away_before/`) are fitted to, so that what was really
done is the likeliest of all chains; with the others it is seen how many poses are found.
"""

from dataclasses import asdict, astuple, fields, replace
from functools import partial
from multiprocessing import Pool

import numpy as np
from learn_reading import CUT, POSES, Lesson, as_done, lesson, thoughts
from scipy.optimize import minimize
from talked import PUT_AWAY_BEFORE, names, talked

from guide.draft.reading import weights
from guide.draft.reading.chain import best_path, chances
from guide.draft.reading.encoder import ToldPhrases, told_of
from guide.draft.reading.scores import Scores, chosen, scores
from guide.draft.reading.together import WORTH, Worth, together

#: The fit is drawn so much to where it began, and takes so many steps.
BACK, STEPS = 0.05, 14
#: What a pose is likelier to begin by, for the figures.
RATHER = (0.0, 0.7, 1.4)
NAMES = [field.name for field in fields(Worth)]

Read = tuple[Lesson, Scores, ToldPhrases]


def read(name: str) -> Read:
    """A class with what signs say and what the network tells of it."""
    talk = talked(PUT_AWAY_BEFORE, name)
    one, learned = lesson(talk, CUT), weights.learned()
    words, around = chosen(one.signs.words, learned.word_rows), chosen(one.signs.around, learned.sign_rows)
    besides = {state for *_, state in one.stays if state < POSES}
    return one, scores(one.signs, learned, words, around, besides), told_of(thoughts(talk, CUT)[0])


def slopes(values: np.ndarray, one: Read) -> np.ndarray:
    """How likely what was really done is, and how that grows with each worth."""
    stays, by_signs, told = one[0].stays, *one[1:]
    made = together(by_signs, told, Worth(*values))
    likely, done = chances(made), as_done(stays, made)
    nothing = together(by_signs, told, Worth(*np.zeros(len(NAMES))))

    def worth_of(number: int) -> float:
        alone = together(by_signs, told, Worth(*np.eye(len(NAMES))[number]))
        within = np.diff(alone.sums - nothing.sums, axis=0) - (alone.outside - nothing.outside)[:, None]
        grown = float((within * (done.within - likely.within)).sum())
        for part in ("starts", "ends", "after", "again", "lengths"):
            more, off = (getattr(one, part) - getattr(other, part) for one, other in ((alone, nothing), (done, likely)))
            grown += float((more * off).sum())
        return grown

    return np.array([done.whole - likely.whole, *map(worth_of, range(len(NAMES)))])


def found(worth: Worth, rather: float, one: Read) -> np.ndarray:
    """How many poses are found, drafted, and there."""
    lesson_, by_signs, told = one
    made = together(by_signs, told, worth)
    made = replace(made, starts=made.starts + rather * (made.states < POSES))
    path = [(start, end, int(made.states[place])) for start, end, place in best_path(made)]
    left = [stay for stay in lesson_.stays if stay[2] < POSES]
    drafted, there, right = [stay for stay in path if stay[2] < POSES], len(left), 0
    for start, end, state in drafted:
        same = next((each for each in left if each[2] == state and min(end, each[1]) > max(start, each[0])), None)
        if same:
            left.remove(same)
            right += 1
    return np.array([right, len(drafted), there])


def main() -> None:
    """Fit, and print."""
    begun = np.array(astuple(WORTH))
    with Pool() as workers:
        classes = workers.map(read, names(PUT_AWAY_BEFORE), 2)
        fitted, others = [one for number, one in enumerate(classes) if number % 3], classes[::3]

        def unlikely(values: np.ndarray) -> tuple[float, np.ndarray]:
            mean = np.mean(workers.map(partial(slopes, values), fitted, 2), axis=0)
            print(f"{mean[0]:.2f}", flush=True)
            off = values - begun
            return BACK * float(off @ off) - mean[0], 2 * BACK * off - mean[1:]

        values = minimize(unlikely, begun, jac=True, method="L-BFGS-B", options={"maxiter": STEPS}).x
        for name, value in asdict(Worth(*values)).items():
            print(f"    {name}={value:.2f},")
        for rather in RATHER:
            right, drafted, there = np.sum(workers.map(partial(found, Worth(*values), rather), others, 2), axis=0)
            share = 2 * right / (drafted + there)
            print(f"{rather}: {right / there:.1%} found, {1 - right / drafted:.1%} wrong, F {share:.1%}")


if __name__ == "__main__":
    main()
