"""How short and how long a class could be with the room that its holds have, and where its time goes."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace
from enum import Enum

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
    """What to tell of a class that misses its slot by a second or more; `lengths` are both, in ms, the class's first.

    The shortest and the longest that it could be, what takes most, and what would mend it where only whole breaths are
    in the way.
    """
    length_ms, slot_ms = lengths
    word = "longer" if length_ms > slot_ms else "shorter"
    by = seconds_text(abs(length_ms - slot_ms))
    told = f"the class lasts {clock(length_ms)}, {by} {word} than its slot of {clock(slot_ms)}"
    usual_ms = _held_ms(steps, word_ms, sound_ms)
    shortest_ms, longest_ms = (
        length_ms - usual_ms + _held_ms([_at(step, end) for step in steps], word_ms, sound_ms) for end in _End
    )
    room = f"room for {clock(shortest_ms)} to {clock(longest_ms)}" if shortest_ms < longest_ms else "no room"
    told = f"{told}; its holds have {room}"
    if shortest_ms <= slot_ms <= longest_ms:
        return f"{told}, but only by whole breaths (give a rest a range, such as `rest: 2 to 3 min`)"
    rigid = [span for span, step in zip(spans, steps, strict=True) if not _gives(step)]
    if slot_ms > longest_ms and 0 < len(rigid) < len(spans):
        return f"{told}; of what has none, most time goes to {_where_it_goes(rigid)}"
    return f"{told}; most time goes to {_where_it_goes(spans)}"


def _gives(step: Step) -> bool:
    return _at(step, _End.SHORTEST) != _at(step, _End.LONGEST)


class _End(Enum):
    """The two ends of what a class can be."""

    SHORTEST = "shortest"
    LONGEST = "longest"


def _at(step: Step, end: _End) -> Step:
    """The step with its hold and its pace at this end of their room."""
    shortest = end is _End.SHORTEST
    if step.pace_room is not None:
        step = replace(step, pace=step.pace_room.quickest if shortest else step.pace_room.slowest)
    match step.hold:
        case InBreaths(least, _, most):
            return replace(step, hold=replace(step.hold, usual=least if shortest else most))
        case InTime(least_ms, _, most_ms):
            return replace(step, hold=replace(step.hold, usual_ms=least_ms if shortest else most_ms))
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
