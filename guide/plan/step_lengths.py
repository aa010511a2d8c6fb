"""How long steps are: their words are measured once, which answers for any setting of their holds and paces.

Two steps with the same `pair` are twins and are measured together, so that what one side's words need, the other side
gets. A setting is a pace and the length that a hold is asked to have; the hold grows from there by whole breaths, as
many as its words need.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from guide.plan.beats import ONE_BY_ONE, HoldLength, beats, by_the_clock, is_counted_aloud
from guide.plan.fixed_lengths import GAP_MS, QUIET_FROM_BREATHS, USUAL_NUMBER_MS
from guide.plan.grid import Grid
from guide.plan.move_leads import breaths_needed_ms, own_leads_ms
from guide.plan.word_placing import (
    NO_NUMBERS,
    HoldRoom,
    NumberRoom,
    Placed,
    before_end,
    earliest_end_ms,
    place_on,
    reached,
    resumed,
)
from guide.problem import Place
from guide.sequence.steps import BeforeEnd, InBreaths, InTime, Numbers, Step

#: `Words.key`.
Key = tuple[Place, int]

NOTHING_PLACED = Placed((), (), close=False)


@dataclass(frozen=True, slots=True)
class Twin:
    """A step by its number in the class, with the time before its hold: for entry words, or for a move's lead.

    `own_entry_ms` is what its own words take; `entry_ms` is what it gets, with the other side's need.
    """

    number: int
    step: Step
    own_entry_ms: int
    entry_ms: int


@dataclass(frozen=True, slots=True, eq=False)
class Twins:
    """A step with its twins, or alone, and what they need together at any setting.

    `length_ms` has the longest of the words in the hold with one key, on any side; `move_ms` is the least that a move
    lasts for its words, and for what a side that is laid took. `said_ms` are the lengths of all that is said, numbers
    among it once they are known.
    """

    each: tuple[Twin, ...]
    length_ms: Mapping[Key, int]
    move_ms: int
    said_ms: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class Setting:
    """How a step is led: the grid of its pace, and the length asked of its hold, in breaths or in ms; 0 for none."""

    grid: Grid
    asked: int


@dataclass(frozen=True, slots=True)
class GrownHold:
    """A hold (or a move) as long as its words need: by how many breaths it has grown, and where they lie."""

    held_ms: int
    extra_breaths: int
    placed: Placed


def measured(steps: Iterable[Step], word_ms: Mapping[str, int]) -> list[Twins]:
    """All the steps, each with its twins and the lengths of their words.

    Raises:
        KeyError: for words whose length is not given; that is a mistake of the caller.
    """
    steps = tuple(steps)
    groups: dict[object, list[int]] = defaultdict(list)
    for number, step in enumerate(steps):
        groups[step.pair or number].append(number)
    leads_ms = own_leads_ms(steps)
    twins = {number: twin for group in groups.values() for number, twin in _entered(steps, group, word_ms, leads_ms)}
    said_ms = [max(_hold_words_ms(step, word_ms), default=None) for step in steps]
    needed_ms = breaths_needed_ms(steps, [twins[number].entry_ms for number in range(len(steps))], said_ms)
    return [
        Twins(
            tuple(twins[number] for number in group),
            _longest([steps[number] for number in group], word_ms),
            max(needed_ms[number] for number in group),
            word_ms,
        )
        for group in groups.values()
    ]


def _entered(
    steps: Sequence[Step], group: Sequence[int], word_ms: Mapping[str, int], leads_ms: Sequence[int]
) -> Iterator[tuple[int, Twin]]:
    """A step and its twins with the times before their holds, by their numbers."""
    own_ms = [leads_ms[number] + _entry_ms(steps[number], word_ms) for number in group]
    laid = [steps[number].laid for number in group]
    most_ms = max(own if one is None else one.entry_ms for own, one in zip(own_ms, laid, strict=True))
    for number, own, one in zip(group, own_ms, laid, strict=True):
        yield number, Twin(number, steps[number], own, most_ms if one is None else one.entry_ms)


def _entry_ms(step: Step, word_ms: Mapping[str, int]) -> int:
    return sum(entry_words_ms(step, word_ms)) + GAP_MS * max(0, len(step.entry) - 1)


def _longest(group: Iterable[Step], word_ms: Mapping[str, int]) -> dict[Key, int]:
    """The longest of the words in the hold with one key."""
    length_ms: dict[Key, int] = {}
    for step in group:
        for words, words_ms in zip(step.words, _hold_words_ms(step, word_ms), strict=True):
            length_ms[words.key] = max(length_ms.get(words.key, 0), words_ms)
    return length_ms


def entry_words_ms(step: Step, word_ms: Mapping[str, int]) -> list[int]:
    """How long each of the entry words lasts; those that are settled as long as they did."""
    settled = () if step.laid is None else step.laid.entry
    return [*settled, *(word_ms[words.text] for words in step.entry[len(settled) :])]


def _hold_words_ms(step: Step, word_ms: Mapping[str, int]) -> list[int]:
    settled = {} if step.laid is None else {one.number: one.length_ms for one in step.laid.words}
    return [settled.get(number, word_ms[words.text]) for number, words in enumerate(step.words)]


def usual(step: Step) -> int:
    """The length that the hold of a step usually has, in breaths or in ms; 0 where there is none."""
    match step.hold:
        case InBreaths(usual=breaths):
            return breaths
        case InTime(usual_ms=ms):
            return ms
    return 0


def usually(twins: Twins) -> dict[int, Setting]:
    """A step and its twins at their usual pace and length."""
    return {one.number: Setting(Grid(one.step.pace), usual(one.step)) for one in twins.each}


def grown_breaths(twins: Twins, settings: Mapping[int, Setting]) -> int:
    """By how many breaths a step and its twins grow for their words."""
    return max(hold.extra_breaths for hold in grown_holds(twins, settings))


def grown_holds(twins: Twins, settings: Mapping[int, Setting]) -> list[GrownHold]:
    """The hold (or the move) of each of the twins, as long as all their words need."""
    extra = max(_own_growth(one.step, settings[one.number], 0) for one in twins.each)
    while True:
        made = [_grown_hold(one.step, settings[one.number], extra, twins) for one in twins.each]
        found = [hold for hold in made if hold is not None]
        if len(found) == len(made):
            return found
        extra += 1


def _own_growth(step: Step, setting: Setting, extra: int) -> int:
    """By how many breaths a hold has grown: as many as its twins, or as many as a length that is laid says."""
    if step.hold is None or step.laid is None or step.laid.held_ms is None:
        return extra
    return setting.grid.breath_at(max(0, step.laid.held_ms - _held_ms(step, setting, 0) + 1))


def _grown_hold(step: Step, setting: Setting, extra: int, twins: Twins) -> GrownHold | None:
    """A hold with so many breaths more; None where its words find no place and it may still grow."""
    if step.hold is None:
        settled = () if step.laid is None else step.laid.words
        words = tuple((settled[0].offset_ms if settled else 0, words) for words in step.words)
        return GrownHold(_move_ms(step, setting, twins), 0, Placed(words, (), close=False))
    extra = _own_growth(step, setting, extra)
    placed = _placed(step, setting, extra, twins)
    if placed is None and (step.laid is None or step.laid.held_ms is None):
        return None
    return GrownHold(_held_ms(step, setting, extra), extra, placed or NOTHING_PLACED)


def _move_ms(step: Step, setting: Setting, twins: Twins) -> int:
    """A move lasts its breath, or its words and a settle where they need more; a talk has none."""
    if step.breath is None:
        return 0
    if step.laid is not None and step.laid.held_ms is not None:
        return step.laid.held_ms
    return max(setting.grid.move_ms(step.breath), twins.move_ms)


def _held_ms(step: Step, setting: Setting, extra: int) -> int:
    if isinstance(step.hold, InBreaths):
        breaths = setting.asked + extra
        return setting.grid.exhale_ms(breaths) if step.hold.and_a_half else setting.grid.breath_ms(breaths)
    return setting.asked + setting.grid.breath_ms(extra)


def _placed(step: Step, setting: Setting, extra: int, twins: Twins) -> Placed | None:
    if not step.words:
        return NOTHING_PLACED
    grid, held_ms = setting.grid, _held_ms(step, setting, extra)
    if isinstance(step.hold, InBreaths):
        limit_ms = limit_of_breaths_ms(grid, setting.asked + extra)
    else:
        has_quiet_breath = grid.whole_breaths(held_ms) >= QUIET_FROM_BREATHS
        limit_ms = held_ms - (grid.breath_ms(1) if has_quiet_breath else GAP_MS)
    breaths = setting.asked + extra if isinstance(step.hold, InBreaths) else 0
    numbers = _number_room(step, HoldLength(grid, held_ms, breaths), twins.said_ms)
    room = HoldRoom(grid, _first_ms(step), limit_ms, held_ms, numbers=numbers)
    return place_on(step, [twins.length_ms[words.key] for words in step.words], room)


def _number_room(step: Step, length: HoldLength, said_ms: Mapping[str, int]) -> NumberRoom:
    """The room that words leave to numbers: that of each breath, or of the seconds that are counted down one by one.

    The parts of a pattern, and seconds counted up, are broken off by words.
    """
    if not is_counted_aloud(step) or (by_the_clock(step) and step.count.numbers is not Numbers.DOWN):
        return NO_NUMBERS
    numbers = [beat for beat in beats(step, length) if beat.text.isdigit()]
    if by_the_clock(step):
        run = [beat.from_ms for beat in numbers if int(beat.text) <= ONE_BY_ONE]
        return NumberRoom(run_ms=min(run)) if run else NO_NUMBERS
    return NumberRoom(
        {
            length.grid.breath_at(beat.begins_ms): (
                beat.from_ms,
                beat.until_ms,
                said_ms.get(beat.text, USUAL_NUMBER_MS),
            )
            for beat in numbers
        }
    )


def _first_ms(step: Step) -> int:
    """Words in the hold keep their distance from entry words."""
    return GAP_MS if step.entry else 0


def limit_of_breaths_ms(grid: Grid, breaths: int) -> int:
    """By when all the words of a hold of so many breaths have ended."""
    return grid.breath_ms(breaths - 1) if breaths >= QUIET_FROM_BREATHS else grid.breath_ms(breaths) - GAP_MS


def words_fit(twins: Twins, grid: Grid, breaths: int) -> bool:
    """Whether all the words of a step and its twins that may not be left out can have room in so many breaths."""
    end_ms, ending_ms = words_end_ms(twins, grid), words_before_end_ms(twins)
    ends_ms = grid.breath_ms(breaths) - ending_ms if ending_ms else limit_of_breaths_ms(grid, breaths)
    return end_ms <= min(limit_of_breaths_ms(grid, breaths), ends_ms)


def words_before_end_ms(twins: Twins) -> int:
    """What words before the end of the hold take of it, with the quiet (or the entry words) before them; 0 for none."""
    return max(_before_end_ms(one.step, twins.length_ms) for one in twins.each)


def _before_end_ms(step: Step, length_ms: Mapping[Key, int]) -> int:
    to_place = [words for words in step.words[reached(step) :] if isinstance(words.at, BeforeEnd) and not words.if_room]
    ends = before_end([(words, length_ms[words.key]) for words in to_place], 0)
    return GAP_MS - ends[0] if ends else 0


def words_end_ms(twins: Twins, grid: Grid) -> int:
    """How early in the hold all the words of a step and its twins that may not be left out can have ended."""
    return max(_words_end_ms(one.step, grid, twins.length_ms) for one in twins.each)


def _words_end_ms(step: Step, grid: Grid, length_ms: Mapping[Key, int]) -> int:
    room, to_place = HoldRoom(grid, _first_ms(step), 0, 0), step.words[reached(step) :]
    lengths_ms = [length_ms[words.key] for words in to_place]
    if step.laid is None:
        return earliest_end_ms(to_place, lengths_ms, room)
    return max(earliest_end_ms(to_place, lengths_ms, resumed(room, step.laid)), *step.laid.ends_ms, 0)
