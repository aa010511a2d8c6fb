"""Where a class is at a moment, in the words of a teacher: for the screen, the log and the ear."""

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from guide.live.course import Course, period_ms
from guide.sequence.steps import Breath, Pace, Step, StepKind


class Phase(Enum):
    """Which part of a breath it is."""

    IN = "in"
    FULL = "full"
    OUT = "out"
    EMPTY = "empty"


@dataclass(frozen=True, slots=True)
class Moment:
    """A moment of a class.

    `breath` counts from 1, 0 while nothing is held; `breaths` is 0 for a hold by the clock. `fullness` is how full the
    lungs are, from 0 to 1. Times are in ms.
    """

    step: int
    title: str
    side: str
    section: str
    breath: int
    breaths: int
    phase: Phase
    fullness: float
    hold_left_ms: int
    next_title: str
    next_side: str
    at_ms: int
    left_ms: int


def moment_of(course: Course, at_ms: int) -> Moment:
    """Where the class is at a moment."""
    number = course.number_at(at_ms)
    steps, spans = course.steps.steps, course.timeline.spans
    step, span = steps[number], spans[number]
    section = course.steps.sections[step.section].title if step.section is not None else ""
    following = spans[number + 1] if number + 1 < len(spans) else None
    inside_ms = at_ms - span.hold_ms
    is_held = step.kind not in (StepKind.MOVE, StepKind.TALK) and 0 <= inside_ms < span.held_ms - span.hold_ms
    phase, fullness = _breathed(step, inside_ms)
    return Moment(
        step=number,
        title=span.title,
        side=span.side.value if span.side else "",
        section=section,
        breath=int(inside_ms / period_ms(span)) + 1 if is_held else 0,
        breaths=span.breaths,
        phase=phase,
        fullness=fullness,
        hold_left_ms=span.held_ms - max(at_ms, span.hold_ms) if at_ms < span.held_ms else 0,
        next_title=following.title if following else "",
        next_side=following.side.value if following and following.side else "",
        at_ms=at_ms,
        left_ms=max(0, course.timeline.length_ms - at_ms),
    )


def _breathed(step: Step, inside_ms: int) -> tuple[Phase, float]:
    """The part of the breath, and how full it is, so long after a hold (or a move) began."""
    if inside_ms < 0 or step.kind is StepKind.TALK:
        return Phase.EMPTY, 0.0
    if step.kind is StepKind.MOVE and step.breath is Breath.EXHALE:
        return _part(step.pace, min(step.pace.inhale_ms + step.pace.full_ms + inside_ms, step.pace.period_ms))
    if step.kind is StepKind.MOVE:
        return _part(step.pace, min(Fraction(inside_ms), step.pace.inhale_ms + step.pace.full_ms))
    return _part(step.pace, inside_ms % step.pace.period_ms)


def _part(pace: Pace, into_ms: Fraction) -> tuple[Phase, float]:
    if into_ms < pace.inhale_ms:
        return Phase.IN, float(into_ms / pace.inhale_ms)
    into_ms -= pace.inhale_ms
    if into_ms < pace.full_ms:
        return Phase.FULL, 1.0
    into_ms -= pace.full_ms
    if into_ms < pace.exhale_ms:
        return Phase.OUT, float(1 - into_ms / pace.exhale_ms)
    return Phase.EMPTY, 0.0
