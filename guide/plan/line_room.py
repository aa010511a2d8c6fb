"""How long words may last at the tightest of their places, before anything in the plan would grow for them.

The plan's own functions are asked, with other lengths for these words: nothing here knows how words are placed.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence

from guide.plan.beats import HoldLength, beats, by_the_clock, is_counted_aloud
from guide.plan.fixed_lengths import NUMBER_GAP_MS
from guide.plan.grid import Grid
from guide.plan.move_leads import in_one_run
from guide.plan.step_lengths import GrownHold, grown_holds, measured, usually
from guide.plan.step_shape import StepShape
from guide.sequence.steps import Step

#: Words that may last so long have all the time that they need.
AMPLE_MS = 60_000

#: A room is told to so many ms.
EXACT_MS = 10


def room_ms(
    texts: Collection[str], steps: Sequence[Step], word_ms: Mapping[str, int], asked_ms: int = AMPLE_MS
) -> int | None:
    """How long these words may last, and those of their other sides; None where they may last as long as is asked.

    Longer, they would make a hold or a move longer, or push other words out of it. All others are as `word_ms` says.
    """
    said_in = [number for number, step in enumerate(steps) if any(words.text in texts for words in step.words)]
    asked = _around(said_in, steps)
    if not asked:
        return None
    sides = {*texts, *_other_sides(texts, asked)}

    def laid(length_ms: int) -> list[tuple[int, int]]:
        return _laid(asked, {**word_ms, **dict.fromkeys(sides, length_ms)})

    fits = laid(0)
    if laid(asked_ms) == fits:
        return None
    least_ms, most_ms = 0, asked_ms
    while most_ms - least_ms > EXACT_MS:
        middle_ms = (least_ms + most_ms) // 2
        if laid(middle_ms) == fits:
            least_ms = middle_ms
        else:
            most_ms = middle_ms
    return least_ms


def number_room_ms(text: str, steps: Sequence[Step], made: Sequence[StepShape]) -> int | None:
    """How long a number that is counted aloud, or a part of a pattern, may last; None where none is counted so.

    A second leaves the next one its quiet.
    """
    windows = (
        beat.until_ms - beat.from_ms - (NUMBER_GAP_MS if by_the_clock(step) else 0)
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


def _other_sides(texts: Collection[str], steps: Sequence[Step]) -> Iterator[str]:
    """The words that stand on the other sides where these do: the longer of the two counts for both."""
    keys = {(step.pair, words.key) for step in steps for words in step.words if step.pair and words.text in texts}
    return (words.text for step in steps for words in step.words if (step.pair, words.key) in keys)


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
