"""What is counted aloud in a hold, each number with the window in which it may be said; no words and no clock here.

A number says what is so at the beginning of its window. It may come later in it, where words stand in its way, and the
last one of seconds a little before.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from guide.plan.fixed_lengths import GAP_MS, NUMBER_GAP_MS
from guide.plan.grid import Grid
from guide.sequence.steps import InBreaths, Numbers, Step, StepKind

#: What is said at the parts of a breathing pattern that is counted by voice: inhale, full, exhale, empty.
PART_WORDS = ("In", "Hold", "Out", "Hold")

SECOND_MS = 1000

#: Up to so many, seconds are counted one by one, and beyond it every five: longer numbers do not fit into a second.
ONE_BY_ONE, BEYOND = 10, 5

#: The last second of a hold ends in the quiet before what is said next: a number that is longer begins before it.
EARLY_MS = 150


@dataclass(frozen=True, slots=True)
class Beat:
    """A number (or the word of a part of a pattern), said after `from_ms` and over by `until_ms` after a hold began.

    It tells of what begins at `begins_ms`, before which it begins only where it is too long to begin with that. `part`
    is the part of the breath whose chime stands in for it where it finds no room, None for a second.
    """

    text: str
    begins_ms: int
    from_ms: int
    until_ms: int
    part: int | None


@dataclass(frozen=True, slots=True)
class HoldLength:
    """How long a hold is: on its grid, in ms, and in breaths, 0 where it is kept by the clock."""

    grid: Grid
    held_ms: int
    breaths: int

    @property
    def whole_breaths(self) -> int:
        """The breaths that it has; by the clock, those that are whole."""
        return self.breaths or self.grid.whole_breaths(self.held_ms)


def is_counted_aloud(step: Step) -> bool:
    """Whether numbers are said in a step."""
    return step.count.numbers is not None and step.hold is not None and step.kind is not StepKind.SILENCE


def by_the_clock(step: Step) -> bool:
    """Whether it is seconds that are counted in a step."""
    return step.count.numbers is Numbers.SECONDS or (
        step.count.numbers is Numbers.DOWN and not isinstance(step.hold, InBreaths)
    )


def beats(step: Step, length: HoldLength) -> Iterator[Beat]:
    """Everything that is counted aloud in a hold of this length, in order."""
    if not is_counted_aloud(step):
        return
    last_ms = length.held_ms - GAP_MS
    for beat in _beats(step, length):
        yield Beat(beat.text, beat.begins_ms, beat.from_ms, min(beat.until_ms, last_ms), beat.part)


def _beats(step: Step, length: HoldLength) -> Iterator[Beat]:
    if step.kind is StepKind.BREATHING and step.count.numbers is not Numbers.DOWN:
        return _parts(length, step.count.numbers)
    if step.count.numbers is Numbers.SECONDS:
        return _seconds(length)
    if step.count.numbers is Numbers.DOWN:
        first = step.count.down_from
        return _breaths_left(length, first) if isinstance(step.hold, InBreaths) else _seconds_left(length, first)
    return (_breath(length.grid, breath, breath + 1) for breath in range(length.whole_breaths))


def _breath(grid: Grid, breath: int, number: int) -> Beat:
    begins_ms = grid.breath_ms(breath)
    return Beat(str(number), begins_ms, begins_ms + GAP_MS, grid.breath_ms(breath + 1), 0)


def _breaths_left(length: HoldLength, first: int | None) -> Iterator[Beat]:
    breaths = length.whole_breaths
    for left in range(breaths if first is None else min(first, breaths), 0, -1):
        yield _breath(length.grid, breaths - left, left)


def _second(number: int, begins_ms: int, early_ms: int = 0) -> Beat:
    """A second: a number that fills it leaves the next one the least quiet, which begins so much later."""
    lasts_ms = SECOND_MS if number <= ONE_BY_ONE else 2 * SECOND_MS
    return Beat(str(number), begins_ms, begins_ms - early_ms, begins_ms + lasts_ms, None)


def _seconds(length: HoldLength) -> Iterator[Beat]:
    """The seconds that are over, while a whole one is still to come."""
    for number in range(1, length.held_ms // SECOND_MS):
        if number <= ONE_BY_ONE or number % BEYOND == 0:
            yield _second(number, number * SECOND_MS)


def _seconds_left(length: HoldLength, first: int | None) -> Iterator[Beat]:
    most = (length.held_ms - 1) // SECOND_MS if first is None else min(first, length.held_ms // SECOND_MS)
    for left in range(most, 0, -1):
        if left <= ONE_BY_ONE or left % BEYOND == 0:
            begins_ms = length.held_ms - left * SECOND_MS
            yield _second(left, begins_ms, min(EARLY_MS, begins_ms) if left == 1 else 0)


def _parts(length: HoldLength, numbers: Numbers | None) -> Iterator[Beat]:
    """The parts of each breath of a pattern, told as they begin, with the seconds of each where those are asked for."""
    grid = length.grid
    for breath in range(length.breaths):
        for part in filter(grid.has_part, range(4)):
            begins_ms, end_ms = grid.part_ms(breath, part), grid.part_ms(breath, part + 1)
            seconds = (end_ms - begins_ms) // SECOND_MS if numbers is Numbers.SECONDS else 1
            for number in range(max(1, seconds)):
                from_ms = begins_ms + number * SECOND_MS + GAP_MS
                until_ms = min(end_ms, from_ms + SECOND_MS - NUMBER_GAP_MS)
                text = str(number + 1) if number else PART_WORDS[part]
                yield Beat(text, from_ms - GAP_MS, from_ms, until_ms, None if number else part)
