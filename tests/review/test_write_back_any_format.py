"""In any formatting, only the lengths that were meant become others: every other byte is as it was."""

from fractions import Fraction
from functools import cache
from random import Random

import pytest
from examples import FULL, tried
from hypothesis import given
from hypothesis import strategies as st
from taught import SEQUENCES, TAUGHT_CLASSES
from write_back_formats import formatted
from write_back_made import Breaths, Made

from guide.review.comparison import Comparison
from guide.review.write_back.taught_hold import SidesKept, Why
from guide.sequence.steps import InBreaths


def as_done(made: Made, seed: int) -> Breaths:
    """How many breaths each hold of a formatted class was done for, by the order of the places of its holds."""
    holds = formatted(seed).holds
    places = sorted({made.steps.steps[number].place for number in made.held})
    assert len(places) == len(holds)

    def breaths(number: int) -> int:
        step = made.steps.steps[number]
        hold = holds[places.index(step.place)]
        return hold.first if step.pass_number < 2 or hold.second is None else hold.second

    return breaths


@tried(100)
@given(st.integers(0, 10**9), st.sampled_from(SidesKept))
def test_only_the_lengths_that_were_meant_change(seed: int, sides: SidesKept) -> None:
    format_ = formatted(seed)
    made = Made.of(format_.before())
    comparison = made.done(as_done(made, seed))
    kept = made.kept(comparison, sides)
    assert kept.after == format_.after(sides)
    assert kept.left == ()
    again = Made.of(kept.after)
    assert again.kept(again.done(as_done(again, seed)), sides).after == kept.after


@tried(60)
@given(st.integers(0, 10**9), st.sampled_from(SidesKept))
def test_one_hold_done_otherwise_changes_one_length(seed: int, sides: SidesKept) -> None:
    format_ = formatted(seed)
    made = Made.of(format_.before())
    places = sorted({made.steps.steps[number].place for number in made.held})
    which = Random(seed).randrange(len(places))
    kept = made.kept(made.done(lambda number: 20 if made.steps.steps[number].place == places[which] else None), sides)
    assert kept.after == format_.with_one(which, 20)
    assert [change.line for change in kept.changes] == [places[which].line]


def test_as_planned_nothing_changes() -> None:
    for seed in range(40):
        made = Made.of(formatted(seed).before())
        kept = made.kept(made.done(lambda number: None), SidesKept.AS_TAUGHT)
        assert (kept.after, kept.changes, kept.left) == (made.raw, (), ())


@cache
def shipped_made(name: str, ending: str = "\n") -> Made:
    """A shipped class, with line ends of a kind."""
    raw = (SEQUENCES / f"{name}.yaml").read_bytes().replace(b"\n", ending.encode())
    return Made.of(raw, f"{name}.yaml", SEQUENCES)


def in_some_way(made: Made, seed: int) -> Comparison:
    """The class done by somebody who holds everything as long as she likes, with some steps less sure."""
    random = Random(seed)
    factors = [random.choice((1.0, random.uniform(0.2, 3.0))) for _ in made.steps.steps]

    def breaths(number: int) -> float:
        span = made.timeline.spans[number]
        planned_ms = span.held_ms - span.hold_ms
        top, _, bottom = span.period_ms.partition("/")
        return factors[number] * planned_ms / (int(top) / int(bottom or 1))

    unsure = {number for number in made.held if random.random() < 0.1}
    return made.done(breaths, lambda number: 0.5 if number in unsure else 1.0)


@pytest.mark.parametrize("name", TAUGHT_CLASSES)
@pytest.mark.parametrize("sides", SidesKept)
@pytest.mark.parametrize("ending", ["\n", "\r\n"])
def test_every_shipped_class_is_kept_as_it_was_done_and_then_stays(name: str, sides: SidesKept, ending: str) -> None:
    made = shipped_made(name, ending)
    kept = made.kept(in_some_way(made, 7), sides)
    assert kept.changes
    lines = kept.after.split(ending.encode())
    old_lines = made.raw.split(ending.encode())
    new = [line for line in lines if line not in old_lines]
    assert all(b"hold:" in line or b"rest:" in line or b"lasts:" in line or b"silence:" in line for line in new)
    assert len(lines) - len(old_lines) == sum(not change.before for change in kept.changes)
    assert kept.after.replace(ending.encode(), b"\n").count(b"\r") == 0
    assert {left.why for left in kept.left} <= {Why.UNSURE, Why.ELSEWHERE, Why.CUE}


@pytest.mark.parametrize("name", TAUGHT_CLASSES)
@pytest.mark.parametrize("sides", SidesKept)
def test_keeping_the_same_again_changes_nothing(name: str, sides: SidesKept) -> None:
    """The same breaths, and the same times by the clock, beside the plan of the file that they were written into.

    That plan may breathe at another pace, in which the same time is another number of breaths.
    """
    made = shipped_made(name)
    for seed in range(2 if FULL else 1):
        comparison = in_some_way(made, seed)
        held_ms = real_holds(made, comparison)
        kept = made.kept(comparison, sides)
        again = Made.of(kept.after, made.name, made.folder)
        assert again.held == made.held

        def breaths(number: int, again: Made = again, held_ms: dict[int, int] = held_ms) -> Fraction:
            in_breaths = isinstance(again.steps.steps[number].hold, InBreaths)
            pace_of = made if in_breaths else again
            return held_ms[number] / Fraction(pace_of.timeline.spans[number].period_ms)

        sure = [step.sure for step in comparison.steps]
        second = again.kept(again.done(breaths, lambda number, sure=sure: sure[number]), sides)  # type: ignore[misc]
        assert second.after == kept.after


def real_holds(made: Made, comparison: Comparison) -> dict[int, int]:
    """How long each hold really was, by the number of its step."""
    spans = made.timeline.spans
    found = {}
    for number in made.held:
        next_ms = spans[number + 1].start_ms if number + 1 < len(spans) else spans[number].end_ms
        around_ms = next_ms - spans[number].start_ms - (spans[number].held_ms - spans[number].hold_ms)
        real_ms = comparison.steps[number].real_ms
        assert real_ms is not None
        found[number] = real_ms - around_ms
    return found


def test_figures_of_the_shipped_classes() -> None:
    """What is kept where every hold is done for a random part of its length; shown with `pytest -s`."""
    for name in TAUGHT_CLASSES:
        made = shipped_made(name)
        kept = made.kept(in_some_way(made, 2), SidesKept.AS_TAUGHT)
        holds = len({made.steps.steps[number].place for number in made.held})
        print(f"{name}: {holds} holds, {len(kept.changes)} written, {len(kept.left)} left with a reason")
        assert 0 < len(kept.changes) <= holds
