"""Ways to break a good plan, each with the promise that it breaks.

A mutant is made only where it breaks something: the operators look for a cue, a ring, a span or a note that a promise
speaks about. Never made, because the plan would be as good as before: a cue moved to a later exhale that is free, the
note about waiting for the other side taken away, notes in another order, other wording around the facts of a note.
Where a time is changed, all that follows is moved along and the dips are drawn again, so that only one thing is wrong.
"""

from collections.abc import Iterator
from itertools import cycle
from random import Random

import mutants_of_the_fit
import mutants_of_the_frame
import mutants_of_the_words
from mutant_tools import OPERATORS, Operator, some
from plans_by_hand import Plan

from guide.plan.timeline import Timeline
from guide.sequence.steps import Steps

__all__ = ["OPERATORS", "mutants"]

#: Read in for the operators that they enter.
FAMILIES = (mutants_of_the_frame, mutants_of_the_words, mutants_of_the_fit)

#: What a note says, and the promise that is broken when it is not said.
TOLD = {
    "breaths instead of": 3,
    "more than asked": 3,
    "because its words need the time": 4,
    "closer together": 5,
    "without words is given": 10,
    "than its slot of": 8,
    "left out for want of room": 9,
    "not counted aloud": 9,
    "to be over in time": 5,
}


def without_a_note(said: str) -> Operator:
    def operator(plan: Plan, random: Random) -> Plan | None:
        number = some(plan.timeline.notes, random, lambda note: said in note.what)
        return None if number is None else plan.without("notes", number)

    return operator


for said, promise in TOLD.items():
    OPERATORS[f"a note is lost: {said}"] = (promise, without_a_note(said))


def mutants(plans: list[Plan], count: int, seed: int) -> Iterator[tuple[str, int, Plan]]:
    """So many different broken plans, taking the operators in turn: what was done, the promise broken, the plan.

    An operator that finds nothing new in any plan is passed over.
    """
    random = Random(seed)
    made: set[tuple[str, Steps, Timeline]] = set()
    for name in cycle(OPERATORS):
        promise, operator = OPERATORS[name]
        for plan in random.sample(plans, len(plans)):
            broken = operator(plan, random)
            if broken is None or broken == plan:
                continue
            key = (plan.steps.title, broken.steps, broken.timeline)
            if key not in made:
                made.add(key)
                yield name, promise, broken
                break
        if len(made) == count:
            return
