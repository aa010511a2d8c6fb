"""How long words may last at the tightest of their places, before anything in the plan would grow for them.

The plan's own functions are asked, with other lengths for these words: nothing here knows how words are placed.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence

from guide.plan.beats import HoldLength, beats, is_counted_aloud
from guide.plan.grid import Grid
from guide.plan.move_leads import in_one_run
from guide.plan.step_lengths import GrownHold, grown_holds, measured, usually
from guide.plan.step_shape import StepShape
from guide.sequence.steps import Step

#: Words that may last so long have all the time that they need.
AMPLE_MS = 60_000

#: A room is told to so many ms.
EXACT_MS = 10


def room_ms(texts: Collection[str], steps: Sequence[Step], word_ms: Mapping[str, int]) -> int | None:
    """How long these words may last, each with the others at their lengths; None where they have a time of their own.

    Longer, they would make a hold or a move longer, or push other words out of it.
    """
    said_in = [number for number, step in enumerate(steps) if any(words.text in texts for words in step.words)]
    asked = _around(said_in, steps)
    if not asked:
        return None

    def laid(length_ms: int) -> list[tuple[int, int]]:
        return _laid(asked, {**word_ms, **dict.fromkeys(texts, length_ms)})

    fits = laid(0)
    if laid(AMPLE_MS) == fits:
        return None
    least_ms, most_ms = 0, AMPLE_MS
    while most_ms - least_ms > EXACT_MS:
        middle_ms = (least_ms + most_ms) // 2
        if laid(middle_ms) == fits:
            least_ms = middle_ms
        else:
            most_ms = middle_ms
    return least_ms


def number_room_ms(text: str, steps: Sequence[Step], made: Sequence[StepShape]) -> int | None:
    """How long a number that is counted aloud, or a part of a pattern, may last; None where none is counted so."""
    windows = (
        beat.until_ms - beat.from_ms
        for step, shape in zip(steps, made, strict=True)
        if is_counted_aloud(step)
        for beat in beats(step, HoldLength(Grid(step.pace), shape.held_ms, shape.breaths))
        if beat.text == text
    )
    return min(windows, default=None)


def _laid(steps: Sequence[Step], word_ms: Mapping[str, int]) -> list[tuple[int, int]]:
    """How long each hold and move is, and how many of its words were left out."""
    holds: Iterator[GrownHold] = (
        hold for twins in measured(steps, word_ms) for hold in grown_holds(twins, usually(twins))
    )
    return [(hold.held_ms, len(hold.placed.dropped)) for hold in holds]


def _around(numbers: Sequence[int], steps: Sequence[Step]) -> list[Step]:
    """The steps that these rest on: their other sides, and the whole runs of moves that they are in."""
    pairs = {steps[number].pair for number in numbers} - {None}
    sides = {*numbers, *(number for number, step in enumerate(steps) if step.pair in pairs)}
    return [steps[near] for near in sorted({near for number in sides for near in _run(number, steps)})]


def _run(number: int, steps: Sequence[Step]) -> range:
    """The run of moves around a step, with one step before it and one after it, which end it."""
    first = last = number
    while first > 0 and in_one_run(steps[first - 1], steps[first]):
        first -= 1
    while last + 1 < len(steps) and in_one_run(steps[last], steps[last + 1]):
        last += 1
    return range(max(0, first - 1), min(len(steps), last + 2))
