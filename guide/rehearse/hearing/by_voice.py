"""A taught class known from the voice in its recording: where somebody spoke, beside where the plan speaks."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from guide.plan.timeline import Timeline
from guide.problem import UnusableChoice
from guide.rehearse.comparison import Comparison, Known, beside
from guide.rehearse.hearing.activity import Stretch
from guide.rehearse.speech import Speech
from guide.rehearse.surety import MOST, Rests
from guide.sequence.steps import Steps

if TYPE_CHECKING:
    from guide.rehearse.hearing.moments import ClassHeard, StepHeard

#: A plan that explains what was heard no better than this is of another class (measured on the taught classes of the
#: tests: the same one is over 0.4 however badly it is heard, another one under it but for a few).
LEAST_FIT = 0.35

#: More than anybody says in six hours, by far.
MOST_STRETCHES = 20_000

#: A voice began with the step when that is likelier than not.
BEGAN = 0.5

#: What begins so long after the last word, or before the first, is not told.
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
        from guide.rehearse.hearing.moments import PINNED

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
    from guide.rehearse.hearing.moments import class_heard

    known = dict(sorted((pins or {}).items()))
    if len(stretches) > MOST_STRETCHES:
        raise UnusableChoice(f"{recording}: somebody speaks {len(stretches)} times (give the recording of one class)")
    if list(known.values()) != sorted(known.values()):
        raise UnusableChoice(f"{recording}: steps are said to begin in another order than planned (answer again)")
    return Listened(recording, tuple(stretches), length_ms, class_heard(timeline, stretches, known))


def compared(
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
        speech=_speech(listened.stretches),
    )


def _speech(stretches: Sequence[Stretch]) -> Speech:
    over_ms = stretches[-1].end_ms - stretches[0].start_ms if stretches else 0
    return Speech(None, sum(one.length_ms for one in stretches), over_ms, is_measured=True)


def _known(listened: Listened) -> list[Known | None]:
    """Each step as it was taught; none that lies outside the recording, and lengths that never are below nothing."""
    steps, end = listened.told.steps, listened.told.end
    starts = [_start_ms(listened, one) for one in (*steps, end)]
    at_ms, found = 0, list[Known | None]()
    for number, (step, start_ms) in enumerate(zip(steps, starts, strict=False)):
        if start_ms is None:
            found.append(None)
            continue
        at_ms = max(at_ms, start_ms)
        after_ms = starts[number + 1]
        length_ms = None if after_ms is None else max(after_ms - at_ms, 0)
        sure = round(min(step.moments[0].chance, MOST), 2)
        found.append(Known(at_ms, length_ms, sure, _rests_on(listened, number), round(step.cues)))
    return found


def _start_ms(listened: Listened, step: "StepHeard") -> int | None:
    if not step.moments:
        return None
    at_ms = step.moments[0].at_ms
    return at_ms if at_ms <= min(listened.stretches[-1].end_ms + BEYOND_MS, listened.length_ms) else None


def _rests_on(listened: Listened, number: int) -> Rests:
    if number in listened.pins:
        return Rests.PRESSED
    return Rests.VOICE if listened.told.steps[number].begins >= BEGAN else Rests.AROUND
