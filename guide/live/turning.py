"""What each order makes of a course."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from fractions import Fraction

from guide.live.course import Course, Turn, held, in_breaths, in_time, period_ms, replanned, twins
from guide.live.orders import Order
from guide.plan.timeline import Span
from guide.sequence.steps import InBreaths, InTime, Pace, Step, StepKind
from guide.units import so_many, whole_ms

#: A step that has begun less than this ago is not what "again" means, but the one before it.
JUST_BEGUN_MS = 2000

#: One order changes the pace by an eighth (common practice, no source: less is hardly felt).
PACE_STEP = Fraction(9, 8)

#: A breath that orders can reach, in ms.
QUICKEST_MS, SLOWEST_MS = 2000, 20_000

#: Kinds of steps that are held.
HELD = (StepKind.POSE, StepKind.REST, StepKind.SILENCE, StepKind.BREATHING)


def ordered(course: Course, order: Order, at_ms: int) -> Turn:
    """The course as it goes on after an order given at a moment.

    Raises:
        KeyError: for an order that is the player's (pause, gains, hush, quit); that is a mistake of the caller.
    """
    return TURNS[order](course, at_ms)


def _jump(course: Course, number: int, told: str = "") -> Turn:
    spans = course.timeline.spans
    if number >= len(spans):
        return Turn(course, course.timeline.length_ms, "the end")
    span = spans[max(0, number)]
    return Turn(course, span.start_ms, told or _named(span))


def _named(span: Span) -> str:
    return span.title if span.side is None else f"{span.title}, {span.side.value}"


def _next(course: Course, at_ms: int) -> Turn:
    return _jump(course, course.number_at(at_ms) + 1)


def _again(course: Course, at_ms: int) -> Turn:
    number = course.number_at(at_ms)
    begun_ms = at_ms - course.timeline.spans[number].start_ms
    return _jump(course, number if begun_ms >= JUST_BEGUN_MS else number - 1)


def _previous(course: Course, at_ms: int) -> Turn:
    return _jump(course, course.number_at(at_ms) - 1)


def _longer(course: Course, at_ms: int) -> Turn:
    return _changed(course, at_ms, 1)


def _shorter(course: Course, at_ms: int) -> Turn:
    return _changed(course, at_ms, -1)


def _changed(course: Course, at_ms: int, more: int) -> Turn:
    """One breath more or less in the hold under way; the breath that has begun is not cut."""
    number = course.number_at(at_ms)
    step, span = course.steps.steps[number], course.timeline.spans[number]
    if step.kind not in HELD or step.hold is None:
        return Turn(course, at_ms, "nothing is held here")
    breath_ms = period_ms(span)
    begun = int(max(0, at_ms - span.hold_ms) / breath_ms) + 1
    if isinstance(step.hold, InBreaths):
        breaths = max(span.breaths + more, begun)
        steps = held(course, number, in_breaths(breaths, step.hold))
    else:
        ms = max(span.held_ms - span.hold_ms + more * whole_ms(breath_ms), whole_ms(begun * breath_ms))
        steps = held(course, number, in_time(ms, step.hold))
    turn = replanned(course, at_ms, "", steps=steps)
    after = turn.course.timeline.spans[number]
    if after.held_ms - after.hold_ms == span.held_ms - span.hold_ms:
        return Turn(course, at_ms, "as short as it can be")
    lasts = so_many(after.breaths, "breath") if after.breaths else f"{(after.held_ms - after.hold_ms) // 1000} s"
    return replace(turn, told=f"{_named(after)}: {lasts}")


def _slower(course: Course, at_ms: int) -> Turn:
    return _paced(course, at_ms, PACE_STEP, "slower from the next step on")


def _quicker(course: Course, at_ms: int) -> Turn:
    return _paced(course, at_ms, 1 / PACE_STEP, "quicker from the next step on")


def _paced(course: Course, at_ms: int, factor: Fraction, told: str) -> Turn:
    """Another pace for the steps to come; not for a twin of one that is past or under way, nor for a pattern."""
    number = course.number_at(at_ms)
    steps = list(course.steps.steps)
    for later in range(number + 1, len(steps)):
        if steps[later].kind is not StepKind.BREATHING and min(twins(course, later)) > number:
            steps[later] = replace(steps[later], pace=_scaled(steps[later].pace, factor), pace_room=None)
    if all(step.pace == before.pace for step, before in zip(steps, course.steps.steps, strict=True)):
        return Turn(course, at_ms, "the pace stays as it is")
    return replanned(course, at_ms, told, steps=steps)


def _scaled(pace: Pace, factor: Fraction) -> Pace:
    if not QUICKEST_MS <= pace.period_ms * factor <= SLOWEST_MS:
        return pace
    return Pace(pace.inhale_ms * factor, pace.full_ms * factor, pace.exhale_ms * factor, pace.empty_ms * factor)


def _side_again(course: Course, at_ms: int) -> Turn:
    runs = _runs(course)
    number = course.number_at(at_ms)
    first = next((run[0] for run in runs if number in run), None)
    return Turn(course, at_ms, "this has no sides") if first is None else _jump(course, first)


def _other_side(course: Course, at_ms: int) -> Turn:
    """The other side of what is under way: the one that follows, else the one before."""
    runs = _runs(course)
    number = course.number_at(at_ms)
    here = next((index for index, run in enumerate(runs) if number in run), None)
    if here is None:
        return Turn(course, at_ms, "this has no sides")
    side = course.steps.steps[number].side
    for other in (here + 1, here - 1):
        if 0 <= other < len(runs) and course.steps.steps[runs[other][0]].side is not side:
            if other < here and runs[other].stop != runs[here].start:
                continue
            if other > here and runs[here].stop != runs[other].start:
                continue
            return _jump(course, runs[other][0])
    return Turn(course, at_ms, "this has one side only")


def _runs(course: Course) -> list[range]:
    """The unbroken runs of steps on one side, in order."""
    runs: list[range] = []
    for number, step in enumerate(course.steps.steps):
        if step.side is None:
            continue
        if runs and runs[-1].stop == number and course.steps.steps[number - 1].side is step.side:
            runs[-1] = range(runs[-1].start, number + 1)
        else:
            runs.append(range(number, number + 1))
    return runs


def _fewer_words(course: Course, at_ms: int) -> Turn:
    """From the next step on, and with what is still to come of both sides alike."""
    few = course.few | _free(course, at_ms)
    return replanned(course, at_ms, "names and breath only, from the next step on", few=few)


def _all_words(course: Course, at_ms: int) -> Turn:
    return replanned(course, at_ms, "all words, from the next step on", few=course.few - _free(course, at_ms))


def _free(course: Course, at_ms: int) -> frozenset[int]:
    """The steps to come that are no twins of steps past or under way."""
    number = course.number_at(at_ms)
    later = range(number + 1, len(course.steps.steps))
    return frozenset(each for each in later if min(twins(course, each)) > number)


def _rest(course: Course, at_ms: int) -> Turn:
    """On to the closing rest: the longest rest by the clock among what is still to come."""
    number = course.number_at(at_ms)
    lengths = {later: _rest_ms(course.steps.steps[later]) for later in range(number, len(course.steps.steps))}
    longest = max(lengths, key=lambda later: lengths[later])
    return _jump(course, longest) if lengths[longest] else Turn(course, at_ms, "no rest is to come")


def _rest_ms(step: Step) -> int:
    if step.kind is not StepKind.REST:
        return 0
    return step.hold.usual_ms if isinstance(step.hold, InTime) else 1


#: The orders that make something of the course; the others are the player's.
TURNS: Mapping[Order, Callable[[Course, int], Turn]] = {
    Order.NEXT: _next,
    Order.AGAIN: _again,
    Order.PREVIOUS: _previous,
    Order.LONGER: _longer,
    Order.SHORTER: _shorter,
    Order.SLOWER: _slower,
    Order.QUICKER: _quicker,
    Order.SIDE_AGAIN: _side_again,
    Order.OTHER_SIDE: _other_side,
    Order.FEWER_WORDS: _fewer_words,
    Order.ALL_WORDS: _all_words,
    Order.REST: _rest,
}
