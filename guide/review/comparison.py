"""A class that was taught, beside its plan: when each step really began, both sides, the words, and slips.

It may be known from its captions, from the voice in a recording, from keys pressed in a rehearsal, or from the record
of a class that was led; `Basis` tells which, step by step.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum

from guide.plan.timeline import Span, Timeline
from guide.problem import Place
from guide.review.confidence import Basis
from guide.review.speech import Speech
from guide.sequence.steps import Side, StepKind, Steps

#: With fewer of its cues than this, as a share, a recording is of another class, and nothing is said of the steps.
LEAST_SAME = 0.15


@dataclass(frozen=True, slots=True)
class StepTaken:
    """A step as planned and as taught; times count from the start of the plan, and of the recording.

    `real_start_ms` is None where the step was left out or nothing tells of it, `real_ms` where its end is not known
    either. Lengths run to the start of the next step. `sure` is the chance, 0 to 1, that the real start is right to
    within two seconds; `cues` is how many it has in the plan, and `heard` how many of them were heard.
    """

    number: int
    kind: StepKind
    title: str
    side: Side | None
    section: int | None
    place: Place
    planned_start_ms: int
    planned_ms: int
    real_start_ms: int | None
    real_ms: int | None
    sure: float
    rests_on: Basis
    cues: int
    heard: int


@dataclass(frozen=True, slots=True)
class BothSides:
    """The two sides of one thing, by the numbers of their steps, in the order in which they were planned."""

    first: int
    second: int


@dataclass(frozen=True, slots=True)
class Slip:
    """A cue in which left was said for right, or right for left; `at_ms` is about when, in the recording."""

    step: int
    at_ms: int
    place: Place
    planned: str
    heard: str


@dataclass(frozen=True, slots=True)
class Known:
    """What is known of a step that was taught: as `StepTaken` has it. `heard` is how many of its cues were heard."""

    start_ms: int
    length_ms: int | None
    sure: float
    rests_on: Basis
    heard: int = 0


class How(Enum):
    """How a class was held."""

    TAUGHT = "taught"
    REHEARSED = "rehearsed"
    LED = "led"


@dataclass(frozen=True, slots=True)
class Comparison:
    """A taught class beside its plan. `planned_ms` and `real_ms` run from the first step's start to the last one's end.

    `heard` of the `cues` that the plan has (numbers counted aloud among them) were heard; None where no words were
    looked for. `kept_out_ms` is the time that counts for no step: pauses, and what was gone back on. `speech` is None
    where nothing was listened to. `slot_ms` is what the class is to fill, None where it has no slot. `is_another` tells
    whether so little of the plan was heard that the recording must be of another class. `plan_ms` is the whole plan,
    with what it has before the first step and after the last; None where that is not known.
    """

    title: str
    how: How
    recording: str
    sections: tuple[str, ...]
    planned_ms: int
    slot_ms: int | None
    real_ms: int | None
    kept_out_ms: int
    cues: int
    heard: int | None
    steps: tuple[StepTaken, ...]
    both_sides: tuple[BothSides, ...]
    speech: Speech | None
    slips: tuple[Slip, ...]
    is_another: bool = False
    plan_ms: int | None = None

    @property
    def would_take_ms(self) -> int:
        """How long the class would be: steps as they were taught, and as planned those of which that is not known, with
        what the plan has before and after them."""
        around_ms = 0 if self.plan_ms is None else self.plan_ms - self.planned_ms
        return around_ms + sum(step.planned_ms if step.real_ms is None else step.real_ms for step in self.steps)


def beside(
    steps: Steps,
    timeline: Timeline,
    recording: str,
    known: Sequence[Known | None],
    *,
    how: How = How.TAUGHT,
    heard: int | None = None,
    is_another: bool = False,
    speech: Speech | None = None,
    slips: Sequence[Slip] = (),
    kept_out_ms: int = 0,
) -> Comparison:
    """What is known of each step, beside the plan; None stands for one that was left out, or of which nothing tells.

    `steps` are those that `timeline` was planned from. Slips are told only where the class is the same.
    """
    spans, cues = timeline.spans, Counter(cue.step for cue in timeline.cues)
    taken = tuple(
        _taken(spans, number, one, cues[number]) for number, one in zip(range(len(spans)), known, strict=True)
    )
    return Comparison(
        title=timeline.title,
        how=how,
        recording=recording,
        sections=tuple(section.title for section in steps.sections),
        planned_ms=spans[-1].end_ms - spans[0].start_ms,
        slot_ms=steps.slot_ms,
        real_ms=whole_ms(taken),
        kept_out_ms=kept_out_ms,
        cues=len(timeline.cues),
        heard=heard,
        steps=taken,
        both_sides=tuple(_both_sides(steps)),
        speech=speech,
        slips=() if is_another else tuple(slips),
        is_another=is_another,
        plan_ms=timeline.length_ms,
    )


def _taken(spans: Sequence[Span], number: int, known: Known | None, cues: int) -> StepTaken:
    span = spans[number]
    return StepTaken(
        number=number,
        kind=span.kind,
        title=span.title,
        side=span.side,
        section=span.section,
        place=span.place,
        planned_start_ms=span.start_ms,
        planned_ms=_planned_end_ms(spans, number) - span.start_ms,
        real_start_ms=known.start_ms if known else None,
        real_ms=known.length_ms if known else None,
        sure=known.sure if known else 0.0,
        rests_on=known.rests_on if known else Basis.NOTHING,
        cues=cues,
        heard=known.heard if known else 0,
    )


def _planned_end_ms(spans: Sequence[Span], number: int) -> int:
    return spans[number + 1].start_ms if number + 1 < len(spans) else spans[number].end_ms


def whole_ms(steps: Sequence[StepTaken]) -> int | None:
    """From the first real start to the last real end; None where either is not known."""
    taken = [step for step in steps if step.rests_on is not Basis.NOTHING]
    if not taken or taken[0].real_start_ms is None or taken[-1].real_start_ms is None or taken[-1].real_ms is None:
        return None
    return taken[-1].real_start_ms + taken[-1].real_ms - taken[0].real_start_ms


def sure_of_length(steps: Sequence[StepTaken], number: int) -> float:
    """How sure the length of a step is, 0 to 1: as the less sure of its start and the start of what came after it."""
    one = steps[number]
    after = next((other for other in steps[number + 1 :] if other.real_start_ms is not None), one)
    return min(one.sure, after.sure)


def _both_sides(steps: Steps) -> Iterator[BothSides]:
    """Each step done on one side with the next of the same that is on the other side.

    Those that are to last the same have a pair; those that the file lets differ are written at one place.
    """
    waiting: dict[str | Place, list[int]] = {}
    for number, step in enumerate(steps.steps):
        key = step.pair or (step.place if step.pass_number else None)
        if key is None or step.side is None:
            continue
        firsts = waiting.setdefault(key, [])
        if firsts and steps.steps[firsts[0]].side is not step.side:
            yield BothSides(firsts.pop(0), number)
        else:
            firsts.append(number)
