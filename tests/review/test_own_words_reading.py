"""The parts of a plan in a talk, beside all ways to lay them counted out one by one."""

from collections.abc import Iterator
from itertools import combinations

import numpy as np
import pytest

from guide.review.aligning.told_talk import ToldTalk
from guide.review.own_words import reading as model
from guide.review.own_words.planned_parts import PlannedPart

POSES = ("mountain", "tree", "")
COUNT = 6


def talk() -> ToldTalk:
    chance = np.random.default_rng(7)
    words = tuple((f"word{number}",) for number in range(COUNT))
    each = {name: chance.normal(size=COUNT) for name in POSES}
    starts = {name: chance.normal(size=COUNT) for name in POSES}
    times = np.cumsum(chance.integers(4_000, 20_000, COUNT + 1)).astype(float)
    ends, outside, anything = chance.normal(size=COUNT + 1), chance.normal(size=COUNT), chance.normal(size=COUNT)
    return ToldTalk(words, times, np.zeros(COUNT), each, starts, ends, outside, anything)


def parts() -> list[PlannedPart]:
    return [
        PlannedPart(0, 1, 20_000, {}, is_second=False, pose="mountain"),
        PlannedPart(1, 2, 30_000, {}, is_second=False, pose="", is_moved=True),
        PlannedPart(2, 3, 15_000, {}, is_second=True, pose="tree"),
    ]


def ways() -> Iterator[tuple[tuple[int, int, int], ...]]:
    """Every way to do one part at least, as the part, its first phrase and the one after its last."""
    for many in range(1, 4):
        for done in combinations(range(3), many):
            for edges in combinations(range(2 * COUNT + 2), 2 * many):
                places = [edge // 2 for edge in edges]
                spans = [*zip(done, places[::2], places[1::2], strict=True)]
                if all(start < end <= COUNT for _, start, end in spans):
                    yield tuple(spans)


def worth(spans: tuple[tuple[int, int, int], ...], said: ToldTalk, plan: list[PlannedPart]) -> float:
    outside = np.logaddexp(model.OUTSIDE * said.outside, said.anything + model.ANYTHING)
    laid = [*model._ways(plan, said, outside)]
    total = model.left_out(spans[0][0]) + model.left_out(2 - spans[-1][0])
    inside = set[int]()
    for number, (part, start, end) in enumerate(spans):
        total += laid[part].starts[start - laid[part].low] + laid[part].stays[start - laid[part].low, end - start - 1]
        inside |= {*range(start, end)}
        if number:
            total += model.left_out(part - spans[number - 1][0] - 1)
    return float(total + outside[[at for at in range(COUNT) if at not in inside]].sum())


def test_the_sum_over_all_ways_and_where_each_part_begins() -> None:
    said, plan = talk(), parts()
    each = {spans: worth(spans, said, plan) for spans in set(ways())}
    whole = float(np.logaddexp.reduce([*each.values()]))
    read = model.reading(plan, said)
    assert read.likely == pytest.approx(whole) == model.how_likely(plan, said)
    for part in range(3):
        for start in range(COUNT):
            here = [value for spans, value in each.items() if any(span[:2] == (part, start) for span in spans)]
            share = float(np.exp(np.array(here) - whole).sum())
            assert read.begins[part, start] == pytest.approx(share, abs=1e-9)
