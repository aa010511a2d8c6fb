"""Which step of a plan is under way, from a voice as it is heard: moment by moment, without waiting for the end.

A filter over where in the plan the class is and how fast it goes there: each step may be slower or quicker than the
plan as a whole, and a voice makes the places likelier at which the plan speaks. Without a voice it is the plan's clock.
"""

from bisect import bisect_right
from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil, exp, floor, log
from typing import TYPE_CHECKING

from guide.plan.timeline import Timeline
from guide.review.confidence import MOST
from guide.review.hearing.voice_activity import QUIET_MS, Stretch

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Numbers = NDArray[np.float64]

#: The plan is looked at in cells of so much, and so is time.
CELL_MS = 250

#: How fast a step may go beside the plan, and the spread of that (the standard deviation of the logarithm): people hold
#: a pose a fifth longer or shorter (no source).
SPEEDS = (0.6, 0.7, 0.8, 0.9, 1.0, 1.12, 1.26, 1.42, 1.65)
SPREAD = 0.22

#: Within a step the speed changes once in so much time.
STEADY_MS = 15_000

#: The probability of a voice where the plan speaks, and where it does not.
SPEAKS, CHATS = 0.85, 0.15

#: The probability that a voice begins in a cell in which the plan begins to speak, or next to it, and in any other.
BEGINS, BEGINS_ELSE = 0.5, 0.03

#: What is heard in one moment is nearly what was heard in the moment before: it tells so much, as a share.
TELLS = 0.25

#: Where the probability is less, the class is not; and it goes no more cells further at once.
NOWHERE, FURTHEST_CELLS = 1e-12, 2


@dataclass(frozen=True, slots=True)
class LikelyStep:
    """The step that is most likely under way, and how sure that is, 0 to 1."""

    step: int
    sure: float


class OnlineFilter:
    """Follows a class that begins with its first step at 0 ms. It never goes back by itself.

    Time is that of the class as it is taught, without pauses.
    """

    def __init__(self, timeline: Timeline) -> None:
        self._timeline = timeline
        self._plan: _Plan | None = None
        self._where: Numbers | None = None
        self._ticks = 0
        self._shown = 0
        self._stretches: list[Stretch] = []

    def hear(self, until_ms: int, spoken: Iterable[Stretch] = (), speaking_since_ms: int | None = None) -> LikelyStep:
        """Go on to `until_ms`: which stretches of speech have ended since this was last called, and since when there
        has been speech, if there is any; gives what is under way then."""
        self._stretches += spoken
        plan, where = self._begun()
        known = [*self._stretches, *([Stretch(speaking_since_ms, until_ms)] if speaking_since_ms is not None else [])]
        # Of what was just heard it is not told yet that it was speech.
        while (self._ticks + 1) * CELL_MS <= until_ms - QUIET_MS:
            share, begins = _heard(known, self._ticks * CELL_MS)
            where = plan.on(where, share, begins)
            self._ticks += 1
        self._stretches = [one for one in self._stretches if one.end_ms > self._ticks * CELL_MS - CELL_MS]
        self._where = where
        return self._under(plan, where, until_ms)

    def pin(self, step: int, at_ms: int) -> None:
        """A step is known to have begun at `at_ms`; it may be one before that which was under way, and time may go back
        to it: from here on it goes on from there."""
        plan, _ = self._begun()
        self._ticks = ceil(at_ms / CELL_MS)
        self._stretches = [one for one in self._stretches if one.start_ms <= at_ms]
        self._where = plan.at(step)
        self._shown = step

    def _begun(self) -> "tuple[_Plan, Numbers]":
        if self._plan is None or self._where is None:
            self._plan = _Plan.of(self._timeline)
            self._where = self._plan.at(0)
        return self._plan, self._where

    def _under(self, plan: "_Plan", where: "Numbers", until_ms: int) -> LikelyStep:
        import numpy as np

        # What is not heard yet goes by the plan's clock.
        ahead = max(until_ms - self._ticks * CELL_MS, 0) // CELL_MS
        at_cells = np.minimum(np.arange(where.shape[1]) + ahead, where.shape[1] - 1)
        masses = np.bincount(plan.step_of[at_cells], where.sum(axis=0), len(plan.starts))
        reached = np.cumsum(masses[::-1])[::-1]
        likely = int(np.flatnonzero(reached >= 0.5)[-1])
        self._shown = max(self._shown, likely)
        return LikelyStep(self._shown, min(float(masses[self._shown]), MOST))


