"""When each step of a class began that its teacher talked in words of her own."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import erf, sqrt
from typing import TYPE_CHECKING

from guide.plan.timeline import Timeline
from guide.review.aligning.told_talk import TalkReader, ToldTalk
from guide.review.captions.transcript import Transcript
from guide.review.comparison import Known
from guide.review.confidence import RIGHT_MS, SPREAD, Basis
from guide.review.own_words.planned_parts import PlannedPart, planned_parts
from guide.sequence.steps import StepKind, Steps

if TYPE_CHECKING:
    from guide.review.own_words.reading import Numbers, Reading

#: A part is told when it is likelier that it was done than that it was left out.
DONE = 0.5

#: A plan that explains the talk no better than the same plan backwards, by so much for each of its parts, is of another
#: class. On the talked classes of the tests the same one is at 6.6 and more, nineteen in twenty other ones at less.
LEAST_FIT = 5.5

#: So much, as a logarithm, must words tell of a step for it to rest on them; those that open it are said so soon.
TELLING, OPENING_MS = 1.0, 6_000

#: Nothing is surer: words lead people in, and do not tell when they move. Of what is surer by itself, 84 of 100 are
#: right by captions of eight words with points.
MOST = 0.7

#: Within a part, steps lie as planned; so far off by itself.
WITHIN_MS = 1_500


@dataclass(frozen=True, slots=True)
class TalkedClass:
    """A talked class: what is known of each step, and whether it is another class than the planned one."""

    known: tuple[Known | None, ...]
    is_another: bool


@dataclass(frozen=True, slots=True)
class _Begun:
    """A part's likeliest beginning, and how sure it is."""

    part: PlannedPart
    at_ms: int
    sure: float
    rests_on: Basis


def talked_class(steps: Steps, timeline: Timeline, transcript: Transcript, reader: TalkReader) -> TalkedClass:
    """The class as it was talked, beside its plan."""
    nothing = (None,) * len(timeline.spans)
    parts = planned_parts(steps, timeline)
    talk = reader(transcript, {part.pose for part in parts}) if reader and parts and transcript.blocks else None
    if talk is None:
        return TalkedClass(nothing, is_another=True)
    from guide.review.own_words.reading import how_likely, reading

    read = reading(parts, talk)
    if read.likely - how_likely(parts[::-1], talk) < LEAST_FIT * len(parts):
        return TalkedClass(nothing, is_another=True)
    known = list[Known | None](nothing)
    for number, one in _known(timeline, list(_begun(parts, talk, read)), round(talk.starts_ms[-2])):
        known[number] = one
    return TalkedClass(tuple(known), is_another=False)


def _begun(parts: Sequence[PlannedPart], talk: ToldTalk, read: "Reading") -> Iterator[_Begun]:
    """The beginnings of the parts that were done, in order."""
    import numpy as np

    at_ms, last_ms = talk.starts_ms[:-1], -1.0
    for number, part in enumerate(parts):
        share = read.begins[number]
        if share.sum() < DONE:
            continue
        sums = np.concatenate([[0.0], np.cumsum(share)])
        low, high = np.searchsorted(at_ms, at_ms - RIGHT_MS), np.searchsorted(at_ms, at_ms + RIGHT_MS, side="right")
        near = np.where(at_ms > last_ms, sums[high] - sums[low], -1)
        best = int(near.argmax())
        if near[best] < 0:
            continue
        place = low[best] + int(share[low[best] : high[best]].argmax())
        if at_ms[place] <= last_ms:
            place = best
        last_ms = float(at_ms[place])
        sure = min(float(near[best]), MOST) * _within_right(float(talk.loose_ms[place]))
        yield _Begun(part, round(last_ms), sure, _basis(read.told[number], talk, int(place)))


def _basis(told: "Numbers", talk: ToldTalk, place: int) -> Basis:
    """What a beginning rests on: its first words, words in it, or the steps around it."""
    import numpy as np

    ends = np.searchsorted(talk.starts_ms, talk.starts_ms[place] + np.array([OPENING_MS, 10 * OPENING_MS]))
    opening, later = told[np.minimum(ends, len(told) - 1)] - told[place]
    if opening >= TELLING:
        return Basis.OPENING
    return Basis.LATER if later >= TELLING else Basis.AROUND


def _known(timeline: Timeline, begun: Sequence[_Begun], last_ms: int) -> Iterator[tuple[int, Known]]:
    """The steps of the parts that were done, by number; the end of the last is not known."""
    for one, after in pairwise([*begun, None]):
        assert one is not None
        until_ms = after.at_ms if after else None
        starts = list(_within(timeline, one, until_ms if until_ms is not None else last_ms))
        ends = [*(start_ms for _, start_ms in starts[1:]), until_ms]
        for (number, start_ms), end_ms in zip(starts, ends, strict=True):
            length_ms = None if end_ms is None else max(end_ms - start_ms, 0)
            is_first = number == one.part.first
            sure = one.sure if is_first else one.sure * _holds(start_ms - one.at_ms, (until_ms or last_ms) - start_ms)
            yield number, Known(start_ms, length_ms, round(sure, 2), one.rests_on if is_first else Basis.AROUND)


def _within(timeline: Timeline, one: _Begun, until_ms: int) -> Iterator[tuple[int, int]]:
    """The steps of a part with their starts: the way out of a pose as long before the end as planned, others evenly."""
    spans = timeline.spans
    first, end = one.part.first, one.part.end
    planned_end_ms = spans[end].start_ms if end < len(spans) else spans[-1].end_ms
    lasts_ms = until_ms - one.at_ms
    tempo = lasts_ms / max(planned_end_ms - spans[first].start_ms, 1)
    for number in range(first, end):
        is_way_out = number > first and spans[number].kind is StepKind.TALK
        if is_way_out:
            yield number, max(until_ms - round((planned_end_ms - spans[number].start_ms) * min(tempo, 1)), one.at_ms)
        else:
            yield number, one.at_ms + round((spans[number].start_ms - spans[first].start_ms) * tempo)


def _holds(since_ms: int, until_ms: int) -> float:
    """The chance that a step lies within two seconds of where it is as planned between two that are known."""
    return _within_right(sqrt(WITHIN_MS**2 + SPREAD**2 * min(since_ms, until_ms) ** 2))


def _within_right(off_ms: float) -> float:
    """The chance that something is right to within two seconds that is off by about so much."""
    return erf(RIGHT_MS / off_ms / sqrt(2)) if off_ms else 1.0
