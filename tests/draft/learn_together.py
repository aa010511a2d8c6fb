"""Fits how much signs and the network count, for `WORTH` in `guide/draft/reading/together.py`, and prints it.

    PYTHONPATH=.:tests:tests/review:tests/draft python tests/draft/learn_together.py

Each worth is moved in turn, as long as more is found of what was really done and less of what was not: in classes that
neither was learned from (`talks/put_away_before/`), and in a few from a script. First with two of three of them, by
turns, to see how the others come out; then with all. It takes ten minutes on two processors.
"""

from collections.abc import Callable, Sequence
from dataclasses import asdict, replace
from functools import partial
from itertools import product
from multiprocessing import Pool

import numpy as np
from learn_reading import CUT, POSES, SCRIPTED, Lesson, lesson, thoughts
from scripted import scripted
from talked import PUT_AWAY_BEFORE, names, talked

from guide.draft.reading import weights
from guide.draft.reading.chain import best_path
from guide.draft.reading.encoder import ToldPhrases, told_of
from guide.draft.reading.likeliest import RATHER_NOT, thought_of
from guide.draft.reading.scores import Scores, chosen, scores
from guide.draft.reading.together import WORTH, Worth, together

#: So many classes from a script, besides those that were learned from.
FROM_SCRIPT = 12
#: A pose that is wrong counts as so many that are not found; and where stays begin and end counts so much.
WRONG, EDGES = 1.5, 0.15
#: A worth is moved by so much of it, at least by so much, and in each round by half of that.
STEP, LEAST_STEP, ROUNDS = 0.3, 0.1, 3
#: What is better by less is chance.
BETTER = 1e-4

Read = tuple[Lesson, Scores, ToldPhrases]
#: How many poses are found, drafted and there, and how many of their edges are right.
Found = np.ndarray

#: What is fitted to; the processes that look at it have it from the first.
CLASSES: list[Read] = []


def read(name: str | int) -> Read:
    """A class, or a number of a scripted one, with what signs say and what the network tells of it."""
    talk, learned = scripted(name) if isinstance(name, int) else talked(PUT_AWAY_BEFORE, name), weights.learned()
    one = lesson(talk, CUT)
    words, around = chosen(one.signs.words, learned.word_rows), chosen(one.signs.around, learned.sign_rows)
    told = told_of(thoughts(talk, CUT)[0])
    return one, scores(one.signs, learned, words, around, thought_of(told)), told


def found(job: tuple[Worth, int]) -> Found:
    """What is found of one of the classes."""
    worth, number = job
    one, by_signs, told = CLASSES[number]
    made = together(by_signs, told, worth)
    made = replace(made, starts=made.starts - RATHER_NOT * (made.states < POSES))
    left = [stay for stay in one.stays if stay[2] < POSES]
    path = [(start, end, int(made.states[place])) for start, end, place in best_path(made)]
    drafted, there, right, edges = [stay for stay in path if stay[2] < POSES], len(left), 0, 0
    for start, end, state in drafted:
        same = next((each for each in left if each[2] == state and min(end, each[1]) > max(start, each[0])), None)
        if same:
            left.remove(same)
            right += 1
            edges += (start == same[0]) + (end == same[1])
    return np.array([right, len(drafted), there, edges])


def good(counts: Found) -> float:
    """How good drafts are of which so much is found."""
    right, drafted, there, edges = counts.tolist()
    return right / there - WRONG * (1 - right / drafted) + EDGES * edges / 2 / there


def fitted(counts: Callable[[Worth], Found]) -> Worth:
    """The worths with which drafts are best."""
    worth, best = WORTH, good(counts(WORTH))
    steps = {name: max(LEAST_STEP, STEP * abs(value)) for name, value in asdict(WORTH).items()}
    for number, (name, step) in product(range(ROUNDS), steps.items()):
        for by in (step / 2**number, -step / 2**number):
            while (value := good(counts(moved := replace(worth, **{name: getattr(worth, name) + by})))) > best + BETTER:
                worth, best = moved, value
    return worth


def main() -> None:
    """Fit, and print."""
    with Pool() as workers:
        CLASSES.extend(workers.map(read, [*names(PUT_AWAY_BEFORE), *range(SCRIPTED, SCRIPTED + FROM_SCRIPT)], 2))
    with Pool() as workers:

        def counted(numbers: Sequence[int], worth: Worth) -> Found:
            return np.sum(workers.map(found, [(worth, number) for number in numbers], 4), axis=0)

        every, others = range(len(CLASSES)), np.zeros(4, dtype=int)
        for third in range(3):
            worth = fitted(partial(counted, [number for number in every if number % 3 != third]))
            others += counted(every[third::3], worth)
        for what, counts in ("as it was", counted(every, WORTH)), ("fitted to others", others):
            right, drafted, there, _ = counts.tolist()
            print(f"{what}: {right / there:.1%} found, {1 - right / drafted:.1%} wrong, {good(counts):.3f}")
        for name, value in asdict(fitted(partial(counted, every))).items():
            print(f"    {name}={value:.2f},")


if __name__ == "__main__":
    main()
