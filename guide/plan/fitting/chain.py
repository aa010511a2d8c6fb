"""All that a class may take on to grow from its shortest to its longest, one small step after the other.

A link of the chain is one breath more in a hold (in every step of it), or a pace slower by a sixteenth of its room. The
links stand in the order of the ease at which they fall due: breath n + 1 of a hold between the eases that would give it
n and n + 1 breaths, so that what is due has at every moment about the length that it should have. A class of any length
takes the first so many of them. So a longer class never has fewer breaths in a hold, or a quicker pace.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from guide.plan.fitting.apportion import apportioned
from guide.plan.fitting.led_steps import NOTCHES
from guide.plan.fitting.leeway import Leeway, Level


@dataclass(frozen=True, slots=True)
class Chain:
    """The links by the ease at which each is due, and the length of the class after each number of them.

    A link below the number of counted holds is a breath more in that hold; one above, a notch of a pace. The class has
    `lengths_ms[k]` with k links, without rounding breaths to whole ms and holds by the clock left aside; `unloaded_ms`
    of that is what no pace carries.
    """

    shortest: Level
    links: tuple[int, ...]
    dues: tuple[float, ...]
    lengths_ms: tuple[Fraction, ...]
    unloaded_ms: Fraction

    def level(self, links: int) -> Level:
        """What the class is like after so many links."""
        taken = Counter(self.links[:links])
        first = len(self.shortest.breaths)
        return Level(
            tuple(least + taken[number] for number, least in enumerate(self.shortest.breaths)),
            tuple(ease + Fraction(taken[first + number], NOTCHES) for number, ease in enumerate(self.shortest.paces)),
        )


def chain_of(leeway: Leeway) -> Chain:
    """The chain of a class: first what leads from its shortest to its usual length, then to its longest."""
    tighter, wider = _parts(leeway, -1), _parts(leeway, 1)
    order = [(step.due - 1, step.part) for step in apportioned(tighter)]
    order += [(step.due, step.part) for step in apportioned(wider)]
    links = tuple(part for _, part in order)
    notches = [-count for _, count in tighter[len(leeway.counted) :]]
    least = tuple(one.least for one in leeway.counted)
    shortest = Level(least, tuple(Fraction(notch, NOTCHES) for notch in notches))
    shortest_ms = leeway.others_ms(shortest)
    lengths_ms = tuple(_lengths_ms(leeway, shortest_ms, notches, links))
    unloaded_ms = shortest_ms - sum(load.even_ms(-1) for load in leeway.loads)
    return Chain(shortest, links, tuple(due for due, _ in order), lengths_ms, Fraction(unloaded_ms))


def _parts(leeway: Leeway, end: int) -> list[tuple[float, int]]:
    """The size in ms of one link, and how many there are from the usual to this end, for every hold and every pace."""
    periods_ms = [load.pace.pace.period_ms for load in leeway.loads]
    holds = [
        (
            float(sum(count * periods_ms[pace] for pace, count in one.on_pace.items())),
            one.most - one.usual if end > 0 else one.usual - one.least,
        )
        for one in leeway.counted
    ]
    paces = []
    for load in leeway.loads:
        room_ms = abs(load.length_ms(load.usual, end) - load.length_ms(load.usual, 0))
        paces.append((float(room_ms / NOTCHES), NOTCHES if room_ms else 0))
    return holds + paces


def _lengths_ms(leeway: Leeway, shortest_ms: int, notches: list[int], links: Sequence[int]) -> Iterator[Fraction]:
    """The length of the class after each number of links; `notches` are where its paces begin."""
    notches, breaths = notches.copy(), [load.least for load in leeway.loads]
    carried_ms = [load.carried_ms(Fraction(notch, NOTCHES)) for load, notch in zip(leeway.loads, notches, strict=True)]
    length_ms = Fraction(shortest_ms)
    yield length_ms
    for link in links:
        if link < len(leeway.counted):
            for pace, count in leeway.counted[link].on_pace.items():
                length_ms += count * carried_ms[pace][0]
                breaths[pace] += count
        else:
            pace = link - len(leeway.counted)
            notches[pace] += 1
            before_ms, after_ms = carried_ms[pace], leeway.loads[pace].carried_ms(Fraction(notches[pace], NOTCHES))
            length_ms += breaths[pace] * (after_ms[0] - before_ms[0]) + after_ms[1] - before_ms[1]
            carried_ms[pace] = after_ms
        yield length_ms
