"""Prints how many starts of a talked class a comparison finds where the plan has the teacher's own words, and of those
said to be 90 % sure how many are right (see `tests/review/own_plan.py`).

    PYTHONPATH=.:tests:tests/review:tests/draft python tests/bench/bench_own_plan.py [FOLDER]

FOLDER has talks, those that were put away before by default.
"""

import sys
from functools import partial
from multiprocessing import Pool
from pathlib import Path

from own_plan import Told, compared
from talk_starts import WITH_SOUND
from talked import PUT_AWAY_BEFORE, names, talked

CUTS = ("eight words", f"eight words{WITH_SOUND}", "rolling", "40 s", f"40 s{WITH_SOUND}")
SURE = 0.895


def told(folder: Path, name: str) -> list[list[Told]]:
    """What is told of a talk."""
    return compared(talked(folder, name), CUTS)


if __name__ == "__main__":
    where = Path(sys.argv[1]) if len(sys.argv) > 1 else PUT_AWAY_BEFORE
    with Pool() as workers:
        classes = workers.map(partial(told, where), names(where), 1)
    for number, cut in enumerate(CUTS):
        every = [one for each in classes for one in each[number]]
        right = sum(is_right for is_right, _ in every)
        sure = [is_right for is_right, how in every if how >= SURE]
        shares = f"{right} of {len(every)}, {right / len(every):.1%}"
        print(f"{cut:24} {shares}; said to be 90 % sure: {sum(sure)} of {len(sure)} right")
