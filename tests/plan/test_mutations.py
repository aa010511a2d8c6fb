"""Two hundred deliberate breaks of good plans: each is caught, and the promise that it breaks is named."""

from collections import Counter
from pathlib import Path

import pytest
from mutants import OPERATORS, mutants
from plan_texts import fitted, planned, steps_of
from plans_by_hand import Plan, lake, tight

COUNT = 280

#: A class that fills its slot, with something of every kind in it that gives.
FITTED = """\
title: Fitted
slot: 6 min
library cues: no
class:
  - rounds: 2
    of:
      - inhale: Up.
      - pose: tree
        hold: 2 to 6 breaths
  - both sides:
      - pose: lunge
        hold: 3 to 5 breaths
  - rest: 1 to 4 min
"""


@pytest.fixture(scope="module")
def good_plans() -> list[Plan]:
    """The plans by hand, those of the pairs with words, and a whole shipped class, as it is and as it fills a slot."""
    here = Path(__file__).parent
    shipped = here.parent.parent / "sequences" / "lakeside-morning.yaml"
    plans = [lake(), tight()]
    for path in (*sorted(here.joinpath("pairs").glob("*.yaml")), shipped):
        steps = steps_of(path.read_text(encoding="utf-8"), path.parent)
        plans.append(Plan(steps, *planned(steps)))
    plans.append(Plan(*fitted(steps_of(FITTED, here))))
    return [plan for plan in plans if plan.timeline.cues]


def test_the_plans_are_good_before_they_are_broken(good_plans: list[Plan]) -> None:
    assert [plan.found() for plan in good_plans] == [[] for _ in good_plans]


def test_every_break_is_caught_and_named(good_plans: list[Plan]) -> None:
    broken: Counter[int] = Counter()
    used, missed = set(), []
    for name, promise, plan in mutants(good_plans, COUNT, seed=2):
        named = {breach.promise for breach in plan.breaches()}
        if promise not in named:
            missed.append(f"{name} in “{plan.steps.title}” should break promise {promise}, named are {named}")
        used.add(name)
        broken[promise] += 1
    assert "\n".join(missed) == ""
    assert used == set(OPERATORS)
    assert broken.total() == COUNT
    assert set(broken) == set(range(11))
    print(f"\n{COUNT} of {COUNT} breaks of {len(good_plans)} good plans caught and named, by promise: ", end="")
    print(", ".join(f"{promise}: {count}" for promise, count in sorted(broken.items())))
