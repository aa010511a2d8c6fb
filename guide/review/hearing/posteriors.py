"""When each step began: the posterior from many sampled segmentations, as its likeliest starts."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from guide.plan.timeline import Timeline
from guide.review.confidence import RIGHT_MS
from guide.review.hearing.likelihoods import HeardStretches, PlannedCues
from guide.review.hearing.semi_markov import Anchor, SegmentationTask, sampled
from guide.review.hearing.voice_activity import Stretch, backwards

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Numbers = NDArray[np.float64]

#: So many segmentations are drawn; and for how fast the class goes, before that.
SEGMENTATIONS, FIRST_SEGMENTATIONS = 240, 40

#: How long words take is planned for another voice: what is tried at first. It is told by so many cues a segmentation.
FIRST_VOICES, LEAST_VOICES = (0.75, 1.0, 1.33), 3

#: How far off a start is by itself where a voice begins, and how far people stray from evenness between two of them.
NOTICED_MS, STRAYS = 150.0, 0.2

#: So many likely starts are told of a step, each with at least this probability.
MOST_STARTS, LEAST_PROBABILITY = 3, 0.05

#: A key is pressed so long after a voice has begun that the voice still belongs to the step, at most.
PRESSED_AFTER_MS = 1_500

#: How much slower or quicker than planned a whole class may be.
LEAST_TEMPO, MOST_TEMPO = 0.6, 1.7


#: What is heard of a plan counts as so much of its cues at least: a few fit anywhere.
LEAST_HEARD = 0.4

#: How well a plan fits where the starts of steps are known: nobody doubts it.
PINNED = 9.0


@dataclass(frozen=True, slots=True)
class LikelyStart:
    """A moment at which a step may have begun, and the probability that it did within two seconds of it.

    It is below 0 where the step may have begun before the recording did.
    """

    at_ms: int
    probability: float


@dataclass(frozen=True, slots=True)
class StepHeard:
    """What a voice tells of a step: its likeliest starts, the best first, none where nothing tells of it.

    `begins` is the probability that a voice began with its first cue, and `cues` how many of its cues were heard.
    """

    likely_starts: tuple[LikelyStart, ...]
    begins: float
    cues: float


@dataclass(frozen=True, slots=True)
class ClassHeard:
    """What the voice in a recording tells of a class: each step, when the last ended, and how many cues were heard.

    `fits` is how much better the plan explains what was heard than it explains the same backwards, for each cue that
    was heard: about 0 for another class, 0.5 and more for the same. `pins` are the starts that were known.
    """

    steps: tuple[StepHeard, ...]
    end: StepHeard
    cues: float
    fits: float
    pins: Mapping[int, int]


def class_heard(timeline: Timeline, stretches: Sequence[Stretch], pins: Mapping[int, int]) -> ClassHeard:
    """When each step of a plan began, by the stretches of speech in a recording of it."""
    tempo = _first_tempo(timeline, stretches, pins)
    tries = [
        _Segmentations.of(timeline, stretches, pins, TimeScales(tempo, voice), FIRST_SEGMENTATIONS)
        for voice in FIRST_VOICES
    ]
    first = max(tries, key=lambda one: one.gain)
    scales = TimeScales(first.tempo(timeline) or tempo, first.voice)
    segmentations = _Segmentations.of(timeline, stretches, pins, scales, SEGMENTATIONS)
    told = segmentations.told(timeline, pins)
    if pins or not stretches:
        return told
    turned = _Segmentations.of(timeline, backwards(stretches), {}, scales, 1)
    return replace(
        told, fits=(segmentations.gain - turned.gain) / max(told.cues, LEAST_HEARD * len(timeline.cues), 1.0)
    )


def _first_tempo(timeline: Timeline, stretches: Sequence[Stretch], pins: Mapping[int, int]) -> float:
    """How many times longer than planned the class seems to be."""
    if len(pins) > 1:
        first, last = min(pins), max(pins)
        planned_ms = timeline.spans[last].start_ms - timeline.spans[first].start_ms
        return _within((pins[last] - pins[first]) / max(planned_ms, 1))
    if not timeline.cues or not stretches:
        return 1.0
    over_ms = timeline.cues[-1].end_ms - timeline.cues[0].start_ms
    # There may be talk before and after, so that what lies between is no more than a sign.
    return _within(((stretches[-1].end_ms - stretches[0].start_ms) / max(over_ms, 1)) ** 0.5)


def _within(tempo: float) -> float:
    return min(max(tempo, LEAST_TEMPO), MOST_TEMPO)


@dataclass(frozen=True, slots=True)
class TimeScales:
    """How many times longer than planned the class is, and how many times longer than planned what is said takes."""

    tempo: float
    voice: float


@dataclass(frozen=True, slots=True)
class _Segmentations:
    """Segmentations of a class: `real_ms[segmentation, edge]` for the start of each step and the end, nan where nothing
    tells; `took[segmentation, cue]` whether a voice began with a cue; `voice` as `TimeScales` has it, as these
    segmentations tell it."""

    real_ms: "Numbers"
    took: "NDArray[np.bool_]"
    gain: float
    voice: float

    @staticmethod
    def of(
        timeline: Timeline,
        stretches: Sequence[Stretch],
        pins: Mapping[int, int],
        scales: TimeScales,
        segmentations: int,
    ) -> "_Segmentations":
        random = np.random.default_rng(1)
        cue_s = np.array([cue.start_ms for cue in timeline.cues], np.float64) / 1000
        length_s = np.array([max(cue.length_ms, 50) for cue in timeline.cues], np.float64) / 1000
        start_s = np.array([one.start_ms for one in stretches], np.float64) / 1000
        lasts_s = np.array([max(one.length_ms, 50) for one in stretches], np.float64) / 1000
        real_s = np.full((segmentations, len(cue_s)), np.nan)
        anchors = [Anchor(timeline.spans[step].start_ms / 1000, at_ms / 1000) for step, at_ms in sorted(pins.items())]
        gain, voices = 0.0, [np.zeros(0)]
        for before, after in zip([None, *anchors], [*anchors, None], strict=True):
            ends = [
                (one.planned_s - 1e-6, one.real_s - PRESSED_AFTER_MS / 1000) if one else None for one in (before, after)
            ]
            cues = _slice(cue_s, *(end and end[0] for end in ends))
            heard = _slice(start_s, *(end and end[1] for end in ends))
            planned = PlannedCues.of(cue_s[cues], length_s[cues] * scales.voice)
            task = SegmentationTask(
                planned, HeardStretches.of(start_s[heard], lasts_s[heard]), scales.tempo, before, after
            )
            found = sampled(task, segmentations, random)
            voices.append(_voices(found.taken, length_s[cues], lasts_s[heard]))
            gain += found.probability - found.without
            columns = np.append(start_s[heard], np.nan)
            real_s[:, cues] = columns[found.taken]
        real_ms = _edges(timeline, cue_s, real_s, anchors, scales.tempo, random)
        every = np.concatenate(voices)
        voice = float(np.median(every)) if len(every) >= LEAST_VOICES * segmentations else scales.voice
        return _Segmentations(real_ms, ~np.isnan(real_s), gain, voice)

    def tempo(self, timeline: Timeline) -> float | None:
        """How many times longer than planned the middle part of the class was; None where nothing tells."""
        planned = np.array([span.start_ms for span in timeline.spans], np.float64)
        is_told = ~np.isnan(self.real_ms[:, :-1]).all(axis=0)
        known = np.flatnonzero(is_told & self.took.any())
        real = np.full(len(planned), np.nan)
        real[known] = np.nanmedian(self.real_ms[:, known], axis=0)
        if len(known) < 4:
            return None
        first, last = known[len(known) // 20], known[-1 - len(known) // 20]
        return _within(float((real[last] - real[first]) / max(planned[last] - planned[first], 1)))

    def told(self, timeline: Timeline, pins: Mapping[int, int]) -> ClassHeard:
        share = self.took.mean(axis=0) if len(self.took) else np.zeros(0)
        first_cue: dict[int, int] = {}
        cues_of: dict[int, float] = {}
        for number, cue in enumerate(timeline.cues):
            first_cue.setdefault(cue.step, number)
            cues_of[cue.step] = cues_of.get(cue.step, 0.0) + float(share[number])
        steps = tuple(
            StepHeard(
                _likely_starts(self.real_ms[:, step]),
                float(share[first_cue[step]]) if step in first_cue else 0.0,
                cues_of.get(step, 0.0),
            )
            for step in range(len(timeline.spans))
        )
        steps = tuple(
            replace(step, likely_starts=(LikelyStart(pins[number], 0.99),)) if number in pins else step
            for number, step in enumerate(steps)
        )
        end = StepHeard(_likely_starts(self.real_ms[:, -1]), 0.0, 0.0)
        return ClassHeard(steps, end, float(share.sum()), PINNED, dict(pins))


def _voices(taken: "NDArray[np.int64]", planned_s: "Numbers", heard_s: "Numbers") -> "Numbers":
    """How many times longer than planned each cue is said that has a stretch for itself."""
    segmentation, cue = np.nonzero((taken[:, 1:] == taken[:, :-1] + 1) & (taken[:, :-1] >= 0))
    return np.asarray(heard_s[taken[segmentation, cue]] / planned_s[cue])


def _slice(values_s: "Numbers", low_s: float | None, high_s: float | None) -> slice:
    low = 0 if low_s is None else int(np.searchsorted(values_s, low_s))
    return slice(low, len(values_s) if high_s is None else int(np.searchsorted(values_s, high_s)))


def _edges(
    timeline: Timeline,
    cue_s: "Numbers",
    real_s: "Numbers",
    anchors: Sequence[Anchor],
    tempo: float,
    random: "np.random.Generator",
) -> "Numbers":
    """When each step began, and the last ended, in each segmentation; in milliseconds."""
    edges_s = np.array([*(span.start_ms for span in timeline.spans), timeline.spans[-1].end_ms], np.float64) / 1000
    known_s = np.array([one.planned_s for one in anchors]), np.array([one.real_s for one in anchors])
    found = np.full((len(real_s), len(edges_s)), np.nan)
    for segmentation, real in enumerate(real_s):
        took = ~np.isnan(real)
        planned = np.concatenate([cue_s[took], known_s[0]])
        order = np.argsort(planned, kind="stable")
        planned, said = planned[order], np.concatenate([real[took], known_s[1]])[order]
        if len(planned):
            found[segmentation] = _laid(edges_s, planned, np.maximum.accumulate(said), tempo, random)
    return found * 1000


def _laid(
    edges_s: "Numbers", planned_s: "Numbers", real_s: "Numbers", tempo: float, random: "np.random.Generator"
) -> "Numbers":
    """Moments of the plan between moments that are known: evenly, and off by as much as people stray from that."""
    after = np.searchsorted(planned_s, edges_s)
    low, high = np.maximum(after - 1, 0), np.minimum(after, len(planned_s) - 1)
    since_s, until_s = edges_s - planned_s[low], planned_s[high] - edges_s
    even = np.interp(edges_s, planned_s, real_s)
    even += np.where(after == 0, -until_s * tempo, 0.0) + np.where(after == len(planned_s), since_s * tempo, 0.0)
    apart_s = np.where((after == 0) | (after == len(planned_s)), np.maximum(abs(since_s), abs(until_s)), 0.0)
    both = since_s * until_s / np.maximum(np.hypot(since_s, until_s), 1e-9)
    off = np.where((after == 0) | (after == len(planned_s)), apart_s, both) * STRAYS
    spread = np.hypot(off, NOTICED_MS / 1000)
    return even + random.standard_normal(len(even)) * spread


def _likely_starts(real_ms: "Numbers") -> tuple[LikelyStart, ...]:
    """The moments around which most of the segmentations are, the best first."""
    left, all_ways, found = np.sort(real_ms[~np.isnan(real_ms)]), len(real_ms), list[LikelyStart]()
    while len(left) and len(found) < MOST_STARTS:
        within = np.searchsorted(left, left + 2 * RIGHT_MS, side="right") - np.arange(len(left))
        best = int(np.argmax(within))
        at_ms = float(np.median(left[best : best + within[best]]))
        near = abs(left - at_ms) <= RIGHT_MS
        probability = float(near.sum()) / all_ways
        if found and probability < LEAST_PROBABILITY:
            break
        found.append(LikelyStart(round(at_ms), _tempered(probability)))
        left = left[abs(left - at_ms) > 1.5 * RIGHT_MS]
    return tuple(found)


def _tempered(probability: float) -> float:
    """What a share of the segmentations is worth: they agree more often than they are right (measured on the tests'
    classes)."""
    return probability - 0.2 * probability * (1 - probability)
