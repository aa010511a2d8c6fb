"""Apportionment: the order in which many parts, each with so many steps of its own size, grow side by side.

The same question as when seats are dealt out among states, or when a line makes several models by turns: everybody
advances at one rate, and a step cannot be cut.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from heapq import heappop, heappush

#: Of several steps that may come, that one comes whose time is up first, counted to this part of it. Counted to its
#: end, parts with few steps wait too long; to its middle, the sum is off by more (both tried on 400 random classes).
URGENT = 3 / 4


@dataclass(frozen=True, slots=True)
class GrowthStep:
    """One step more for a part, once the whole has come this far: from 0, nothing, to 1, everything."""

    due: float
    part: int


def apportioned(parts: Sequence[tuple[float, int]]) -> list[GrowthStep]:
    """Every step of every part, each a (size, how many steps), in the order in which they are due.

    Step n of a part (from 1) is due after it should have taken n - 1 and before it should have taken n, so that at
    every moment each part is less than one step from where it should be. Within that, the most urgent comes first, as
    near as can be to the moment at which the sum of all is right.
    Source: for steps of one size, R. Tijdeman, The chairman assignment problem, Discrete Mathematics 32 (1980), from
    memory; that all parts keep their bounds whatever the sizes is by construction, that the sum stays near is tested.
    """
    whole = sum(size * count for size, count in parts)
    order: list[GrowthStep] = []
    done = [0] * len(parts)
    grown = 0.0
    waiting: list[tuple[float, int]] = []
    ready: list[tuple[float, int]] = []
    for part, (size, count) in enumerate(parts):
        if count:
            heappush(waiting, (-size / 2, part))
    while waiting or ready:
        while waiting and (waiting[0][0] <= grown or not ready):
            part = heappop(waiting)[1]
            heappush(ready, ((done[part] + URGENT) / parts[part][1], part))
        part = heappop(ready)[1]
        size, count = parts[part]
        due = max(done[part] / count, min((done[part] + 1) / count, (grown + size / 2) / whole))
        order.append(GrowthStep(due, part))
        grown += size
        done[part] += 1
        if done[part] < count:
            heappush(waiting, (done[part] / count * whole - size / 2, part))
    return sorted(order, key=lambda step: step.due)
