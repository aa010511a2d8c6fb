"""Performances of the class of `page_samples.short`, made by hand, to be shown beside each other."""

from collections.abc import Mapping
from dataclasses import replace

from page_samples import heard, other, short

from guide.review.comparison import Comparison, StepTaken, whole_ms
from guide.review.confidence import Basis
from guide.review.history.performances import History, Performance, beside_each_other


def performed(
    recording: str, took_ms: Mapping[int, int], rests: Basis = Basis.PRESSED, sure: float = 0.97
) -> Comparison:
    """The class with these lengths, the others as in `short`; all starts are as sure as said."""
    steps, at_ms = list[StepTaken](), 0
    for step in short(rests).steps:
        length_ms = took_ms.get(step.number, step.real_ms)
        is_known = length_ms is not None
        start_ms = at_ms if is_known else None
        rests_on = rests if is_known else Basis.NOTHING
        steps.append(replace(step, real_start_ms=start_ms, real_ms=length_ms, sure=sure * is_known, rests_on=rests_on))
        at_ms += length_ms or 0
    return replace(short(rests), recording=recording, steps=tuple(steps), real_ms=whole_ms(steps))


def performances() -> tuple[Performance, ...]:
    """Four that count, of which one is known from captions without its end; one twice, and one of another class.

    The mountain always runs over, and grows; the left lunge varies; the tree was left out twice and once not heard.
    """
    monday = performed("monday.jsonl", {1: 55_000, 4: 40_000})
    friday = performed("friday.jsonl", {1: 66_400, 4: 58_000, 5: 31_000, 6: 200_000}, Basis.LED)
    sunday = replace(performed("sunday.vtt", {1: 70_000, 4: 36_000}, Basis.OPENING), heard=6)
    doubtful = tuple(replace(one, sure=0.6) if one.number == 4 else one for one in sunday.steps)
    return (
        Performance(monday, "2026-11-23 18:30"),
        Performance(replace(heard(), recording="classes/wednesday.vtt")),
        Performance(friday, "2026-11-27 18:31"),
        Performance(replace(monday, recording="copy of monday.json")),
        Performance(replace(sunday, steps=doubtful)),
        Performance(other()),
    )


def history() -> History:
    return beside_each_other(performances())
