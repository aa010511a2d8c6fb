"""Taking back what an order made of a class."""

from collections import deque
from dataclasses import dataclass, replace

from guide.live.course import Course, OrderOutcome, renewed, replanned
from guide.live.orders import Order
from guide.live.volume import Volume
from guide.plan.timeline import Timeline

#: So many orders can be undone, one after the other.
UNDONE_AT_MOST = 20

#: Orders that are not undone, but given again.
NOT_UNDONE = (Order.PAUSE, Order.HUSH, Order.UNDO, Order.QUIT, Order.END)


@dataclass(frozen=True, slots=True)
class Before:
    """What an order found: the class and the moment in it, how loud it was, whether it stayed in a hold; and whether
    the order went to another moment."""

    order: Order
    course: Course
    at_ms: int
    volume: Volume
    stayed: bool
    jumped: bool = False


class OrderHistory:
    """The orders that changed something, the last of them first to be undone."""

    def __init__(self) -> None:
        self._orders: deque[Before] = deque(maxlen=UNDONE_AT_MOST)

    def remember(self, before: Before, course: Course, volume: Volume, stayed: bool) -> None:
        """Let an order be undone that made all this of what it found, if that is another than it was."""
        same = (before.course.steps, before.course.few) == (course.steps, course.few)
        same &= (before.volume, before.stayed) == (volume, stayed)
        if before.order not in NOT_UNDONE and (before.jumped or not same):
            self._orders.append(before)

    def last(self) -> Before | None:
        """What the last order found, which is then undone; None where there is none."""
        return self._orders.pop() if self._orders else None


def taken_back(before: Before, course: Course, at_ms: int) -> OrderOutcome:
    """The course without what an order changed in it: back where it went away from, or otherwise from here on.

    What was learnt of lengths of words meanwhile is kept. Raises as `replanned` does.
    """
    told = f"undone: {before.order.value}"
    was = before.course
    if before.jumped:
        was = replace(was, lead_ms=course.lead_ms)
        if was.word_ms is not course.word_ms:
            was = renewed(was, before.at_ms, course.word_ms).course
        return OrderOutcome(was, broken_from_ms(was.timeline, before.at_ms), told)
    if (was.steps.steps, was.few) == (course.steps.steps, course.few):
        return OrderOutcome(course, at_ms, told)
    return replanned(course, at_ms, told, steps=was.steps.steps, few=was.few)


def broken_from_ms(timeline: Timeline, at_ms: int) -> int:
    """Where a class that was stopped at a moment goes on: at the beginning of words that are broken by it, or there."""
    return next((cue.start_ms for cue in timeline.cues if cue.start_ms < at_ms < cue.end_ms), at_ms)
