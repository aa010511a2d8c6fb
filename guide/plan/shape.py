"""The shape of each step: how long its bell, entry, hold and end last, and where in the hold its words lie.

Shapes know nothing of the clock. Two steps with the same `pair` are shaped together, so that what one side's words
need, the other side gets.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from guide.plan.grid import Grid
from guide.plan.placing import Placed, Room, earliest_end_ms, place_on, reached, resumed
from guide.plan.rules import BELL_LEAD_MS, GAP_MS, QUIET_FROM_BREATHS, SETTLE_MS
from guide.problem import Place
from guide.sequence.steps import InBreaths, Step, StepKind, Words
from guide.units import seconds_text

#: `Words.key`.
Key = tuple[Place, int]

NOTHING_PLACED = Placed((), (), close=False)


@dataclass(frozen=True, slots=True)
class Shape:
    """Lengths of the parts of a step in ms; `breaths` is 0 unless the hold is counted in breaths.

    `own_entry_ms` is what the step's own entry words take; `entry_ms` is what it gets, with the other side's need.
    """

    lead_ms: int
    own_entry_ms: int
    entry_ms: int
    held_ms: int
    tail_ms: int
    breaths: int
    placed: Placed
    notes: tuple[str, ...]


def shapes(steps: Sequence[Step], word_ms: Mapping[str, int], sound_ms: Mapping[str, int]) -> list[Shape]:
    """One shape a step, in their order.

    Raises:
        KeyError: for words or a sound whose length is not given; that is a mistake of the caller.
    """
    twins = together(steps)
    needs = {key: _need(group, word_ms) for key, group in twins.items()}
    return [_shape(step, needs[step.pair or number], word_ms, sound_ms) for number, step in enumerate(steps)]


def together(steps: Iterable[Step]) -> dict[object, list[Step]]:
    """The steps with their twins, by their pair, and alone by their number where they have none."""
    twins: dict[object, list[Step]] = defaultdict(list)
    for number, step in enumerate(steps):
        twins[step.pair or number].append(step)
    return twins


def lead_ms(sound: str, sound_ms: Mapping[str, int]) -> int:
    """How long a bell has for itself."""
    return min(BELL_LEAD_MS, sound_ms[sound])


@dataclass(frozen=True, slots=True)
class _Need:
    """What all the steps of a pair (or one step alone) need together; `move_ms` is what a side that is laid took."""

    entry_ms: int
    move_ms: int
    length_ms: Mapping[Key, int]
    """The longest of the words with one key, on either side."""
    extra_breaths: int


def _need(group: Sequence[Step], word_ms: Mapping[str, int]) -> _Need:
    length_ms = _longest_ms(group, word_ms)
    laid = [step.laid for step in group if step.laid is not None]
    entry_ms = max(_entry_ms(step, word_ms) if step.laid is None else step.laid.entry_ms for step in group)
    extra = max(_fewest_extra(step, length_ms) for step in group)
    return _Need(entry_ms, max((one.held_ms or 0 for one in laid), default=0), length_ms, extra)


def _longest_ms(group: Sequence[Step], word_ms: Mapping[str, int]) -> dict[Key, int]:
    length_ms: dict[Key, int] = {}
    for step in group:
        for words, own_ms in zip(step.words, hold_words_ms(step, word_ms), strict=True):
            length_ms[words.key] = max(length_ms.get(words.key, 0), own_ms)
    return length_ms


def hold_words_ms(step: Step, word_ms: Mapping[str, int]) -> list[int]:
    """How long each of the words of a hold lasts; those that are settled as long as they did."""
    settled = {} if step.laid is None else {one.number: one.length_ms for one in step.laid.words}
    return [settled.get(number, word_ms[words.text]) for number, words in enumerate(step.words)]


def entry_words_ms(step: Step, word_ms: Mapping[str, int]) -> list[int]:
    """How long each of the entry words lasts; those that are settled as long as they did."""
    settled = () if step.laid is None else step.laid.entry
    return [*settled, *(word_ms[words.text] for words in step.entry[len(settled) :])]


def _entry_ms(step: Step, word_ms: Mapping[str, int]) -> int:
    return sum(entry_words_ms(step, word_ms)) + GAP_MS * max(0, len(step.entry) - 1)


def _fewest_extra(step: Step, length_ms: Mapping[Key, int]) -> int:
    """How many breaths a hold must grow by for its words to fit."""
    grid = Grid(step.pace)
    if step.laid is not None and step.laid.held_ms is not None:
        return _grown(step, grid, step.laid.held_ms)
    if step.hold is None or not step.words:
        return 0
    extra = 0
    while _placed(step, grid, extra, length_ms) is None:
        extra += 1
    return extra


def _grown(step: Step, grid: Grid, held_ms: int) -> int:
    """By how many breaths a hold of this length has grown."""
    if step.hold is None:
        return 0
    asked_ms, _ = _held(step, grid, 0)
    return grid.breath_at(max(0, held_ms - asked_ms + 1))


def _placed(step: Step, grid: Grid, extra: int, length_ms: Mapping[Key, int]) -> Placed | None:
    held_ms, breaths = _held(step, grid, extra)
    if isinstance(step.hold, InBreaths):
        limit_ms = limit_of_breaths_ms(grid, breaths)
    else:
        limit_ms = held_ms - (GAP_MS if breaths < QUIET_FROM_BREATHS else grid.breath_ms(1))
    room = Room(grid, _first_ms(step), limit_ms)
    return place_on(step, _needed_ms(step, length_ms), room)


def _needed_ms(step: Step, length_ms: Mapping[Key, int]) -> list[int]:
    return [length_ms[words.key] for words in step.words]


def _first_ms(step: Step) -> int:
    """Words in the hold keep their distance from entry words."""
    return GAP_MS if step.entry else 0


def limit_of_breaths_ms(grid: Grid, breaths: int) -> int:
    """By when all the words of a hold of so many breaths have ended."""
    return grid.breath_ms(breaths - 1) if breaths >= QUIET_FROM_BREATHS else grid.breath_ms(breaths) - GAP_MS


def grown_breaths(group: Sequence[Step], word_ms: Mapping[str, int]) -> int:
    """By how many breaths a step and its twins grow for their words."""
    return _need(group, word_ms).extra_breaths


def words_end_ms(group: Sequence[Step], word_ms: Mapping[str, int]) -> int:
    """How early in the hold all the words of a step and its twins that may not be left out can have ended."""
    length_ms = _longest_ms(group, word_ms)
    return max(_words_end_ms(step, length_ms) for step in group)


def _words_end_ms(step: Step, length_ms: Mapping[Key, int]) -> int:
    room, settled = Room(Grid(step.pace), _first_ms(step), 0), reached(step)
    if step.laid is not None:
        room = resumed(room, step.laid)
    end_ms = earliest_end_ms(step.words[settled:], _needed_ms(step, length_ms)[settled:], room)
    return max([end_ms, *(step.laid.ends_ms if step.laid is not None else ())])


def _held(step: Step, grid: Grid, extra: int) -> tuple[int, int]:
    """The length of a hold that has grown by `extra` breaths, and the whole breaths in it."""
    if isinstance(step.hold, InBreaths):
        breaths = step.hold.usual + extra
        return grid.breath_ms(breaths), breaths
    assert step.hold is not None
    held_ms = step.hold.usual_ms + grid.breath_ms(extra)
    return held_ms, grid.whole_breaths(held_ms)


def _shape(step: Step, need: _Need, word_ms: Mapping[str, int], sound_ms: Mapping[str, int]) -> Shape:
    own_entry_ms = _entry_ms(step, word_ms)
    grid = Grid(step.pace)
    held_ms, breaths, tail_ms, placed = 0, 0, 0, NOTHING_PLACED
    notes: list[str] = []
    if step.kind is StepKind.MOVE:
        held_ms, placed = _move(step, grid, need, notes)
    elif step.kind is StepKind.TALK:
        tail_ms = SETTLE_MS
    else:
        extra = need.extra_breaths
        if step.laid is not None and step.laid.held_ms is not None:
            extra = _grown(step, grid, step.laid.held_ms)
        held_ms, breaths = _held(step, grid, extra)
        placed = _placed(step, grid, extra, need.length_ms) or NOTHING_PLACED
        notes += _hold_notes(step, extra, held_ms, placed)
    bell_ms = lead_ms(step.bell_sound, sound_ms) if step.bell.at_start or step.bell.at_end else 0
    return Shape(
        lead_ms=bell_ms if step.bell.at_start else 0,
        own_entry_ms=own_entry_ms,
        entry_ms=need.entry_ms if step.laid is None else step.laid.entry_ms,
        held_ms=held_ms,
        tail_ms=tail_ms + (bell_ms if step.bell.at_end else 0),
        breaths=breaths if isinstance(step.hold, InBreaths) else 0,
        placed=placed,
        notes=tuple(notes),
    )


def _move(step: Step, grid: Grid, need: _Need, notes: list[str]) -> tuple[int, Placed]:
    """A move lasts its breath, or its words and a settle where they need more."""
    assert step.breath is not None
    breath_ms = grid.move_ms(step.breath)
    words_ms = max(need.length_ms.values(), default=-SETTLE_MS)
    held_ms = max(breath_ms, words_ms + SETTLE_MS, need.move_ms)
    if step.laid is not None and step.laid.held_ms is not None:
        held_ms = step.laid.held_ms
    if held_ms > breath_ms:
        notes.append(
            f"this {step.breath.value} lasts {seconds_text(held_ms)} instead of {seconds_text(breath_ms)}, "
            "because its words need the time"
        )
    return held_ms, Placed(tuple((0, words) for words in step.words), (), close=False)


def _hold_notes(step: Step, extra: int, held_ms: int, placed: Placed) -> list[str]:
    notes = []
    if extra and isinstance(step.hold, InBreaths):
        usual = step.hold.usual
        notes.append(f"“{step.title}” is held {usual + extra} breaths instead of {usual}, because its words need them")
    elif extra:
        breaths = "1 breath" if extra == 1 else f"{extra} breaths"
        notes.append(
            f"“{step.title}” lasts {seconds_text(held_ms)}, {breaths} more than asked, because its words need them"
        )
    if placed.close:
        notes.append(f"the words of “{step.title}” stand closer together than one thought a breath")
    return notes


def left_out(words: Words) -> str:
    """The note for words that found no room."""
    return f"left out for want of room, as the file allows: “{words.text}”"
