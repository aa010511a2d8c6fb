"""Apportionment: many parts grow side by side, and each is always less than one step from where it should be."""

from collections import Counter
from fractions import Fraction
from itertools import accumulate

from hypothesis import given, settings
from hypothesis import strategies as st

from guide.plan.fitting.apportion import GrowthStep, apportioned

PARTS = st.lists(st.tuples(st.integers(1, 60).map(lambda n: 1000.0 * n), st.integers(0, 12)), max_size=20)


def test_two_equal_parts_take_turns() -> None:
    assert [step.part for step in apportioned([(8.0, 3), (8.0, 3)])] == [0, 1, 0, 1, 0, 1]


def test_each_step_is_due_where_the_sum_is_half_of_it_away() -> None:
    assert apportioned([(1.0, 4), (1.0, 1)]) == [
        GrowthStep(0.1, 0),
        GrowthStep(0.3, 0),
        GrowthStep(0.5, 0),
        GrowthStep(0.7, 1),
        GrowthStep(0.9, 0),
    ]


def test_a_large_step_is_due_in_the_middle_of_what_it_adds() -> None:
    """Four of 1 and one of 4: the large one brings the sum from 1 to 5, and is due at 3 of 8."""
    order = apportioned([(1.0, 4), (4.0, 1)])
    assert [step.part for step in order] == [0, 1, 0, 0, 0]
    assert order[1].due == 3 / 8


@settings(deadline=None)
@given(PARTS)
def test_every_part_takes_all_its_steps_each_between_the_two_moments_that_bound_it(
    parts: list[tuple[float, int]],
) -> None:
    taken: Counter[int] = Counter()
    for step in apportioned(parts):
        count = parts[step.part][1]
        before = taken[step.part]
        assert before / count <= step.due <= (before + 1) / count
        taken[step.part] += 1
    assert taken == Counter({part: count for part, (_, count) in enumerate(parts) if count})


@settings(deadline=None)
@given(PARTS)
def test_all_together_are_never_much_more_than_half_a_step_from_where_they_should_be(
    parts: list[tuple[float, int]],
) -> None:
    """How near the sum can be kept is a hard problem; half of the largest step would be perfect."""
    order = apportioned(parts)
    whole, largest = sum(size * count for size, count in parts), max((size for size, _ in parts), default=0)
    grown = list(accumulate((parts[step.part][0] for step in order), initial=0.0))
    for step, before, after in zip(order, grown, grown[1:], strict=False):
        assert max(abs(before - step.due * whole), abs(after - step.due * whole)) <= largest


@given(PARTS)
def test_growth_steps_are_in_order_and_the_same_again(parts: list[tuple[float, int]]) -> None:
    order = apportioned(parts)
    assert order == apportioned(parts)
    assert [step.due for step in order] == sorted(step.due for step in order)


@given(st.integers(1, 200), st.integers(1, 12))
def test_equal_parts_take_every_round_in_their_order(parts: int, count: int) -> None:
    order = [step.part for step in apportioned([(float(Fraction(8000)), count)] * parts)]
    assert order == [*range(parts)] * count
