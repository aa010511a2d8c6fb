"""What keeps coming in several performances of a class: what always runs over, what is left out, what varies, what
grows.

Only lengths that are known surely count, and moves of one breath are left aside. Times by the second, as they are
shown.
"""

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import factorial
from statistics import median

from guide.review.history.performances import History, HowSeen, Lengths, StepLengths
from guide.review.report_phrases import ALIKE_MS, MOST_NAMED, named, plain, whole
from guide.sequence.steps import StepKind
from guide.units import clock

#: Each end of a length is known to within two seconds, so that lengths which differ by less may be one.
VARIES_MS = 2 * ALIKE_MS

#: So many sections are named before the steps.
MOST_SECTIONS = 3

#: That each time is longer than the one before is told of so many and more: fewer do so by chance too often.
LEAST_TREND = 4


@dataclass(frozen=True, slots=True)
class Recurrence:
    """Something that has lengths, and what it is called; `ms` is how much there is to say of it."""

    name: str
    lengths: Lengths
    ms: int


@dataclass(frozen=True, slots=True)
class Missing:
    """A step that was left out `left_out` times, and not heard another `not_heard` times, of so many."""

    step: StepLengths
    left_out: int
    not_heard: int
    of: int


def always_over(history: History) -> tuple[Recurrence, ...]:
    """What took longer than planned each time that is known, of two or more: that which usually did most first."""
    return _most(history, lambda lengths: min(_over_ms(lengths), default=0) >= ALIKE_MS, _usually_over_ms)


def always_under(history: History) -> tuple[Recurrence, ...]:
    """What was shorter than planned each time that is known, of two or more."""
    return _most(history, lambda lengths: max(_over_ms(lengths), default=0) <= -ALIKE_MS, _usually_over_ms)


def varies_most(history: History) -> tuple[Recurrence, ...]:
    """What was now long and now short, and by how much from the shortest to the longest."""
    return _most(history, lambda lengths: _range_ms(lengths) >= VARIES_MS, _range_ms)


def has_trend(lengths: Lengths) -> bool:
    """Whether each time that is known, of four or more, was longer than the one before, or each shorter."""
    times = [whole(ms) for ms in lengths.surely_ms]
    if len(times) < LEAST_TREND or abs(times[-1] - times[0]) < VARIES_MS:
        return False
    return any(all(step(one, other) for one, other in pairwise(times)) for step in (int.__lt__, int.__gt__))


def trends(history: History) -> tuple[Recurrence, ...]:
    """What grew or shrank from each performance to the next."""
    found = _most(history, has_trend, lambda lengths: whole(lengths.surely_ms[-1]) - whole(lengths.surely_ms[0]))
    return (Recurrence("The whole class", history.whole, 0), *found) if has_trend(history.whole) else found


def by_chance(times: int) -> int:
    """One of how many things that only vary by chance has such a trend: of n! orders two go one way all along."""
    return factorial(times) // 2


def missing(history: History) -> tuple[Missing, ...]:
    """The steps that were left out or not heard at least once, those that were missing most often first.

    A performance that did not reach a step tells nothing of it, and one in which nothing was heard neither.
    """
    found = []
    for one in history.steps:
        seen = [time.seen for time in one.lengths.times]
        left_out, not_heard = seen.count(HowSeen.LEFT_OUT), seen.count(HowSeen.NOT_HEARD)
        of = len(seen) - seen.count(HowSeen.NOT_REACHED) - seen.count(HowSeen.NOT_KNOWN)
        if left_out or not_heard:
            found.append(Missing(one, left_out, not_heard, of))
    return tuple(sorted(found, key=lambda one: (-one.left_out, -one.not_heard)))


def _over_ms(lengths: Lengths) -> Sequence[int]:
    """By how much it ran over each time that is known."""
    return [whole(ms) - whole(lengths.planned_ms) for ms in lengths.surely_ms]


def _usually_over_ms(lengths: Lengths) -> int:
    return round(median(_over_ms(lengths)))


def _range_ms(lengths: Lengths) -> int:
    times = [whole(ms) for ms in lengths.surely_ms]
    return max(times) - min(times) if times else 0


def _most(history: History, is_so: Callable[[Lengths], bool], much: Callable[[Lengths], int]) -> tuple[Recurrence, ...]:
    """The sections and then the steps known twice or more of which something is so; those with most of it first."""
    named_most = []
    for group, most in ((_sections(history), MOST_SECTIONS), (_held(history), MOST_NAMED)):
        found = [Recurrence(name, each, much(each)) for name, each in group if len(each.surely_ms) >= 2 and is_so(each)]
        named_most += sorted(found, key=lambda one: -abs(one.ms))[:most]
    return tuple(named_most)


def _sections(history: History) -> Iterator[tuple[str, Lengths]]:
    """The sections of more than one step."""
    steps = Counter(one.step.section for one in history.steps)
    return ((f"Section {plain(one.title)}", one.lengths) for one in history.sections if steps[one.number] > 1)


def _held(history: History) -> Iterator[tuple[str, Lengths]]:
    """All steps but moves of one breath, which are too short beside how well their ends are known."""
    return (
        (f"{clock(one.step.planned_start_ms)} {named(one.step)}", one.lengths)
        for one in history.steps
        if one.step.kind is not StepKind.MOVE
    )
