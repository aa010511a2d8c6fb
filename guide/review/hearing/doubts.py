"""The steps of a taught class whose start is doubtful, to be asked about, and what the answers make of it."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from guide.plan.timeline import Timeline
from guide.problem import UnusableChoice
from guide.review.hearing.by_voice import Listened, listened
from guide.sequence.steps import StepKind

if TYPE_CHECKING:
    from guide.review.hearing.posteriors import LikelyStart

#: What is less sure is asked about.
SURE_ENOUGH = 0.8

#: Nobody answers more questions than this at once; the least sure are asked.
MOST_DOUBTS = 12

#: Steps as short as this pass before anybody could say when they began.
SHORT_MS = 8_000

_TIME = re.compile(r"(?:(\d{1,2}):)?(\d{1,3}):([0-5]\d)(?:[.,](\d))?")


@dataclass(frozen=True, slots=True)
class Doubt:
    """A step of which it is not sure when it began, and the likeliest starts; the first is the one that is told."""

    step: int
    title: str
    side: str
    likely_starts: "tuple[LikelyStart, ...]"

    @property
    def best_ms(self) -> int:
        """The likeliest start."""
        return self.likely_starts[0].at_ms


def doubtful(
    timeline: Timeline, heard: Listened, sure: float = SURE_ENOUGH, most: int = MOST_DOUBTS
) -> tuple[Doubt, ...]:
    """The steps to ask about, in order: no moves, nothing short, none that has been answered, none of another class."""
    if heard.is_another:
        return ()
    found = [number for number in range(len(timeline.spans)) if _is_doubtful(timeline, heard, number, sure)]
    least_sure = sorted(found, key=lambda number: heard.told.steps[number].likely_starts[0].probability)[:most]
    return tuple(_doubt(timeline, heard, number) for number in sorted(least_sure))


def _is_doubtful(timeline: Timeline, heard: Listened, number: int, sure: float) -> bool:
    span, step = timeline.spans[number], heard.told.steps[number]
    matters = span.kind is not StepKind.MOVE and span.end_ms - span.start_ms >= SHORT_MS
    if not matters or number in heard.pins or not step.likely_starts:
        return False
    return 0 <= step.likely_starts[0].at_ms <= heard.length_ms and step.likely_starts[0].probability < sure


def _doubt(timeline: Timeline, heard: Listened, number: int) -> Doubt:
    span = timeline.spans[number]
    likely_starts = tuple(one for one in heard.told.steps[number].likely_starts if 0 <= one.at_ms <= heard.length_ms)
    return Doubt(number, span.title, span.side.value if span.side else "", likely_starts)


def answer_ms(text: str, doubt: Doubt, length_ms: int) -> int | None:
    """The moment that an answer gives: `yes` for the likeliest, or a time such as `3:50`; None for `skip` or nothing.

    Raises:
        UnusableChoice: it is none of these, or a time after the end of the recording.
    """
    said = text.strip().casefold()
    if said in ("", "skip", "s", "n", "no"):
        return None
    if said in ("y", "yes"):
        return doubt.best_ms
    found = _TIME.fullmatch(said)
    if found is None:
        raise UnusableChoice(f"`{text.strip()}` is no answer (yes, a time such as 3:50, or skip)")
    hours, minutes, seconds, tenths = (int(part or 0) for part in found.groups())
    at_ms = ((hours * 60 + minutes) * 60 + seconds) * 1000 + tenths * 100
    if at_ms > length_ms:
        raise UnusableChoice(f"`{text.strip()}` is after the end of the recording (yes, a time such as 3:50, or skip)")
    return at_ms


def answered(timeline: Timeline, heard: Listened, answers: Sequence[tuple[Doubt, int]]) -> Listened:
    """The same recording, heard again with the starts that were answered for certain.

    Raises:
        UnusableChoice: by the answers, steps began in another order than planned.
    """
    pins = {**heard.pins, **{doubt.step: at_ms for doubt, at_ms in answers}}
    return listened(timeline, heard.recording, heard.stretches, heard.length_ms, pins)
