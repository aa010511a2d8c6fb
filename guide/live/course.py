"""The class under way, and what becomes of it when something is asked for: a new plan from here on, every time.

All of this is pure: a course, an order and a moment go in, a course and a moment come out. What has begun by the moment
of an order is settled, and stays where it was (see `settled_past`); and every plan is proved by the checker.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from guide.live.settled_past import settled, unequal, unlike
from guide.plan.checker import prove
from guide.plan.moment import begins_ms, step_at
from guide.plan.scheduler import plan
from guide.plan.timeline import Span, Timeline
from guide.sequence.steps import CueKind, InBreaths, InTime, Step, Steps, Words

#: The words that are kept when fewer are asked for: what the pose is, the breath that carries a move, and what keeps
#: people from harm.
FEW = (CueKind.NAME, CueKind.BREATH, CueKind.SAFETY)

#: The least time that a new plan is given to be made; a slow machine takes more (see `Leading`).
LEAD_MS = 300


@dataclass(frozen=True, slots=True)
class Course:
    """A class under way: its steps with all their words, which of them (by number) are led with few, and its plan.

    What begins within `lead_ms` of an order is settled too, so that the new plan never comes too late for it.
    """

    steps: Steps
    word_ms: Mapping[str, int]
    sound_ms: Mapping[str, int]
    timeline: Timeline
    few: frozenset[int] = frozenset()
    lead_ms: int = LEAD_MS

    def number_at(self, ms: int) -> int:
        """The step under way at a moment; while a bell of the class or a section rings, the step after it.

        A move is under way from the words on that lead it.
        """
        number = step_at(self.timeline, ms)
        return number + 1 if self.is_begun(number + 1, ms + 1) else number

    def is_begun(self, number: int, by_ms: int) -> bool:
        """Whether there is such a step, and anything of it has begun before a moment."""
        return number < len(self.timeline.spans) and begins_ms(self.timeline, number) < by_ms

    def span_at(self, ms: int) -> Span:
        """The step that is under way at `ms`."""
        return self.timeline.spans[self.number_at(ms)]

    def begun_at(self, ms: int) -> int:
        """The last step that an order at a moment can no longer change as a whole: it has begun, or is about to."""
        number = self.number_at(ms)
        while self.is_begun(number + 1, ms + self.lead_ms):
            number += 1
        return number

    def led(self, number: int) -> Step:
        """A step as it is led: with all its words, or with names, breaths and lines of safety only."""
        return _led(self.steps.steps[number], number in self.few)


@dataclass(frozen=True, slots=True)
class OrderOutcome:
    """What an order made of a class: the course from now on, the moment in it, and what to tell the teacher."""

    course: Course
    at_ms: int
    told: str


def begin(steps: Steps, word_ms: Mapping[str, int], sound_ms: Mapping[str, int], timeline: Timeline) -> Course:
    """The course of a class as it was planned; its slot has done its work, and every change is free to leave it."""
    return Course(replace(steps, slot_ms=None), word_ms, sound_ms, timeline)


def replanned(
    course: Course, at_ms: int, told: str, *, steps: Iterable[Step] | None = None, few: frozenset[int] | None = None
) -> OrderOutcome:
    """The course with other steps (as many as before) or fewer words; what has begun stays, and so does the moment.

    Steps that are over, or so nearly over that nothing can change in them, stay as they were, whatever `steps` says.

    Raises:
        BrokenPromise: the new plan does not keep what a plan promises; a fault of the program.
        KeyError: a number would be counted aloud that was never spoken.
    """
    spans, over_ms = course.timeline.spans, at_ms + course.lead_ms
    changed = course.steps.steps if steps is None else tuple(steps)
    kept = tuple(
        old if span.held_ms <= over_ms else new
        for old, new, span in zip(course.steps.steps, changed, spans, strict=True)
    )
    made = replace(course, steps=replace(course.steps, steps=kept), few=course.few if few is None else few)
    number = course.begun_at(at_ms)
    open_number = None if made.led(number) == course.led(number) else number
    return OrderOutcome(_planned(course, made, over_ms, open_number, number), at_ms, told)


def renewed(course: Course, at_ms: int, word_ms: Mapping[str, int]) -> OrderOutcome:
    """The course with other lengths of words, true ones for estimated ones; what has begun keeps the lengths it had.

    A hold under way is not shorter than it was, nor is its other side that is still to come.

    Raises: as `replanned`.
    """
    number = course.begun_at(at_ms)
    made = replace(course, word_ms=word_ms, steps=replace(course.steps, steps=tuple(_as_long(course, number))))
    return OrderOutcome(_planned(course, made, at_ms + course.lead_ms, number, number), at_ms, "")


def renewed_from_start(course: Course, steps: Iterable[Step], few: frozenset[int]) -> Course:
    """A course that has not begun with other steps (as many as before) or fewer words. Raises as `replanned` does."""
    made = replace(course, steps=replace(course.steps, steps=tuple(steps)), few=few)
    return _planned(course, made, 0, None, -1)


def moved(course: Course, at_ms: int, told: str) -> OrderOutcome:
    """The course at another moment; words from there on that have learnt their true lengths meanwhile have these."""
    cues = course.timeline.cues
    if all(cue.start_ms < at_ms or cue.length_ms == course.word_ms.get(cue.words) for cue in cues):
        return OrderOutcome(course, at_ms, told)
    number = course.number_at(at_ms)
    return OrderOutcome(_planned(course, course, at_ms, number, number), at_ms, told)


def _planned(before: Course, made: Course, until_ms: int, open_number: int | None, upto: int) -> Course:
    """`made` with a plan in which all that begins before a moment in the plan `before` stays.

    That is everything up to the step `upto`, of which one may change from that moment on.
    """
    led = laid_out(before, made, until_ms, open_number, upto)
    timeline = plan(led, made.word_ms, made.sound_ms)
    apart = unequal(led, timeline)
    if apart is not led:
        led, timeline = apart, plan(apart, made.word_ms, made.sound_ms)
    prove(led, timeline, made.word_ms)
    return replace(made, timeline=timeline)


def laid_out(before: Course, made: Course, until_ms: int, open_number: int | None, upto: int) -> Steps:
    """The steps of `made` as they are led, with what is settled of those up to `upto` in the plan of `before`."""
    led = [made.led(number) for number in range(len(made.steps.steps))]
    laid = settled(before.timeline, led[: upto + 1], until_ms, open_number, (made.word_ms, made.sound_ms))
    return unlike(replace(made.steps, steps=(*laid, *led[upto + 1 :])))


def _led(step: Step, with_few: bool) -> Step:
    """A step as it is led: with all its words, or with names, breaths and lines of safety only.

    What is held keeps a word to begin with, so that its breath does not begin on the heels of the one before.
    """

    def few(words: tuple[Words, ...]) -> tuple[Words, ...]:
        return tuple(each for each in words if each.kind in FEW)

    if not with_few:
        return step
    entry = few(step.entry) or (step.entry[:1] if step.hold is not None else ())
    return replace(step, entry=entry, words=few(step.words))


def twins(course: Course, number: int) -> list[int]:
    """The steps that share the pair of a step, itself included."""
    pair = course.steps.steps[number].pair
    if pair is None:
        return [number]
    return [other for other, step in enumerate(course.steps.steps) if step.pair == pair]


def held(course: Course, number: int, hold: InBreaths | InTime) -> list[Step]:
    """The steps with another hold for a step and for its twin, if that is still to come; one that is past keeps its."""
    steps = list(course.steps.steps)
    for other in twins(course, number):
        if other >= number:
            steps[other] = replace(steps[other], hold=hold)
    return steps


def _as_long(course: Course, number: int) -> list[Step]:
    """The steps with the hold of one and its twin as long as the plan has made it for the words."""
    span = course.timeline.spans[number]
    match course.steps.steps[number].hold:
        case InBreaths() as hold:
            return held(course, number, in_breaths(span.breaths, hold))
        case InTime() as hold:
            return held(course, number, in_time(span.held_ms - span.hold_ms, hold))
    return list(course.steps.steps)


def in_breaths(breaths: int, hold: InBreaths) -> InBreaths:
    """A hold of so many breaths, with its range made as wide as that."""
    return replace(hold, least=min(hold.least, breaths), usual=breaths, most=max(hold.most, breaths))


def in_time(ms: int, hold: InTime) -> InTime:
    """A hold of `ms`, inside the limits of `hold` where it can be, else with wider ones."""
    return InTime(min(hold.least_ms, ms), ms, max(hold.most_ms, ms))


def period_ms(span: Span) -> Fraction:
    """One breath of a step."""
    return Fraction(span.period_ms)
