"""How short and how long a class could be with the room that its holds have, and where its time goes."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace

from guide.plan.shape import shapes
from guide.plan.timeline import Span
from guide.problem import Place
from guide.sequence.steps import InBreaths, InTime, Step
from guide.units import clock, seconds_text

#: A class this near to its slot fills it to the second.
NEAR_MS = 1000

#: So many of the steps that take most are named.
MOST_NAMED = 3


def slot_missed(
    spans: Sequence[Span],
    steps: Sequence[Step],
    lengths: tuple[int, int],
    word_ms: Mapping[str, int],
    sound_ms: Mapping[str, int],
) -> str:
    """What to tell of a class whose length is not that of its slot; `lengths` are both, in ms, the class's first.

    For one that is off by a second or more: the shortest and the longest that it could be, and what takes most.
    """
    length_ms, slot_ms = lengths
    word = "longer" if length_ms > slot_ms else "shorter"
    off_ms = abs(length_ms - slot_ms)
    by = seconds_text(off_ms) if off_ms >= NEAR_MS else f"{off_ms} ms"
    told = f"the class lasts {clock(length_ms)}, {by} {word} than its slot of {clock(slot_ms)}"
    if off_ms < NEAR_MS:
        return told
    usual_ms, least_ms, most_ms = (_held_ms(made, word_ms, sound_ms) for made in _variants(steps))
    shortest, longest = (clock(length_ms + other_ms - usual_ms) for other_ms in (least_ms, most_ms))
    room = "no room" if least_ms == most_ms else f"room for {shortest} to {longest}"
    return f"{told}; its holds have {room}; most time goes to {_where_it_goes(spans)}"


def _variants(steps: Sequence[Step]) -> tuple[list[Step], list[Step], list[Step]]:
    """The steps as they are, with every hold at its least, and with every hold at its most."""
    return list(steps), [_held_at(step, "least") for step in steps], [_held_at(step, "most") for step in steps]


def _held_at(step: Step, end: str) -> Step:
    match step.hold:
        case InBreaths(least, _, most):
            return replace(step, hold=replace(step.hold, usual=least if end == "least" else most))
        case InTime(least_ms, _, most_ms):
            return replace(step, hold=replace(step.hold, usual_ms=least_ms if end == "least" else most_ms))
        case _:
            return step


def _held_ms(steps: Sequence[Step], word_ms: Mapping[str, int], sound_ms: Mapping[str, int]) -> int:
    return sum(shape.held_ms for shape in shapes(steps, word_ms, sound_ms))


def _where_it_goes(spans: Sequence[Span]) -> str:
    """The steps of the file that take most, all their rounds and sides together."""
    taken: Counter[tuple[Place, str]] = Counter()
    for span in spans:
        taken[span.place, span.title] += span.end_ms - span.start_ms
    return ", ".join(
        f"“{title}” in line {place.line} ({clock(ms)})" for (place, title), ms in taken.most_common(MOST_NAMED)
    )
