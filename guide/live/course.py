"""The class under way, and what becomes of it when something is asked for: a new plan from here on, every time.

All of this is pure: a course, an order and a moment go in, a course and a moment come out. What lies before the step
under way keeps its lengths; the moment keeps its place in the hold under way; and every plan is proved by the checker.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from guide.plan.checker import prove
from guide.plan.scheduler import plan
from guide.plan.timeline import Span, Timeline
from guide.sequence.steps import CueKind, InBreaths, InTime, Step, Steps, Words

#: The words that are kept when fewer are asked for: what the pose is, and the breath that carries a move.
FEW = (CueKind.NAME, CueKind.BREATH)


@dataclass(frozen=True, slots=True)
class Course:
    """A class under way: its steps with all their words, which of them (by number) are led with few, and its plan."""

    steps: Steps
    word_ms: Mapping[str, int]
    sound_ms: Mapping[str, int]
    timeline: Timeline
    few: frozenset[int] = frozenset()

    def number_at(self, ms: int) -> int:
        """The step under way at a moment; while a bell of the class or a section rings, the step after it."""
        spans = self.timeline.spans
        return next((number for number, span in enumerate(spans) if ms < span.end_ms), len(spans) - 1)

    def span_at(self, ms: int) -> Span:
        return self.timeline.spans[self.number_at(ms)]


@dataclass(frozen=True, slots=True)
class Turn:
    """What an order made of a class: the course from now on, the moment in it, and what to tell the teacher."""

    course: Course
    at_ms: int
    told: str


def begin(steps: Steps, word_ms: Mapping[str, int], sound_ms: Mapping[str, int], timeline: Timeline) -> Course:
    """The course of a class as it was planned; its slot has done its work, and every change is free to leave it."""
    return Course(replace(steps, slot_ms=None), word_ms, sound_ms, timeline)


def replanned(
    course: Course, at_ms: int, told: str, *, steps: Iterable[Step] | None = None, few: frozenset[int] | None = None
) -> Turn:
    """The course with other steps (as many as before) or fewer words, and the same place in the step under way.

    Raises:
        BrokenPromise: the new plan does not keep what a plan promises; a fault of the program.
    """
    number = course.number_at(at_ms)
    into_hold_ms = at_ms - course.timeline.spans[number].hold_ms
    made = replace(
        course,
        steps=course.steps if steps is None else replace(course.steps, steps=tuple(steps)),
        few=course.few if few is None else few,
    )
    led = replace(made.steps, steps=tuple(_led(step, n in made.few) for n, step in enumerate(made.steps.steps)))
    timeline = plan(led, course.word_ms, course.sound_ms)
    prove(led, timeline, course.word_ms)
    span = timeline.spans[number]
    moment_ms = min(max(span.hold_ms + into_hold_ms, min(span.start_ms, at_ms)), span.end_ms)
    return Turn(replace(made, timeline=timeline), moment_ms, told)


def _led(step: Step, with_few: bool) -> Step:
    """A step as it is led: with all its words, or with names and breaths only."""

    def few(words: tuple[Words, ...]) -> tuple[Words, ...]:
        return tuple(each for each in words if each.kind in FEW)

    return replace(step, entry=few(step.entry), words=few(step.words)) if with_few else step


def twins(course: Course, number: int) -> list[int]:
    """The steps that share the pair of a step, itself included."""
    pair = course.steps.steps[number].pair
    if pair is None:
        return [number]
    return [other for other, step in enumerate(course.steps.steps) if step.pair == pair]


def held(course: Course, number: int, hold: InBreaths | InTime) -> list[Step]:
    """The steps with another hold for a step and for its twin, if that is still to come.

    A twin that is past keeps what it had, and the two are a pair no longer.
    """
    steps = list(course.steps.steps)
    together = twins(course, number)
    if min(together) < number:
        for other in together:
            steps[other] = replace(steps[other], pair=None)
        together = [number]
    for other in together:
        steps[other] = replace(steps[other], hold=hold)
    return steps


def in_breaths(breaths: int, hold: InBreaths) -> InBreaths:
    """A hold of so many breaths, with its range made as wide as that."""
    return InBreaths(min(hold.least, breaths), breaths, max(hold.most, breaths))


def in_time(ms: int, hold: InTime) -> InTime:
    return InTime(min(hold.least_ms, ms), ms, max(hold.most_ms, ms))


def period_ms(span: Span) -> Fraction:
    """One breath of a step."""
    return Fraction(span.period_ms)
