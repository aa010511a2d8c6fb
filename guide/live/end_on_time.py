"""Keeping the end: the rest of the class is fitted again, so that it ends when it should."""

from collections.abc import Sequence
from dataclasses import replace

from guide.live.apply_order import begun_breaths, closing_rest
from guide.live.course import Course, OrderOutcome, laid_out, replanned, twins
from guide.plan.fitting.fit import fit
from guide.plan.grid import Grid
from guide.plan.timeline import Span
from guide.sequence.steps import InBreaths, InTime, Step, StepKind
from guide.units import clock, so_many, so_many_breaths

#: A class that ends this near to the moment asked for ends on it.
NEAR_MS = 250

#: What is further off than that, or changes by more, is told.
WORTH_TELLING_MS = 1000

#: What is told of it has room in so many characters.
MOST_TOLD = 60


def kept_to(course: Course, at_ms: int, end_ms: int) -> OrderOutcome:
    """The course with the steps to come fitted so that the class ends at `end_ms`, as near as their room allows.

    A closing rest that is under way gives too. What the teacher is told says when it ends, and what gave most.
    """
    if abs(course.timeline.length_ms - end_ms) < NEAR_MS:
        return OrderOutcome(course, at_ms, "")
    steps, spans = course.steps.steps, course.timeline.spans
    begun, resting = course.begun_at(at_ms), _resting(course, at_ms)
    giving = [number == resting or min(twins(course, number)) > begun for number in range(len(steps))]
    able = [step if gives else _fixed(step, span) for step, span, gives in zip(steps, spans, giving, strict=True)]
    if resting is not None:
        able[resting] = _still_free(steps[resting], spans[resting], at_ms + course.lead_ms)
    having_room = replace(course, steps=replace(course.steps, steps=tuple(able)))
    laid = laid_out(course, having_room, at_ms + course.lead_ms, resting, begun)
    fitted = fit(replace(laid, slot_ms=max(1, end_ms)), course.word_ms, course.sound_ms).steps.steps
    kept = [
        replace(before, hold=_with_range(made, before), pace=made.pace) if gives else before
        for made, before, gives in zip(fitted, steps, giving, strict=True)
    ]
    if kept == list(steps):
        return OrderOutcome(course, at_ms, _off(course.timeline.length_ms - end_ms))
    turn = replanned(course, at_ms, "", steps=kept)
    off_ms = turn.course.timeline.length_ms - end_ms
    if abs(off_ms) >= WORTH_TELLING_MS:
        return replace(turn, told=_off(off_ms))
    return replace(turn, told=_told(_gave(course.timeline.spans, turn.course.timeline.spans)))


def _resting(course: Course, at_ms: int) -> int | None:
    """The closing rest, if it is under way and can still change."""
    number, until_ms = course.number_at(at_ms), at_ms + course.lead_ms
    span, step = course.timeline.spans[number], course.steps.steps[number]
    if number != closing_rest(course, at_ms) or number != course.begun_at(at_ms) or span.held_ms <= until_ms:
        return None
    return number if isinstance(step.hold, InTime) else None


def _still_free(step: Step, span: Span, until_ms: int) -> Step:
    """A rest under way with the room that is left: the breaths that have begun (or all of it) are not taken away."""
    assert isinstance(step.hold, InTime)
    now_ms = span.held_ms - span.hold_ms
    begun_ms = min(Grid(step.pace).breath_ms(begun_breaths(step, span, until_ms)), now_ms)
    least_ms = max(step.hold.least_ms, begun_ms)
    return replace(step, hold=InTime(least_ms, max(now_ms, least_ms), max(step.hold.most_ms, least_ms)))


def _fixed(step: Step, span: Span) -> Step:
    """A step that gives nothing: it has what it had."""
    step = replace(step, pace_room=None)
    match step.hold:
        case InBreaths() as hold:
            return replace(step, hold=replace(hold, least=span.breaths, usual=span.breaths, most=span.breaths))
        case InTime():
            held_ms = span.held_ms - span.hold_ms
            return replace(step, hold=InTime(held_ms, held_ms, held_ms))
    return step


def _with_range(made: Step, before: Step) -> InBreaths | InTime | None:
    """The length that fitting gave, with the range that the step had before."""
    match made.hold, before.hold:
        case InBreaths(usual=usual), InBreaths(least, _, most) as hold:
            return replace(hold, least=min(least, usual), usual=usual, most=max(most, usual))
        case InTime(usual_ms=usual_ms), InTime(least_ms, _, most_ms):
            return InTime(min(least_ms, usual_ms), usual_ms, max(most_ms, usual_ms))
    return made.hold


def told_after(turn: OrderOutcome, before: Course, asked: str, moved_ms: int) -> OrderOutcome:
    """What keeping the end made of the course `before`, told after what led to it, where anything is worth telling;
    `moved_ms` is how far the end had moved."""
    # That it ends on time is seen beside the clock.
    told = f"{asked}; {turn.told.removeprefix('ends on time; ')}" if asked and turn.told else turn.told
    is_told = abs(moved_ms) >= WORTH_TELLING_MS or turn.course.timeline is not before.timeline
    return replace(turn, told=told if is_told else "")


def _off(off_ms: int) -> str:
    if abs(off_ms) < WORTH_TELLING_MS:
        return ""
    return f"ends {clock(abs(off_ms))} {'later' if off_ms > 0 else 'sooner'} than asked: there is no more room"


def _told(gave: Sequence[str]) -> str:
    """That the end is kept, and as many of those that gave as there is room for, those that gave most first."""
    head = "ends on time"
    for named in range(len(gave), -1, -1):
        others = len(gave) - named
        more = [] if not others else [f"{others} more" if named else f"{so_many(others, 'hold')} changed"]
        told = "; ".join([head, *gave[:named], *more])
        if len(told) <= MOST_TOLD:
            return told
    return head


def _gave(before: Sequence[Span], after: Sequence[Span]) -> list[str]:
    """What lasts longer or shorter than it did, each thing once, what changed most first."""
    most: dict[str, int] = {}
    for old, new in zip(before, after, strict=True):
        was_ms, now_ms = old.held_ms - old.hold_ms, new.held_ms - new.hold_ms
        if new.kind is StepKind.MOVE or abs(now_ms - was_ms) < WORTH_TELLING_MS:
            continue
        kept = so_many_breaths(new.breaths, new.and_a_half), f"{old.breaths}{'½' * old.and_a_half}"
        lasts, was = kept if new.breaths else (clock(now_ms), clock(was_ms))
        told = f"{new.title} {lasts}, was {was}"
        most[told] = most.get(told, 0) + abs(now_ms - was_ms)
    return sorted(most, key=lambda told: -most[told])
