"""The first rough idea of when each planned word was said: runs of words that stand once in the plan and once in what
was heard, taken in order."""

from bisect import bisect_left
from collections import Counter
from collections.abc import Sequence
from typing import TYPE_CHECKING

from guide.review.aligning.word_likeness import sounded

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

#: So many words in a row make a run.
RUN_WORDS = 3

Pair = tuple[int, int]


def anchors(planned: Sequence[str], heard: Sequence[str]) -> list[Pair]:
    """Numbers of a planned and a heard word at which the same run begins, both rising."""
    plan_runs, said_runs = _runs(planned), _runs(heard)
    once_planned, once_heard = _once(plan_runs), _once(said_runs)
    pairs = sorted((place, once_heard[run]) for run, place in once_planned.items() if run in once_heard)
    return _rising(pairs)


def _runs(words: Sequence[str]) -> list[tuple[str, ...]]:
    sounds = [sounded(word) for word in words]
    return [tuple(sounds[place : place + RUN_WORDS]) for place in range(len(sounds) - RUN_WORDS + 1)]


def _once(runs: Sequence[tuple[str, ...]]) -> dict[tuple[str, ...], int]:
    counts = Counter(runs)
    return {run: place for place, run in enumerate(runs) if counts[run] == 1}


def _rising(pairs: Sequence[Pair]) -> list[Pair]:
    """The longest part of `pairs`, which rise in their first number, in which the second one rises too."""
    ends: list[int] = []
    holders: list[int] = []
    before: list[int] = []
    for number, (_, second) in enumerate(pairs):
        place = bisect_left(ends, second)
        before.append(holders[place - 1] if place else -1)
        ends[place : place + 1], holders[place : place + 1] = [second], [number]
    chosen, number = [], holders[-1] if holders else -1
    while number >= 0:
        chosen.append(pairs[number])
        number = before[number]
    return chosen[::-1]


def expected(
    pairs: Sequence[Pair], planned_ms: Sequence[int], heard_ms: Sequence[int]
) -> "tuple[NDArray[np.float64], NDArray[np.float64]]":
    """When each planned word is likely to be said, and how far that may be off, both in milliseconds.

    Between two anchors the time runs evenly; before the first and after the last it runs as planned. Without an anchor
    the whole class is laid over all that was heard, and may lie anywhere in it.
    """
    import numpy as np

    plan = np.array(planned_ms, np.float64)
    if not pairs:
        length = heard_ms[-1] - heard_ms[0]
        return np.interp(plan, [plan[0], plan[-1] + 1], [heard_ms[0], heard_ms[-1]]), np.full(len(plan), float(length))
    at = np.array([planned_ms[first] for first, _ in pairs], np.float64)
    said = np.array([heard_ms[second] for _, second in pairs], np.float64)
    likely = np.interp(plan, at, said) + np.minimum(plan - at[0], 0) + np.maximum(plan - at[-1], 0)
    after = np.searchsorted(at, plan, side="left")
    gap_before = plan - at[np.maximum(after - 1, 0)]
    gap_after = at[np.minimum(after, len(at) - 1)] - plan
    far = np.where((after > 0) & (after < len(at)), np.minimum(gap_before, gap_after), np.abs(gap_before))
    far = np.where(after == 0, np.abs(gap_after), far)
    return likely, far
