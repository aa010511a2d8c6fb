"""The segmentations of what was heard into the cues of a plan, each drawn as often as it is likely.

A segmentation takes some cues in order, and each of those to a stretch with which it began. Between two of them cues
may have been dropped or may lie in the same stretch, and stretches may be parts of one cue or no cue at all. Forwards
through cues and stretches the likelihoods of all segmentations are summed (a hidden semi-Markov model); backwards
segmentations are sampled.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from guide.review.hearing.likelihoods import HeardStretches, PlannedCues, dropped, length_likelihood, time_likelihood

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Numbers = NDArray[np.float64]
    Indices = NDArray[np.int64]

#: What it tells that a cue and its stretch are followed by another cue and stretch; the last two by number.
_Between = Callable[["SegmentationTask", "Indices", int, "Indices", "Indices"], "Numbers"]

#: From one beginning to the next so many cues and stretches are passed: all pairs of the first kind; far ones of two.
_NEAR = [(cues, stretches) for cues in range(1, 5) for stretches in range(1, 7)]
_FAR = [*((1, stretches) for stretches in range(7, 41)), *((cues, few) for cues in range(5, 17) for few in (1, 2))]

#: What a known moment says of where a cue is: the spread in seconds, beside the spread of time.
KNOWN_S = 0.7

#: A class begins at any moment alike: so often a second.
BEGINS_RATE = 0.02

NEVER = -1e30


@dataclass(frozen=True, slots=True)
class Anchor:
    """A planned and a real moment that are known to be the same; in seconds."""

    planned_s: float
    real_s: float


@dataclass(frozen=True, slots=True)
class SegmentationTask:
    """A part of a class between two known moments, or none: its cues, its stretches, and how fast it goes."""

    planned: PlannedCues
    heard: HeardStretches
    tempo: float
    before: Anchor | None = None
    after: Anchor | None = None


@dataclass(frozen=True, slots=True)
class SampledSegmentations:
    """Segmentations drawn: `taken[segmentation, cue]` is the stretch with which a cue began, or -1; `probability` sums
    all segmentations, `without` is that there is no cue in all that was heard; both as logarithms."""

    taken: "Indices"
    probability: float
    without: float


def sampled(task: SegmentationTask, segmentations: int, random: "np.random.Generator") -> SampledSegmentations:
    """`segmentations` segmentations of a task, each as often as it is likely."""
    cues, stretches = len(task.planned.starts_s), len(task.heard.starts_s)
    without = _without(task)
    if not cues or not stretches:
        return SampledSegmentations(np.full((segmentations, cues), -1, np.int64), without, without)
    sums = _Sums(task, np.full((cues, stretches), NEVER))
    for cue, columns in enumerate(_windows(task)):
        if len(columns):
            sums.values[cue, columns] = _summed(sums.incoming(cue, columns), axis=0)
    last = sums.values + _endings(task)
    total = float(np.logaddexp(_summed(last.ravel(), axis=0), without))
    return SampledSegmentations(_sampled_back(sums, last, without, segmentations, random), total, without)


#: How far from where it is expected a cue is looked for: in seconds, as a share of all, and all where it is little.
REACH_S, REACH, LITTLE = 240.0, 0.06, 250_000


def _windows(task: SegmentationTask) -> "Iterator[Indices]":
    """The stretches with which each cue may have begun."""
    planned, heard = task.planned.starts_s, task.heard.starts_s
    every = np.arange(len(heard))
    if len(planned) * len(heard) <= LITTLE:
        yield from (every for _ in planned)
        return
    first = task.before or Anchor(planned[0], heard[0])
    last = task.after or Anchor(planned[-1], heard[-1])
    over_s = max(last.planned_s - first.planned_s, 1.0)
    reach_s = REACH_S + REACH * (last.real_s - first.real_s)
    for at_s in planned:
        even = first.real_s + (at_s - first.planned_s) / over_s * (last.real_s - first.real_s)
        as_planned = first.real_s + (at_s - first.planned_s) * task.tempo
        low, high = min(even, as_planned) - reach_s, max(even, as_planned) + reach_s
        yield every[np.searchsorted(heard, low) : np.searchsorted(heard, high)]


@dataclass(frozen=True, slots=True)
class _Sums:
    """For every cue and every stretch the sum over all segmentations that lead there."""

    task: SegmentationTask
    values: "Numbers"

    def incoming(self, cue: int, columns: "Indices") -> "Numbers":
        """All that leads to a cue beginning with each stretch of `columns`: shape (transitions, columns).

        The first transition is the beginning; the others are as `steps`.
        """
        near, far = _NEAR_STEPS, _FAR_STEPS
        parts = [
            _beginnings(self.task, cue, columns)[None, :],
            self._from(cue, columns, near, _between_near),
            self._from(cue, columns, far, _between_far),
        ]
        return np.concatenate(parts)

    def _from(self, cue: int, columns: "Indices", steps: "Indices", between: _Between) -> "Numbers":
        steps = steps[steps[:, 0] <= cue]
        came = cue - steps[:, :1]
        columns_from = columns[None, :] - steps[:, 1:]
        before = self.values[came, np.maximum(columns_from, 0)]
        value = before + between(self.task, came, cue, np.maximum(columns_from, 0), columns[None, :])
        led: Numbers = np.where((columns_from >= 0) & (before > NEVER / 2), value, NEVER)
        return led


_NEAR_STEPS, _FAR_STEPS = np.array(_NEAR, np.int64), np.array(_FAR, np.int64)


def steps_to(cue: int) -> "Indices":
    """How many cues and stretches each transition passes, but the first, in the order of `_Sums.incoming`."""
    return np.concatenate([steps[steps[:, 0] <= cue] for steps in (_NEAR_STEPS, _FAR_STEPS)])


def _beginnings(task: SegmentationTask, cue: int, columns: "Indices") -> "Numbers":
    """That the class begins with this cue and one of these stretches: what is before it is talk."""
    heard, skipped = task.heard, float(dropped(np.array(cue)))
    if task.before is None:
        return np.asarray(skipped + heard.talk_sum[columns] + np.log(BEGINS_RATE))
    planned_s = task.planned.starts_s[cue] - task.before.planned_s
    real_s = heard.starts_s[columns] - task.before.real_s
    return np.asarray(skipped + heard.extra_sum[columns] + _known(real_s, planned_s, task.tempo))


def _endings(task: SegmentationTask) -> "Numbers":
    """That the class ends with each cue and stretch: what comes after is talk, unless the class goes on."""
    planned, heard = task.planned, task.heard
    cues, stretches = len(planned.starts_s), len(heard.starts_s)
    at, column = np.arange(cues)[:, None], np.arange(stretches)[None, :]
    rest_sum = heard.talk_sum if task.after is None else heard.extra_sum
    values = np.full((cues, stretches), NEVER)
    for many in range(1, 4):
        for parts in range(1, 5):
            cue_end, end = np.minimum(at + many, cues), np.minimum(column + parts, stretches)
            said = length_likelihood(
                heard.spoken_sum[end] - heard.spoken_sum[column], planned.spoken_sum[cue_end] - planned.spoken_sum[at]
            )
            said = said + planned.merged_sum[cue_end - 1] - planned.merged_sum[at] + dropped(cues - cue_end)
            said = (
                said
                + heard.split_sum[end]
                - heard.split_sum[np.minimum(column + 1, stretches)]
                + rest_sum[-1]
                - rest_sum[end]
            )
            is_one = (at + many <= cues) & (column + parts <= stretches)
            values = np.logaddexp(values, np.where(is_one, said, NEVER))
    if task.after is not None:
        real_s = task.after.real_s - heard.starts_s[column]
        values = values + _known(real_s, task.after.planned_s - planned.starts_s[at], task.tempo)
    return values


def _known(real_s: "Numbers", planned_s: "Numbers", tempo: float) -> "Numbers":
    spread = np.sqrt(KNOWN_S**2 + (0.2 * planned_s) ** 2)
    return -0.5 * ((real_s - planned_s * tempo) / spread) ** 2 - np.log(spread) - 0.92


def _without(task: SegmentationTask) -> float:
    """That there is no cue in all that was heard."""
    rest = max(task.heard.talk_sum[-1], task.heard.extra_sum[-1])
    held = 0.0
    if task.before is not None and task.after is not None:
        planned_s = task.after.planned_s - task.before.planned_s
        held = float(_known(np.array(task.after.real_s - task.before.real_s), np.array(planned_s), task.tempo))
    return float(rest + dropped(np.array(len(task.planned.starts_s))) + held)


def _between_far(task: SegmentationTask, came: "Indices", cue: int, column: "Indices", to: "Indices") -> "Numbers":
    """From one beginning to the next, with cues dropped and stretches that are none."""
    planned, heard = task.planned, task.heard
    real_s = np.maximum(heard.starts_s[to] - heard.starts_s[column], 0.01)
    time = time_likelihood(real_s, planned.starts_s[cue] - planned.starts_s[came], task.tempo)
    extra = heard.extra_sum[to] - heard.extra_sum[column + 1]
    return time + length_likelihood(heard.lengths_s[column], planned.lengths_s[came]) + dropped(cue - came - 1) + extra


def _between_near(task: SegmentationTask, came: "Indices", cue: int, column: "Indices", to: "Indices") -> "Numbers":
    """The same where cues may also share a stretch, and stretches a cue."""
    planned, heard = task.planned, task.heard
    many, parts = cue - came > 1, to - column > 1
    real_s = np.maximum(heard.starts_s[to] - heard.starts_s[column], 0.01)
    time = time_likelihood(real_s, planned.starts_s[cue] - planned.starts_s[came], task.tempo)
    one_s, all_s = heard.lengths_s[column], np.maximum(heard.spoken_sum[to] - heard.spoken_sum[column], 0.01)
    first_s, every_s = planned.lengths_s[came], planned.spoken_sum[cue] - planned.spoken_sum[came]
    merged = planned.merged_sum[cue - 1] - planned.merged_sum[came]
    gone = dropped(cue - came - 1)
    split = heard.split_sum[to] - heard.split_sum[column + 1]
    extra = heard.extra_sum[to] - heard.extra_sum[column + 1]
    kinds = (
        length_likelihood(all_s, every_s) + merged + split,
        np.where(parts, length_likelihood(one_s, every_s) + merged + extra, NEVER),
        np.where(many, length_likelihood(all_s, first_s) + gone + split, NEVER),
        np.where(many & parts, length_likelihood(one_s, first_s) + gone + extra, NEVER),
    )
    return time + _summed(np.stack(kinds), axis=0)


def _summed(values: "Numbers", axis: int) -> "Numbers":
    """The logarithm of the sum of what `values` are the logarithms of."""
    most = np.maximum(values.max(axis=axis), NEVER)
    total: Numbers = most + np.log(np.exp(values - np.expand_dims(most, axis)).sum(axis=axis))
    return total


def _sampled_back(
    sums: _Sums, last: "Numbers", without: float, segmentations: int, random: "np.random.Generator"
) -> "Indices":
    """Ways drawn from their ends to their beginnings."""
    cues, stretches = last.shape
    taken = np.full((segmentations, cues), -1, np.int64)
    ends = _chosen(np.append(last.ravel(), without)[:, None], np.zeros(segmentations, np.int64), random)
    at, column = ends // stretches, ends % stretches
    at[ends == cues * stretches] = -1
    for cue in range(cues - 1, -1, -1):
        here = np.flatnonzero(at == cue)
        if not len(here):
            continue
        taken[here, cue] = column[here]
        columns, which = np.unique(column[here], return_inverse=True)
        steps = np.concatenate([[(cue + 1, 0)], steps_to(cue)])
        chosen = steps[_chosen(sums.incoming(cue, columns), which, random)]
        at[here] -= chosen[:, 0]
        column[here] -= chosen[:, 1]
    return taken


def _chosen(values: "Numbers", which: "Indices", random: "np.random.Generator") -> "Indices":
    """For each of `which`, a column of `values`, a row drawn by its probability."""
    upto = np.cumsum(np.exp(values - values.max(axis=0)), axis=0)
    found = np.zeros(len(which), np.int64)
    for column in range(values.shape[1]):
        here = which == column
        found[here] = np.searchsorted(upto[:, column], random.random(int(here.sum())) * upto[-1, column], side="right")
    return np.minimum(found, len(values) - 1)
