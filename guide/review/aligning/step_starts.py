"""When each step really began, by its cues: when each can have begun, and when it likely did.

A taut string through the time windows of the cues keeps to the plan as far as they let it. How much is to be thought of
that beside what the words themselves tell depends on how well this class keeps to its plan, which is measured where the
windows are narrow.
"""

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise
from math import hypot, sqrt
from statistics import median

from guide.plan.timeline import Timeline
from guide.review.aligning.taut_string import Window, taut_string
from guide.review.aligning.time_windows import WORD_MS, HeardCue
from guide.review.confidence import SPREAD, Pin, precision

ANYWHERE = float("inf")

#: How much slower or quicker than planned a whole class may be.
LEAST_TEMPO, MOST_TEMPO = 0.5, 2.0

#: What the plan tells of a cue counts so much beside its words.
OF_PLAN = 0.67

#: A window that is no wider tells when its cue began; with so many it is told how far steps spread in this class, at
#: least and at most so many times what is usual.
NARROW_MS, FEW, LEAST_SPREAD, MOST_SPREAD = 2_000, 5, 0.5, 3.0

#: A chance variable's square has this median, beside its mean (the chi-squared distribution of one degree of freedom).
MEDIAN_SQUARE = 0.455

#: Steps were left out when so many cues in a row are missing, and less than this share of their time is there.
MISSED_CUES = 3
SQUEEZED = 0.5


@dataclass(frozen=True, slots=True)
class StepStarts:
    """When each step really began, and `end_ms` when the last was over.

    `pins` are the cues that were heard, on the line along which the class may be late: `at` grows with the square of
    how far lateness may spread; `places` are the starts of the steps, and the end, on that line. `spread` is how far
    the lengths of steps spread in this class beside the plan, as a share. `left_out` are the steps, by number, for
    which there was no time: their starts mean nothing.
    """

    starts_ms: tuple[int, ...]
    end_ms: int
    pins: tuple[Pin, ...]
    places: tuple[float, ...]
    spread: float
    left_out: frozenset[int]


def step_starts(timeline: Timeline, heard: Sequence[HeardCue]) -> StepStarts:
    """Where the steps came, each stretched evenly as far as what was heard allows, and a long one rather than a short.

    With nothing heard all is as planned.
    """
    left_out = frozenset(_left_out(timeline, heard))
    first = _drawn(timeline, heard, 1.0, left_out)
    return _drawn(timeline, heard, _tempo(timeline, heard, first), left_out)


def _tempo(timeline: Timeline, heard: Sequence[HeardCue], first: StepStarts) -> float:
    """How many times longer than planned the class took, from the first step that was heard to the last."""
    steps = [timeline.cues[one.cue].step for one in heard]
    if not steps or steps[0] == steps[-1]:
        return 1.0
    clock = _Clock.of(timeline, first.left_out)
    planned_ms = clock.at(timeline.spans[steps[-1]].start_ms) - clock.at(timeline.spans[steps[0]].start_ms)
    tempo = (first.starts_ms[steps[-1]] - first.starts_ms[steps[0]]) / max(planned_ms, 1)
    return min(max(tempo, LEAST_TEMPO), MOST_TEMPO)


def _left_out(timeline: Timeline, heard: Sequence[HeardCue]) -> Iterator[int]:
    """The steps without a heard cue between two that were heard, where the time between does not hold them."""
    for one, other in pairwise(heard):
        before, after = timeline.cues[one.cue], timeline.cues[other.cue]
        between = timeline.spans[before.step + 1 : after.step]
        missed = sum(before.step < cue.step < after.step for cue in timeline.cues[one.cue + 1 : other.cue])
        planned_ms = after.start_ms - before.start_ms
        real_ms = (other.low_ms + other.high_ms - one.low_ms - one.high_ms) / 2
        if between and missed >= MISSED_CUES and real_ms < SQUEEZED * planned_ms:
            yield from range(before.step + 1, after.step)


