"""What the mutation operators share: how a plan is moved and drawn again, and how a victim is chosen."""

from collections.abc import Callable
from dataclasses import replace
from random import Random
from typing import Any

from plans_by_hand import Plan, dips_of

from guide.plan.timeline import Cue, CuePart
from guide.sequence.steps import CueKind, StepKind

#: Gives a broken plan, or None where this plan has nothing that can be broken so.
Operator = Callable[[Plan, Random], Plan | None]

OPERATORS: dict[str, tuple[int, Operator]] = {}


def breaks(promise: int) -> Callable[[Operator], Operator]:
    """Enter an operator under the promise that it breaks."""

    def enter(operator: Operator) -> Operator:
        OPERATORS[operator.__name__] = (promise, operator)
        return operator

    return enter


def later(plan: Plan, from_ms: int, by_ms: int) -> Plan:
    """Everything at `from_ms` or later moved by so much."""

    def moved(ms: int) -> int:
        return ms + by_ms if ms >= from_ms else ms

    def all_moved(items: tuple[Any, ...], *names: str) -> tuple[Any, ...]:
        return tuple(replace(item, **{name: moved(getattr(item, name)) for name in names}) for item in items)

    timeline = plan.timeline
    return drawn(
        plan.having(
            length_ms=timeline.length_ms + by_ms,
            spans=all_moved(timeline.spans, "start_ms", "hold_ms", "held_ms", "end_ms"),
            cues=all_moved(timeline.cues, "start_ms"),
            rings=all_moved(timeline.rings, "start_ms"),
            chapters=all_moved(timeline.chapters, "start_ms", "end_ms"),
        )
    )


def drawn(plan: Plan) -> Plan:
    """The plan with its cues and rings sorted and its dips drawn again."""
    cues = tuple(sorted(plan.timeline.cues, key=lambda cue: cue.start_ms))
    rings = tuple(sorted(plan.timeline.rings, key=lambda ring: ring.start_ms))
    return plan.having(cues=cues, rings=rings, dips=dips_of(cues))


def without_step(plan: Plan, number: int) -> Plan:
    """The plan without one step: its cues and rings are gone, and all that follows moves up."""
    span, steps, timeline = plan.timeline.spans[number], plan.steps.steps, plan.timeline

    def renumbered(items: tuple[Any, ...]) -> tuple[Any, ...]:
        return tuple(
            replace(item, step=item.step - 1) if item.step is not None and item.step > number else item
            for item in items
            if item.step != number
        )

    left = plan.having(
        spans=(*timeline.spans[:number], *timeline.spans[number + 1 :]),
        cues=renumbered(timeline.cues),
        rings=renumbered(timeline.rings),
    )
    fewer = replace(left, steps=replace(plan.steps, steps=(*steps[:number], *steps[number + 1 :])))
    return later(fewer, span.end_ms, span.start_ms - span.end_ms)


def some(items: tuple[Any, ...], random: Random, wanted: Callable[[Any], bool] = lambda item: True) -> int | None:
    """The number of one of the items that are wanted."""
    found = [number for number, item in enumerate(items) if wanted(item)]
    return random.choice(found) if found else None


def written_in_hold(cue: Cue) -> bool:
    return cue.part is CuePart.HOLD and cue.kind is not CueKind.COUNT


def held(plan: Plan, random: Random, wanted: Callable[[int], bool] = lambda number: True) -> int | None:
    """The number of a step that is held and passes."""
    numbers = tuple(range(len(plan.timeline.spans)))
    kinds = (StepKind.MOVE, StepKind.TALK)
    return some(numbers, random, lambda number: plan.steps.steps[number].kind not in kinds and wanted(number))


def cue_moved(plan: Plan, number: int, by_ms: int) -> Plan:
    return drawn(plan.cue(number, start_ms=plan.timeline.cues[number].start_ms + by_ms))
