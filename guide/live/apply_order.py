"""What each order makes of a course."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from fractions import Fraction

from guide.live.course import (
    LEAD_MS,
    Course,
    OrderOutcome,
    held,
    in_breaths,
    in_time,
    moved,
    period_ms,
    replanned,
    twins,
)
from guide.live.orders import Order
from guide.live.side_runs import other_side, this_side
from guide.plan.fixed_lengths import GAP_MS
from guide.plan.grid import Grid
from guide.plan.moment import begins_ms
from guide.plan.timeline import Span
from guide.sequence.steps import CueKind, InBreaths, InTime, Pace, Step, StepKind
from guide.units import so_many_breaths, whole_ms

#: A step that has begun less than this ago is not what "again" means, but the one before it.
JUST_BEGUN_MS = 2000

#: One order changes the pace by an eighth (common practice, no source: less is hardly felt).
PACE_STEP = Fraction(9, 8)

#: A breath that orders can reach, in ms.
QUICKEST_MS, SLOWEST_MS = 2000, 20_000

#: The pose that is a rest however it is written.
FINAL_REST = "final rest"

#: Kinds of steps that are held.
HELD = (StepKind.POSE, StepKind.REST, StepKind.SILENCE, StepKind.BREATHING)

#: A rest that is not this part as long as the longest of those to come is not the one that closes the class.
PART_OF_LONGEST = Fraction(1, 2)

#: A rest that is not this part as long as the longest of the class is a pause between two things.
PART_OF_ALL = Fraction(1, 4)


def apply_order(course: Course, order: Order, at_ms: int) -> OrderOutcome:
    """The course as it goes on after an order given at a moment.

    Raises:
        KeyError: for an order that is the player's (pause, gains, hush, quit); that is a mistake of the caller.
    """
    return TURNS[order](course, at_ms)


def _jump(course: Course, number: int) -> OrderOutcome:
    """Back to where a step begins, or the words that lead it."""
    number = max(0, number)
    return moved(course, begins_ms(course.timeline, number), _named(course.timeline.spans[number]))


def _onward(course: Course, number: int) -> OrderOutcome:
    """On to a step, with the bells of its section before it, or the words that lead it."""
    spans = course.timeline.spans
    at_ms = min(spans[number - 1].end_ms, begins_ms(course.timeline, number)) if number else 0
    return moved(course, at_ms, _named(spans[number]))


def _named(span: Span) -> str:
    return span.title if span.side is None else f"{span.title}, {span.side.value}"


def _next(course: Course, at_ms: int) -> OrderOutcome:
    """On from this step; from the last one to the bell that closes the class."""
    number, last = course.number_at(at_ms), course.timeline.spans[-1]
    if number + 1 < len(course.timeline.spans):
        return _onward(course, number + 1)
    return OrderOutcome(course, last.end_ms if at_ms < last.end_ms else course.timeline.length_ms, "the end")


def _again(course: Course, at_ms: int) -> OrderOutcome:
    number = course.number_at(at_ms)
    begun_ms = at_ms - begins_ms(course.timeline, number)
    return _jump(course, number if begun_ms >= JUST_BEGUN_MS else number - 1)


def _previous(course: Course, at_ms: int) -> OrderOutcome:
    return _jump(course, course.number_at(at_ms) - 1)


def _longer(course: Course, at_ms: int) -> OrderOutcome:
    return _changed(course, at_ms, 1)


def _shorter(course: Course, at_ms: int) -> OrderOutcome:
    return _changed(course, at_ms, -1)


def _changed(course: Course, at_ms: int, more: int) -> OrderOutcome:
    """One breath more or less in the hold under way; the breath that has begun is not cut."""
    number = course.number_at(at_ms)
    step, span = course.steps.steps[number], course.timeline.spans[number]
    if step.kind not in HELD or step.hold is None:
        return OrderOutcome(course, at_ms, "nothing is held here")
    if span.held_ms <= at_ms + course.lead_ms:
        return OrderOutcome(course, at_ms, "this hold is over" if more > 0 else "as short as it can be")
    begun = _counted_out(course, number, at_ms, begun_breaths(step, span, at_ms + course.lead_ms))
    hold = _longer_by(step, span, more, begun)
    turn = replanned(course, at_ms, "", steps=held(course, number, hold))
    after = turn.course.timeline.spans[number]
    if more < 0 and after.held_ms >= span.held_ms:
        return OrderOutcome(course, at_ms, "as short as it can be")
    breaths, seconds = so_many_breaths(after.breaths, after.and_a_half), (after.held_ms - after.hold_ms) // 1000
    return replace(turn, told=f"{_named(after)}: {breaths if after.breaths else f'{seconds} s'}")


def one_breath_more(course: Course, at_ms: int, lead_ms: int) -> list[Step] | None:
    """The steps with one breath more in the hold under way, when that is in its last breath; None otherwise.

    What is planned by now holds from `lead_ms` on.
    """
    number = course.number_at(at_ms)
    span, hold = course.timeline.spans[number], course.steps.steps[number].hold
    breath_ms = whole_ms(period_ms(span))
    last_ms = span.held_ms - breath_ms - max(0, lead_ms - LEAD_MS)
    if hold is None or at_ms < max(span.hold_ms, last_ms):
        return None
    if isinstance(hold, InBreaths):
        return held(course, number, in_breaths(span.breaths + 1, hold))
    return held(course, number, in_time(span.held_ms - span.hold_ms + breath_ms, hold))


def begun_breaths(step: Step, span: Span, until_ms: int) -> int:
    """How many breaths of a hold begin before a moment, one at least: they can no longer be taken away."""
    return Grid(step.pace).breath_at(max(0, until_ms - 1 - span.hold_ms)) + 1


def _counted_out(course: Course, number: int, at_ms: int, begun: int) -> int:
    """So many breaths of a hold, or as many more as leave the numbers counted by then the quiet after them."""
    span, grid = course.timeline.spans[number], Grid(course.steps.steps[number].pace)
    counted = [cue for cue in course.timeline.cues if cue.step == number and cue.kind is CueKind.COUNT]
    ends_ms = [cue.end_ms + GAP_MS - span.hold_ms for cue in counted if cue.start_ms - GAP_MS < at_ms + course.lead_ms]
    while begun < span.breaths and grid.breath_ms(begun) < max(ends_ms, default=0):
        begun += 1
    return begun


def _longer_by(step: Step, span: Span, more: int, begun: int) -> InBreaths | InTime:
    """The hold with so many breaths more, but never shorter than those that have begun (or than it is)."""
    assert step.hold is not None
    if isinstance(step.hold, InBreaths):
        return in_breaths(max(span.breaths + more, min(begun, span.breaths)), step.hold)
    now_ms, grid = span.held_ms - span.hold_ms, Grid(step.pace)
    return in_time(max(now_ms + more * grid.breath_ms(1), min(grid.breath_ms(begun), now_ms)), step.hold)


def _slower(course: Course, at_ms: int) -> OrderOutcome:
    return _paced(course, at_ms, PACE_STEP, "slower from the next step on")


def _quicker(course: Course, at_ms: int) -> OrderOutcome:
    return _paced(course, at_ms, 1 / PACE_STEP, "quicker from the next step on")


def _paced(course: Course, at_ms: int, factor: Fraction, told: str) -> OrderOutcome:
    """Another pace for the steps to come; not for a twin of one that is past or under way, nor for a pattern."""
    number = course.begun_at(at_ms)
    steps = list(course.steps.steps)
    for later in range(number + 1, len(steps)):
        if steps[later].kind is not StepKind.BREATHING and min(twins(course, later)) > number:
            steps[later] = replace(steps[later], pace=_scaled(steps[later].pace, factor), pace_room=None)
    if all(step.pace == before.pace for step, before in zip(steps, course.steps.steps, strict=True)):
        return OrderOutcome(course, at_ms, "the pace stays as it is")
    return replanned(course, at_ms, told, steps=steps)


def _scaled(pace: Pace, factor: Fraction) -> Pace:
    if not QUICKEST_MS <= pace.period_ms * factor <= SLOWEST_MS:
        return pace
    return Pace(pace.inhale_ms * factor, pace.full_ms * factor, pace.exhale_ms * factor, pace.empty_ms * factor)


def _side_again(course: Course, at_ms: int) -> OrderOutcome:
    run = this_side(course.steps.steps, course.number_at(at_ms))
    return OrderOutcome(course, at_ms, "this has no sides") if run is None else _jump(course, run.start)


def _other_side(course: Course, at_ms: int) -> OrderOutcome:
    number = course.number_at(at_ms)
    if this_side(course.steps.steps, number) is None:
        return OrderOutcome(course, at_ms, "this has no sides")
    run = other_side(course.steps.steps, number)
    return OrderOutcome(course, at_ms, "this has one side only") if run is None else _jump(course, run.start)


def _fewer_words(course: Course, at_ms: int) -> OrderOutcome:
    """From the next step on, and with what is still to come of both sides alike."""
    few = course.few | _free(course, at_ms)
    return replanned(course, at_ms, "names, breath and safety only, from the next step on", few=few)


def _all_words(course: Course, at_ms: int) -> OrderOutcome:
    return replanned(course, at_ms, "all words, from the next step on", few=course.few - _free(course, at_ms))


def _free(course: Course, at_ms: int) -> frozenset[int]:
    """The steps to come that are no twins of steps past or under way."""
    number = course.begun_at(at_ms)
    later = range(number + 1, len(course.steps.steps))
    return frozenset(each for each in later if min(twins(course, each)) > number)


def _rest(course: Course, at_ms: int) -> OrderOutcome:
    """On to the closing rest; one that is under way is not begun again."""
    closing = closing_rest(course, at_ms)
    if closing is None:
        return OrderOutcome(course, at_ms, "no closing rest is to come")
    if closing == course.number_at(at_ms) and at_ms >= course.timeline.spans[closing].start_ms:
        return OrderOutcome(course, at_ms, "this is the closing rest")
    return _onward(course, closing)


def closing_rest(course: Course, at_ms: int) -> int | None:
    """The last long rest of what is under way or to come, by its number; without one, a pose by the clock that ends it.

    What is long is told from the longest of them, and from the longest of the class.
    """
    steps, spans = course.steps.steps, course.timeline.spans
    ahead = range(course.number_at(at_ms), len(steps))
    rests = [each for each, span in enumerate(spans) if span.kind is StepKind.REST or span.pose == FINAL_REST]
    held_ms = {each: spans[each].held_ms - spans[each].hold_ms for each in rests}
    longest_ms = PART_OF_ALL * max(held_ms.values(), default=0)
    rests_ms = {each: ms for each, ms in held_ms.items() if each in ahead and ms >= longest_ms}
    if rests_ms:
        longest_ms = PART_OF_LONGEST * max(rests_ms.values())
        return max(each for each, ms in rests_ms.items() if ms >= longest_ms)
    last = max((each for each in ahead if steps[each].hold is not None), default=None)
    if last is not None and steps[last].kind is StepKind.POSE and isinstance(steps[last].hold, InTime):
        return last
    return None


#: The orders that make something of the course; the others are the player's.
TURNS: Mapping[Order, Callable[[Course, int], OrderOutcome]] = {
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