@dataclass(frozen=True, slots=True)
class _Clock:
    """The time of the plan without the steps that were left out.

    `edges_ms` are the starts of the steps and the end of the last as planned, `kept_ms` the same without those steps.
    `spread` is how far lateness may have spread by each edge, squared, in s²: people hold a long pose longer or shorter
    as a whole, so each step adds the square of its length.
    """

    edges_ms: tuple[int, ...]
    kept_ms: tuple[int, ...]
    spread: tuple[float, ...]

    @staticmethod
    def of(timeline: Timeline, left_out: frozenset[int]) -> "_Clock":
        edges = (*(span.start_ms for span in timeline.spans), timeline.spans[-1].end_ms)
        lengths = [
            0 if number in left_out else end_ms - start_ms for number, (start_ms, end_ms) in enumerate(pairwise(edges))
        ]
        kept = accumulate(lengths, initial=edges[0])
        spread = accumulate((max(length, 1) ** 2 / 1e6 for length in lengths), initial=0.0)
        return _Clock(edges, tuple(kept), tuple(spread))

    def at(self, ms: int) -> float:
        return self._between(self.kept_ms, ms)

    def spread_at(self, ms: int) -> float:
        return self._between(self.spread, ms)

    def _between(self, values: Sequence[float], ms: int) -> float:
        number = min(max(bisect_right(self.edges_ms, ms) - 1, 0), len(self.edges_ms) - 2)
        length_ms = max(self.edges_ms[number + 1] - self.edges_ms[number], 1)
        share = (ms - self.edges_ms[number]) / length_ms
        return values[number] + share * (values[number + 1] - values[number])


def _drawn(timeline: Timeline, heard: Sequence[HeardCue], tempo: float, left_out: frozenset[int]) -> StepStarts:
    """The placing when each step is taken to last `tempo` times as long as planned, where nothing else is heard.

    What is drawn tight is how late the class is.
    """
    clock = _Clock.of(timeline, left_out)
    cues = {clock.spread_at(timeline.cues[one.cue].start_ms): one for one in heard}
    planned_ms = {at: tempo * clock.at(timeline.cues[one.cue].start_ms) for at, one in cues.items()}
    windows = [Window(at, one.low_ms - planned_ms[at], one.high_ms - planned_ms[at]) for at, one in cues.items()]
    spread = _spread(windows)
    by_plan = _tight(windows, cues)
    loose = [*map(_pin, windows)]
    pins, known = list[Pin](), list[Window]()
    for at, one in cues.items():
        of_words, of_plan = one.off_ms**-2, OF_PLAN * precision(at, loose, spread)
        pins.append(Pin(at, (of_words + of_plan) ** -0.5))
        late_ms = (of_words * (one.likely_ms - planned_ms[at]) + of_plan * by_plan[at]) / (of_words + of_plan)
        known.append(Window(at, late_ms, late_ms))
    late = _tight(known, clock.spread)
    real = [tempo * kept_ms + late[at] for kept_ms, at in zip(clock.kept_ms, clock.spread, strict=True)]
    *starts_ms, end_ms = map(round, accumulate(real, max))
    return StepStarts(tuple(starts_ms), end_ms, tuple(pins), clock.spread, spread, left_out)


def _tight(windows: Sequence[Window], places: Iterable[float]) -> dict[float, float]:
    """How late the class is at each of some places, drawn tight through the windows."""
    open_at = set(places) - {window.at for window in windows}
    every = sorted([*windows, *(Window(at, -ANYWHERE, ANYWHERE) for at in open_at)], key=lambda window: window.at)
    return dict(zip((window.at for window in every), taut_string(every), strict=True))


def _spread(windows: Sequence[Window]) -> float:
    """How far the lengths of steps spread in this class, by how far off each narrow window is from a straight line
    between the two around it."""
    narrow = [one for one in windows if one.high - one.low <= NARROW_MS]
    squares = list[float]()
    for before, one, after in zip(narrow, narrow[1:], narrow[2:], strict=False):
        share = (one.at - before.at) / (after.at - before.at)
        line = [(before, -(1 - share)), (one, 1.0), (after, -share)]
        off_ms = sum(part * (window.low + window.high) / 2 for window, part in line)
        known = sum((part * _pin(window).off_ms) ** 2 for window, part in line)
        spread = SPREAD**2 * 1e6 * share * (after.at - one.at)
        if spread > known:
            squares.append(max(off_ms**2 - known, 0) / spread)
    if len(squares) < FEW:
        return SPREAD
    return SPREAD * min(max(sqrt(median(squares) / MEDIAN_SQUARE), LEAST_SPREAD), MOST_SPREAD)


def _pin(window: Window) -> Pin:
    """What a window tells, where it is as likely to be passed at any height."""
    return Pin(window.at, hypot(WORD_MS, (window.high - window.low) / sqrt(12)))
