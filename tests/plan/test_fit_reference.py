"""Fitting against a general solver: every hold within one breath of the best, and the slot filled to the millisecond.

The reference is HiGHS through scipy.optimize, which knows nothing of springs, chains or eases. It is asked for lengths
that fill the slot within all bounds so that the hold that gives the largest part of its room gives as little as can be:
as a linear programme if breaths could be cut, and as an integer programme for whole breaths.
"""

from dataclasses import dataclass, replace
from fractions import Fraction
from random import Random

import numpy as np
import pytest
from examples import some
from plans_by_hand import PACE, SOUND_MS, step_of
from rows import each_row

from guide.plan.fitting.fit import Fitted, fit
from guide.plan.fitting.springs import bounded, spread
from guide.plan.scheduler import plan
from guide.sequence.steps import BellWhen, InBreaths, InTime, Sounds, Step, StepKind, Steps

CASES = some(400)
BREATH_MS = int(PACE.period_ms)


@dataclass(frozen=True, slots=True)
class Case:
    """A class of holds at one pace, each so many times, and a rest at the end that can take what is left over.

    Rows are (times, unit in ms, least, usual, most); the last is the rest, in milliseconds.
    """

    rows: tuple[tuple[int, int, int, int, int], ...]
    slot_ms: int

    @property
    def steps(self) -> Steps:
        made: list[Step] = []
        for line, (times, unit_ms, *hold) in enumerate(self.rows, start=2):
            kind, held = (StepKind.POSE, InBreaths(*hold)) if unit_ms > 1 else (StepKind.REST, InTime(*hold))
            # The share of the rest, so that its usual length is what it naturally has.
            share = None if unit_ms > 1 else Fraction(hold[1], self.slot_ms)
            made += [step_of(kind, f"step {line}", line, section=None, hold=held, share=share)] * times
        return Steps("Case", tuple(made), (), Sounds("bowl", "rising", "falling", "wood"), BellWhen.NONE, self.slot_ms)

    def fitted(self) -> Fitted:
        return fit(self.steps, {}, SOUND_MS)

    def holds(self, steps: Steps) -> list[int]:
        """What each row is set to: breaths, or ms for the rest."""
        found = {step.place.line: step.hold for step in steps.steps}
        return [hold.usual if isinstance(hold, InBreaths) else hold.usual_ms for hold in found.values() if hold]


def case(seed: int) -> Case:
    random = Random(seed)
    rows = []
    for _ in range(random.randint(2, 12)):
        least = random.randint(1, 8)
        usual = least + random.randint(0, 4)
        rows.append((random.choice([1, 1, 2, 2, 2, 3, 5, 6]), BREATH_MS, least, usual, usual + random.randint(0, 5)))
    # Wide enough for half a breath of the hold that is there most often, on both sides of what it would have.
    spare_ms = 6 * BREATH_MS
    usual_ms = random.randint(60, 600) * 1000 + spare_ms
    rows.append((1, 1, usual_ms - spare_ms - random.randint(0, 30_000), usual_ms, usual_ms + spare_ms * 2))
    ends = [sum(times * unit_ms * hold[end] for times, unit_ms, *hold in rows) for end in (0, 2)]
    return Case(tuple(rows), random.randint(ends[0], ends[1]))


def rooms(made: Case) -> np.ndarray:
    """For each row: how many ms it adds for one unit, its least, usual and most."""
    return np.array([(times * unit_ms, *hold) for times, unit_ms, *hold in made.rows], dtype=float)


def fairest(made: Case, integral: bool) -> tuple[np.ndarray, float]:
    """The lengths that the solver finds, and the largest part of its room that any of them gives.

    Variables: what each row has, then z. Minimise z, with usual - z * down <= x <= usual + z * up, and the sum given.
    """
    from scipy.optimize import Bounds, LinearConstraint, linprog, milp

    cost_ms, least, usual, most = rooms(made).T
    count = len(cost_ms)
    up, down = most - usual, usual - least
    objective = np.append(np.zeros(count), 1.0)
    more = np.hstack([np.eye(count), -up[:, None]])
    less = np.hstack([-np.eye(count), -down[:, None]])
    total = np.append(cost_ms, 0.0)
    lower, upper = np.append(least, 0.0), np.append(most, 1.0)
    if not integral:
        found = linprog(
            objective,
            A_ub=np.vstack([more, less]),
            b_ub=np.concatenate([usual, -usual]),
            A_eq=total[None, :],
            b_eq=[made.slot_ms],
            bounds=list(zip(lower, upper, strict=True)),
        )
    else:
        whole = np.append(np.where(cost_ms > 1, 1, 0), 0)
        whole[count - 1] = 0
        limits = [
            LinearConstraint(more, -np.inf, usual),
            LinearConstraint(less, -np.inf, -usual),
            LinearConstraint(total[None, :], made.slot_ms, made.slot_ms),
        ]
        found = milp(objective, integrality=whole, bounds=Bounds(lower, upper), constraints=limits)
    assert found.status == 0, found.message
    return found.x[:count], float(found.x[-1])


def length_of(steps: Steps) -> int:
    return plan(steps, {}, SOUND_MS).length_ms


@pytest.mark.real
def test_every_hold_is_within_a_breath_of_the_best_and_the_slot_is_filled() -> None:
    off: list[float] = []
    for seed in range(CASES):
        made = case(seed)
        fitted = made.fitted()
        best, part = fairest(made, integral=False)
        assert abs(abs(float(fitted.ease or 0)) - part) < 1e-6, seed
        assert length_of(fitted.steps) == made.slot_ms, seed
        off += [abs(mine - other) for mine, other in zip(made.holds(fitted.steps)[:-1], best[:-1], strict=True)]
    assert max(off) <= 1
    print(f"\n{CASES} random classes: {len(off)} holds, at most {max(off):.2f} breaths from the best,", end=" ")
    print(f"{sum(off) / len(off):.2f} on average; every slot filled to the millisecond", end="")


@pytest.mark.real
@each_row("seed", range(60))
def test_no_hold_gives_a_breath_more_than_in_the_best_class_of_whole_breaths(seed: int) -> None:
    made = case(seed)
    _, part = fairest(made, integral=True)
    for mine, (times, unit_ms, least, usual, most) in zip(made.holds(made.fitted().steps), made.rows, strict=True):
        if unit_ms > 1:
            assert usual - part * (usual - least) - 1 <= mine <= usual + part * (most - usual) + 1, times


@each_row("seed", range(60))
def test_the_ease_is_that_of_the_springs(seed: int) -> None:
    made = case(seed)
    found = spread(
        [
            bounded(*(times * unit_ms * end for end in (usual, least, most)))
            for times, unit_ms, least, usual, most in made.rows
        ],
        made.slot_ms,
    )
    assert made.fitted().ease == found.ease


def test_at_its_usual_length_nothing_gives() -> None:
    made = case(7)
    usual_ms = sum(times * unit_ms * usual for times, unit_ms, _, usual, _ in made.rows)
    fitted = replace(made, slot_ms=usual_ms).fitted()
    assert (fitted.ease, fitted.notes) == (0, ())
    assert made.holds(fitted.steps) == [usual for _, _, _, usual, _ in made.rows]
