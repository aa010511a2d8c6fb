"""Which steps of a plan the steps of a record are: by where each is written, or, in older records, by their order.

Records once had nothing but numbers for steps. What their plans had not yet, a later plan of the same file has between
the others: halves of a breath that it gives, and the library's words that lead out of a pose.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

from guide.live.record import Answered, Began, Event
from guide.plan.step_names import step_names
from guide.plan.timeline import Span, Timeline
from guide.problem import UnusableChoice
from guide.sequence.steps import OUT_OF, Step, StepKind, Steps

#: What steps of words were once called.
_OLD_TITLES = {"talk": "words", "leave": OUT_OF}


def in_plan(events: Sequence[Event], steps: Steps, timeline: Timeline, name: str) -> tuple[Event, ...]:
    """The events with the numbers that their steps have in this plan.

    Raises:
        UnusableChoice: they are of another class, or of another state of its file.
    """
    numbers = _by_name(events, timeline.spans) or _by_order(events, steps.steps, timeline.spans, name)
    return tuple(_numbered(event, numbers) for event in events)


def is_unwritten(step: Step) -> bool:
    """Whether no file writes this step: it is given, or has the library's words alone."""
    return step.given or (step.kind is StepKind.TALK and all(words.from_library for words in step.entry))


def last_written(steps: Sequence[Step]) -> int:
    """The last step that a file writes, with which a class is over whatever comes after it."""
    return max((number for number, step in enumerate(steps) if not is_unwritten(step)), default=-1)


def _numbered(event: Event, numbers: Mapping[int, int]) -> Event:
    if isinstance(event, Began | Answered):
        return replace(event, step=numbers.get(event.step, event.step))
    return event


def _by_name(events: Sequence[Event], spans: Sequence[Span]) -> dict[int, int]:
    """The number now of each step by its old one; empty where one has no name, or is not there by it."""
    there = {name: number for number, name in enumerate(step_names(spans))}
    numbers: dict[int, int] = {}
    for event in events:
        if isinstance(event, Began | Answered):
            number = there.get(event.where)
            if number is None or (isinstance(event, Began) and not _is_like(event, spans[number])):
                return {}
            numbers[event.step] = number
    in_order = [number for _, number in sorted(numbers.items())]
    return numbers if all(before < after for before, after in pairwise(in_order)) else {}


def _is_like(event: Began, span: Span) -> bool:
    title = _OLD_TITLES.get(event.title, event.title)
    is_called_so = span.title.startswith(title) if title == OUT_OF else span.title in (title, event.title)
    return is_called_so and event.side == (span.side.value if span.side else None)


def _by_order(events: Sequence[Event], steps: Sequence[Step], spans: Sequence[Span], name: str) -> dict[int, int]:
    """The number now of each step by its old one: the same ones in the same order, but for those that nobody wrote.

    `befores` has for each old number the steps that it may be now, each with what the one before it is then.
    """
    begun = {event.step: event for event in events if isinstance(event, Began)}
    named = [event.step for event in events if isinstance(event, Began | Answered)]
    if min(named, default=0) < 0:
        raise _another(name, begun[min(begun)])
    befores: list[dict[int, int]] = []
    reached: Mapping[int, int] = {-1: -1}
    for old in range(max(named, default=-1) + 1):
        event = begun.get(old)
        found = ((now, before) for before in reached for now in _next_written(before, steps))
        reached = {now: before for now, before in found if event is None or _is_like(event, spans[now])}
        if not reached:
            raise _another(name, event or begun[max(begun)])
        befores.append(dict(reached))
    numbers, now = {}, max(reached)
    for old in range(len(befores) - 1, -1, -1):
        numbers[old], now = now, befores[old][now]
    return numbers


def _next_written(before: int, steps: Sequence[Step]) -> Iterator[int]:
    """The steps that may come next after one, in a plan that may lack those that nobody wrote."""
    for now in range(before + 1, len(steps)):
        yield now
        if not is_unwritten(steps[now]):
            return


def _another(name: str, event: Began) -> UnusableChoice:
    what = f"`{event.title}` is not step {event.step + 1} of this class"
    return UnusableChoice(f"{name}: {what} (name the record of this class, and the file as it was then)")
