"""A taught class known from the voice in its recording: where somebody spoke, beside where the plan speaks."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from guide.plan.timeline import Timeline
from guide.problem import UnusableChoice
from guide.review.comparison import Comparison, Known, beside
from guide.review.confidence import MOST, RIGHT_MS, Basis
from guide.review.hearing.voice_activity import Stretch
from guide.review.speech import Speech, longest_quiet
from guide.sequence.steps import Steps

if TYPE_CHECKING:
    from guide.review.hearing.posteriors import ClassHeard, StepHeard

#: A plan that explains what was heard no better than this is of another class. Measured on the taught classes of the
#: tests: the same one is over 0.4 however badly it is heard; another one is under it, unless they have much in common.
LEAST_FIT = 0.4

#: More than anybody says in six hours, by far.
MOST_STRETCHES = 20_000

#: A voice began with the step when that is likelier than not.
BEGAN = 0.5

#: What begins so long after the last word is not told.
BEYOND_MS = 30_000


@dataclass(frozen=True, slots=True)
class Listened:
    """A recording of a class: the speech in it, its length, and what that tells of the plan."""

    recording: str
    stretches: tuple[Stretch, ...]
    length_ms: int
    told: "ClassHeard"

    @property
    def is_another(self) -> bool:
        """Whether the recording is of another class."""
        from guide.review.hearing.posteriors import PINNED

        return self.told.fits < (LEAST_FIT if self.told.fits != PINNED else 0)

    @property
    def pins(self) -> Mapping[int, int]:
        """The starts of steps that were known, by their number."""
        return self.told.pins


def listened(
    timeline: Timeline,
    recording: str,
    stretches: Sequence[Stretch],
    length_ms: int,
    pins: Mapping[int, int] | None = None,
) -> Listened:
    """What the speech in a recording tells of the class; the starts of the steps in `pins` are known for certain.

    Raises:
        UnusableChoice: there is more speech than in any class, or the starts in `pins` are not in the plan's order.
    """
    from guide.review.hearing.posteriors import class_heard

    known = dict(sorted((pins or {}).items()))
    if len(stretches) > MOST_STRETCHES:
        raise UnusableChoice(f"{recording}: somebody speaks {len(stretches)} times (give the recording of one class)")
    if list(known.values()) != sorted(known.values()):
        raise UnusableChoice(f"{recording}: steps are said to begin in another order than planned (answer again)")
    return Listened(recording, tuple(stretches), length_ms, class_heard(timeline, stretches, known))


def compare_voice(
    steps: Steps,
    timeline: Timeline,
    recording: str,
    stretches: Sequence[Stretch],
    length_ms: int,
    pins: Mapping[int, int] | None = None,
) -> Comparison:
    """The class that was recorded, beside the plan; `steps` are those that `timeline` was planned from.

    Raises what `listened` raises.
    """
    return told_beside(steps, timeline, listened(timeline, recording, stretches, length_ms, pins))


def told_beside(steps: Steps, timeline: Timeline, listened: Listened) -> Comparison:
    """What was heard of a class, beside its plan; of another class nothing is told."""
    known: list[Known | None] = [None] * len(timeline.spans)
    if not listened.is_another:
        known = _known(listened)
    return beside(
        steps,
        timeline,
        listened.recording,
        known,
        heard=0 if listened.is_another else round(listened.told.cues),
        is_another=listened.is_another,
        speech=speech_of(listened.stretches),
    )


def speech_of(stretches: Sequence[Stretch]) -> Speech:
    """How much of the time was spoken."""
    over_ms = stretches[-1].end_ms - stretches[0].start_ms if stretches else 0
    spoken_ms, voiced = sum(one.length_ms for one in stretches), [(one.start_ms, one.end_ms) for one in stretches]
    from_ms = stretches[0].start_ms if stretches else 0
    return Speech(None, spoken_ms, over_ms, is_measured=True, longest_quiet=longest_quiet(voiced), from_ms=from_ms)


def _known(listened: Listened) -> list[Known | None]:
    """Each step as it was taught; none that lies outside the recording, and lengths that never are below nothing."""
    steps = listened.told.steps
    starts = _starts_ms(listened)
    found = list[Known | None]()
    for number, step in enumerate(steps):
        start_ms, after_ms = starts[number : number + 2]
        if start_ms is None:
            found.append(None)
            continue
        length_ms = None if after_ms is None else after_ms - start_ms
        sure = round(min(step.likely_starts[0].probability, MOST), 2)
        found.append(Known(start_ms, length_ms, sure, _rests_on(listened, number), round(step.cues)))
    return found


def _starts_ms(listened: Listened) -> list[int | None]:
    """When each step began and the last ended, never falling; those that are known for certain hold the others."""
    starts = [_start_ms(listened, one) for one in (*listened.told.steps, listened.told.end)]
    most_ms = listened.length_ms
    for number in range(len(starts) - 1, -1, -1):
        most_ms = min(most_ms, listened.pins.get(number, most_ms))
        starts[number] = _least(starts[number], most_ms)
    at_ms = 0
    for number, start_ms in enumerate(starts):
        if start_ms is not None:
            at_ms = starts[number] = max(at_ms, start_ms)
    return starts


def _least(one_ms: int | None, other_ms: int) -> int | None:
    return None if one_ms is None else min(one_ms, other_ms)


def _start_ms(listened: Listened, step: "StepHeard") -> int | None:
    """The likeliest start of a step, where it lies in the recording and not long after the last that is known of it."""
    if not step.likely_starts:
        return None
    at_ms = step.likely_starts[0].at_ms
    last_ms = max([*listened.pins.values(), *(one.end_ms for one in listened.stretches[-1:])])
    return max(at_ms, 0) if -RIGHT_MS <= at_ms <= min(last_ms + BEYOND_MS, listened.length_ms) else None


def _rests_on(listened: Listened, number: int) -> Basis:
    if number in listened.pins:
        return Basis.PRESSED
    return Basis.VOICE if listened.told.steps[number].begins >= BEGAN else Basis.AROUND
