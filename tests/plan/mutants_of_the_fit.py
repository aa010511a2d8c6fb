"""Breaks of promise 8 in a class that was fitted to its slot: the steps are broken, and the plan is left as it was.

So it is as if the fitting had set a hold or a pace to what the file does not allow.
"""

from collections import Counter
from dataclasses import replace
from fractions import Fraction
from random import Random

from mutant_tools import breaks, some
from plans_by_hand import Plan

from guide.sequence.steps import InBreaths, InTime, PaceRoom, Step


def step_changed(plan: Plan, number: int, step: Step) -> Plan:
    steps = plan.steps.steps
    return replace(plan, steps=replace(plan.steps, steps=(*steps[:number], step, *steps[number + 1 :])))


def numbers(plan: Plan) -> tuple[int, ...]:
    return tuple(range(len(plan.steps.steps)))


@breaks(8)
def a_hold_has_more_breaths_than_the_file_allows(plan: Plan, random: Random) -> Plan | None:
    number = some(numbers(plan), random, lambda one: isinstance(plan.steps.steps[one].hold, InBreaths))
    if number is None:
        return None
    step = plan.steps.steps[number]
    assert isinstance(step.hold, InBreaths)
    return step_changed(plan, number, replace(step, hold=replace(step.hold, most=step.hold.usual - 1)))


@breaks(8)
def a_hold_has_fewer_breaths_than_the_file_allows(plan: Plan, random: Random) -> Plan | None:
    number = some(numbers(plan), random, lambda one: isinstance(plan.steps.steps[one].hold, InBreaths))
    if number is None:
        return None
    step = plan.steps.steps[number]
    assert isinstance(step.hold, InBreaths)
    return step_changed(plan, number, replace(step, hold=replace(step.hold, least=step.hold.usual + 1)))


@breaks(8)
def a_rest_is_longer_than_the_file_allows(plan: Plan, random: Random) -> Plan | None:
    number = some(numbers(plan), random, lambda one: isinstance(plan.steps.steps[one].hold, InTime))
    if number is None:
        return None
    step = plan.steps.steps[number]
    assert isinstance(step.hold, InTime)
    most_ms = step.hold.usual_ms - random.randint(1, 5000)
    return step_changed(plan, number, replace(step, hold=replace(step.hold, most_ms=most_ms)))


@breaks(8)
def a_pace_is_slower_than_the_file_allows(plan: Plan, random: Random) -> Plan | None:
    number = random.choice(numbers(plan))
    step = plan.steps.steps[number]
    slowest = replace(step.pace, exhale_ms=step.pace.exhale_ms - Fraction(1, 2))
    return step_changed(plan, number, replace(step, pace_room=PaceRoom(slowest, slowest)))


@breaks(8)
def a_round_has_a_breath_more_than_the_others(plan: Plan, random: Random) -> Plan | None:
    """Only in a class that was fitted, in a hold that is there more than once."""
    if plan.timeline.ease is None:
        return None
    times = Counter(step.place for step in plan.steps.steps)

    def again(one: int) -> bool:
        hold = plan.steps.steps[one].hold
        return isinstance(hold, InBreaths) and hold.usual < hold.most and times[plan.steps.steps[one].place] > 1

    number = some(numbers(plan), random, again)
    if number is None:
        return None
    step = plan.steps.steps[number]
    assert isinstance(step.hold, InBreaths)
    return step_changed(plan, number, replace(step, hold=replace(step.hold, usual=step.hold.usual + 1)))


@breaks(8)
def the_ease_is_more_than_all_the_room(plan: Plan, random: Random) -> Plan | None:
    return plan.having(ease=random.choice([-1, 1]) * (1 + random.random()))


@breaks(8)
def the_class_is_said_to_have_another_slot(plan: Plan, random: Random) -> Plan | None:
    slot_ms = plan.timeline.length_ms + random.choice([-1, 1]) * random.randint(10_000, 100_000)
    return replace(plan, steps=replace(plan.steps, slot_ms=max(1000, slot_ms)))
