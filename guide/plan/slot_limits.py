"""How short and how long a class could be with the room that its holds have, and where its time goes."""

from collections import Counter
from collections.abc import Sequence

from guide.plan.grid import Grid
from guide.plan.step_lengths import Setting, Twins, grown_holds
from guide.plan.timeline import Span
from guide.problem import Place
from guide.sequence.steps import InBreaths, InTime, Pace, PaceRoom, Step
from guide.units import clock, seconds_text

#: A class this near to its slot fills it to the second.
NEAR_MS = 1000

#: So many of the steps that take most are named.
MOST_NAMED = 3


def slot_missed(
    spans: Sequence[Span], steps: Sequence[Step], measured: Sequence[Twins], lengths: tuple[int, int]
) -> str:
    """What to tell of a class that misses its slot by a second or more; `lengths` are both, in ms, the class's first.

    The shortest and the longest that it could be, what takes most, and what would mend it where only whole breaths are
    in the way.
    """
    length_ms, slot_ms = lengths
    word = "longer" if length_ms > slot_ms else "shorter"
    by = seconds_text(abs(length_ms - slot_ms))
    told = f"the class lasts {clock(length_ms)}, {by} {word} than its slot of {clock(slot_ms)}"
    others_ms = length_ms - sum(span.held_ms - span.hold_ms for span in spans)
    shortest_ms, longest_ms = (others_ms + sum(_held_ms(twins, end) for twins in measured) for end in (0, 1))
    room = f"room for {clock(shortest_ms)} to {clock(longest_ms)}" if shortest_ms < longest_ms else "no room"
    told = f"{told}; its holds have {room}"
    if shortest_ms <= slot_ms <= longest_ms:
        return f"{told}, but only by whole breaths (give a rest a range, such as `rest: 2 to 3 min`)"
    rigid = [span for span, step in zip(spans, steps, strict=True) if not _gives(step)]
    if slot_ms > longest_ms and 0 < len(rigid) < len(spans):
        return f"{told}; of what has none, most time goes to {_where_it_goes(rigid)}"
    return f"{told}; most time goes to {_where_it_goes(spans)}"


def _gives(step: Step) -> bool:
    shortest, longest = _ends(step)
    return shortest != longest


def _ends(step: Step) -> tuple[tuple[Pace, int], tuple[Pace, int]]:
    """The pace of a step and the length asked of its hold, at both ends of their room."""
    room = step.pace_room or PaceRoom(step.pace, step.pace)
    match step.hold:
        case InBreaths(least, _, most) | InTime(least, _, most):
            return (room.quickest, least), (room.slowest, most)
    return (room.quickest, 0), (room.slowest, 0)


def _held_ms(twins: Twins, end: int) -> int:
    ends = ((one.number, _ends(one.step)[end]) for one in twins.each)
    settings = {number: Setting(Grid(pace), asked) for number, (pace, asked) in ends}
    return sum(hold.held_ms for hold in grown_holds(twins, settings))


def _where_it_goes(spans: Sequence[Span]) -> str:
    """The steps of the file that take most, all their rounds and sides together."""
    taken: Counter[tuple[Place, str]] = Counter()
    for span in spans:
        taken[span.place, span.title] += span.end_ms - span.start_ms
    return ", ".join(
        f"“{title}” in line {place.line} ({clock(ms)})" for (place, title), ms in taken.most_common(MOST_NAMED)
    )