@dataclass(frozen=True, slots=True)
class _Plan:
    """The plan in cells: the first cell of each step, the step of each cell, and what is expected of a voice there.

    `speaks`, `quiet` and `begins` are logarithms: what it tells that there is a voice, that there is none, and that one
    begins. `anew` are the cells in which a step begins, where the speed is another one.
    """

    starts: tuple[int, ...]
    step_of: "NDArray[np.int64]"
    speaks: "Numbers"
    quiet: "Numbers"
    begins: "Numbers"
    anew: "NDArray[np.bool_]"
    speeds: "Numbers"

    @staticmethod
    def of(timeline: Timeline) -> "_Plan":
        import numpy as np

        spans = timeline.spans
        first_ms = spans[0].start_ms
        cells = (spans[-1].end_ms - first_ms) // CELL_MS + 4
        starts = tuple((span.start_ms - first_ms) // CELL_MS for span in spans)
        step_of = np.array([max(bisect_right(starts, cell) - 1, 0) for cell in range(cells)], np.int64)
        spoken, begins, anew = np.zeros(cells), np.zeros(cells, bool), np.zeros(cells, bool)
        for cue in timeline.cues:
            start_ms, end_ms = cue.start_ms - first_ms, cue.end_ms - first_ms
            for cell in range(start_ms // CELL_MS, ceil(end_ms / CELL_MS)):
                low_ms, high_ms = max(cell * CELL_MS, start_ms), min((cell + 1) * CELL_MS, end_ms)
                spoken[cell] += (high_ms - low_ms) / CELL_MS
            begins[max(start_ms // CELL_MS - 1, 0) : start_ms // CELL_MS + 2] = True
        for start in starts:
            anew[start : start + 2] = True
        # Words end when they end: their last part may be quiet already.
        speaks = CHATS + (SPEAKS - CHATS) * np.convolve(np.clip(spoken, 0, 1), np.ones(3) / 3, mode="same")
        weights = np.array([exp(-0.5 * (log(speed) / SPREAD) ** 2) for speed in SPEEDS])
        return _Plan(
            starts,
            step_of,
            speaks=TELLS * np.log(speaks),
            quiet=TELLS * np.log(1 - speaks),
            begins=np.log(np.where(begins, BEGINS, BEGINS_ELSE)),
            anew=anew,
            speeds=weights / weights.sum(),
        )

    def at(self, step: int) -> "Numbers":
        """At the beginning of a step for certain; the speed is not known."""
        import numpy as np

        where = np.zeros((len(SPEEDS), len(self.step_of)))
        where[:, self.starts[step]] = self.speeds
        return where

    def on(self, where: "Numbers", share: float, begins: bool) -> "Numbers":
        """One cell of time later, in `share` of which a voice was heard, and in which one began or did not."""
        import numpy as np

        # Only where the class may be: the rest of a long plan is left alone.
        live = np.flatnonzero(where.max(axis=0) > NOWHERE)
        here = slice(int(live[0]), int(live[-1]) + FURTHEST_CELLS + 1)
        moved = np.stack([_moved(row, speed) for row, speed in zip(where[:, here], SPEEDS, strict=True)])
        changes = np.where(self.anew[here], 1.0, CELL_MS / STEADY_MS)
        moved = moved * (1 - changes) + (moved * changes).sum(axis=0) * self.speeds[:, None]
        told = share * self.speaks[here] + (1 - share) * self.quiet[here]
        if begins:
            told = told + self.begins[here]
        moved *= np.exp(told - told.max())
        after = np.zeros_like(where)
        after[:, here] = moved / moved.sum()
        return after


def _moved(row: "Numbers", speed: float) -> "Numbers":
    """What was in each cell, `speed` cells further; at the end of the class it stays."""
    import numpy as np

    whole, part = floor(speed), speed - floor(speed)
    moved = np.zeros_like(row)
    for cells, share in ((whole, 1 - part), (whole + 1, part)):
        moved[cells:] += share * row[: len(row) - cells]
        moved[-1] += share * row[len(row) - cells :].sum() if cells else 0.0
    return moved


def _heard(stretches: Iterable[Stretch], at_ms: int) -> tuple[float, bool]:
    """In what share of a cell of time there was a voice, and whether one began in it."""
    inside_ms, begins = 0, False
    for one in stretches:
        inside_ms += max(min(one.end_ms, at_ms + CELL_MS) - max(one.start_ms, at_ms), 0)
        begins = begins or at_ms <= one.start_ms < at_ms + CELL_MS
    return min(inside_ms / CELL_MS, 1.0), begins
