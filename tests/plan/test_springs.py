"""The solver against published examples: TeX's glue, CSS's flexible lengths, and bounded least squares."""

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from guide.plan.fitting.springs import Spring, bounded, spread

F = Fraction


def glue(natural: int, stretch: int, shrink: int) -> Spring:
    """TeX's glue: it may stretch for ever, and shrink by `shrink` at most."""
    return Spring(F(natural), F(natural - shrink), None, F(stretch), F(shrink))


#: D. E. Knuth, The TeXbook, chapter 12: boxes of 5, 6, 3 and 8 units, and three pieces of glue between them.
BOXES = 5 + 6 + 3 + 8
GLUE = [glue(9, 3, 1), glue(9, 6, 2), glue(12, 0, 0)]


@pytest.mark.parametrize(
    ("wanted", "lengths", "ease"),
    [
        (52, [9, 9, 12], F(0)),
        (58, [11, 13, 12], F(6, 9)),
        (51, [F(26, 3), F(25, 3), 12], F(-1, 3)),
        (49, [8, 7, 12], F(-1)),
        (100, [25, 41, 12], F(48, 9)),
    ],
)
def test_glue_sets_as_in_the_texbook(wanted: int, lengths: list[Any], ease: Fraction) -> None:
    found = spread(GLUE, wanted - BOXES)
    assert (list(found.lengths), found.ease, found.missing) == (lengths, ease, 0)


def test_glue_never_shrinks_past_its_end_and_the_box_is_overfull() -> None:
    """The TeXbook, chapter 12: a box of 48 units is overfull by 1."""
    found = spread(GLUE, 48 - BOXES)
    assert (list(found.lengths), found.ease, found.missing) == ([8, 7, 12], F(-1), -1)


def test_without_any_stretch_the_box_is_underfull() -> None:
    found = spread([glue(12, 0, 0)], 20)
    assert (found.lengths, found.ease, found.missing) == ((12,), 0, 8)


def flex(base: int, least: int, most: int | None, grow: Fraction | int, shrink: int) -> Spring:
    """An item of a flexible box: grows by its factor, shrinks by its factor times its base size."""
    return Spring(F(base), F(least), None if most is None else F(most), F(grow), F(shrink * base))


def resolved(total: int, *items: Spring) -> list[Fraction]:
    """Factors that add to less than 1 only ask for that part of the space that is free."""
    bases = sum(max(item.least, item.natural) for item in items)
    grow = sum(item.stretch for item in items)
    wanted = bases + (total - bases) * min(F(1), grow) if total > bases else total
    return list(spread(items, wanted).lengths)


def test_lengths_resolve_as_in_css() -> None:
    """CSS Flexible Box Layout Level 1, 9.7 "Resolving Flexible Lengths": the lengths by its algorithm, worked out."""
    free = flex(100, 0, None, 1, 1)
    assert resolved(600, flex(100, 0, 150, 1, 1), free, free) == [150, 225, 225]
    assert resolved(300, flex(200, 0, None, 1, 1), flex(100, 90, None, 1, 1), free) == [140, 90, 70]
    assert resolved(300, *[flex(100, 0, None, F(1, 4), 1)] * 2) == [125, 125]
    assert resolved(300, flex(0, 150, None, 1, 1), flex(0, 0, 80, 1, 1), flex(0, 0, None, 1, 1)) == [150, 75, 75]
    five = flex(60, 30, 90, 1, 1), flex(300, 240, 360, 2, 1), flex(120, 120, 120, 0, 0), flex(240, 180, 600, 1, 1)
    assert resolved(900, *five) == [90, 360, 120, 330]


def test_what_css_lets_overflow_is_told() -> None:
    found = spread([flex(60, 50, 60, 1, 1), flex(80, 70, 80, 1, 1)], 100)
    assert (list(found.lengths), found.missing) == ([50, 70], -20)


def weighted(wanted: int, weight: Fraction | int, most: int | None = None) -> Spring:
    return Spring(F(wanted), F(-(10**9)), None if most is None else F(most), 1 / F(weight), 1 / F(weight))


@pytest.mark.parametrize(
    ("weights", "most", "lengths"),
    [
        ((1, 1, 1), None, [70, 40, 40]),
        ((1, 1, 1), 65, [65, F(85, 2), F(85, 2)]),
        ((F(1, 60), F(1, 30), F(1, 30)), None, [75, F(75, 2), F(75, 2)]),
        ((F(1, 60), F(1, 30), F(1, 30)), 65, [65, F(85, 2), F(85, 2)]),
    ],
)
def test_bounded_least_squares_by_one_multiplier(
    weights: tuple[Any, ...], most: int | None, lengths: list[Any]
) -> None:
    """min sum w (x - d)², sum x = T: x = clip(d + m / w) for one m (Boyd, Vandenberghe, Convex Optimization 5.5.3)."""
    springs = [weighted(*of) for of in zip((60, 30, 30), weights, (most, None, None), strict=True)]
    assert list(spread(springs, 150).lengths) == lengths


def test_water_fills_the_lowest_first() -> None:
    """The form of Boyd and Vandenberghe, example 5.2: floors at .2, .5 and 1.1, one unit of water, level .85."""
    floors = [Spring(-F(floor), F(0), None, F(1), F(1)) for floor in ("0.2", "0.5", "1.1")]
    found = spread(floors, 1)
    assert (list(found.lengths), found.ease) == ([F("0.65"), F("0.35"), 0], F("0.85"))


def springs() -> st.SearchStrategy[Spring]:
    whole, measure = st.integers(-50, 50), st.integers(0, 20).map(F)
    most = st.one_of(st.none(), st.integers(0, 60))
    return st.builds(
        lambda natural, least, over, stretch, shrink: Spring(
            F(natural), F(least), None if over is None else F(least + over), stretch, shrink
        ),
        *(whole, whole, most, measure, measure),
    )


@settings(deadline=None)
@given(st.lists(springs(), max_size=8), st.integers(-200, 200))
def test_the_total_is_exact_and_one_ease_gives_every_length(made: list[Spring], total: int) -> None:
    found = spread(made, total)
    assert sum(found.lengths) + found.missing == total
    assert list(found.lengths) == [spring.at(found.ease) for spring in made]
    if found.missing:
        further = found.ease + (1000 if found.missing > 0 else -1000)
        assert sum(spring.at(further) for spring in made) == sum(found.lengths)


@settings(deadline=None)
@given(st.lists(springs(), max_size=8), st.integers(-200, 200), st.integers(0, 50))
def test_a_larger_total_makes_no_spring_shorter(made: list[Spring], total: int, more: int) -> None:
    pairs = zip(spread(made, total).lengths, spread(made, total + more).lengths, strict=True)
    assert all(one <= other for one, other in pairs)


@given(st.integers(0, 50), st.integers(0, 50), st.integers(0, 50))
def test_a_spring_of_a_class_reaches_its_bounds_at_ease_one(least: int, up: int, more: int) -> None:
    spring = bounded(least + up, least, least + up + more)
    assert [spring.at(F(ease)) for ease in (-1, 0, 1)] == [least, least + up, least + up + more]
