"""Placing the words of a hold: on the exhales, one thought a breath, in the file's order, the last breath quiet."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from guide.plan.fixed_lengths import GAP_MS
from guide.plan.grid import Grid
from guide.sequence.steps import AtBreath, AtTime, BeforeEnd, Breath, SettledStep, Step, Words

#: Words with their lengths in ms.
Kept = Sequence[tuple[Words, int]]

#: Longer than any hold, with all that it may grow by.
ENDLESS_MS = 10**12


@dataclass(frozen=True, slots=True)
class Placed:
    """The words of a hold with their offsets from its beginning, in ms, and those that found no room."""

    words: tuple[tuple[int, Words], ...]
    dropped: tuple[Words, ...]
    close: bool
    """True where the words stand closer than one thought a breath, because they had to."""


@dataclass(frozen=True, slots=True)
class NumberRoom:
    """What the numbers of a hold need: for a breath, where its number may begin, must have ended, and its length.

    From `run_ms` on a countdown of seconds has the hold for itself.
    """

    breaths: Mapping[int, tuple[int, int, int]] = field(default_factory=dict)
    run_ms: int = ENDLESS_MS


NO_NUMBERS = NumberRoom()


@dataclass(frozen=True, slots=True)
class HoldRoom:
    """What a hold offers its words: its grid, the offset before which none begins, the one by which all have ended.

    `held_ms` is the length of the hold, before the end of which words may ask to be. `after_ms` is where the words
    before them begin, None where they are the first. `numbers` are those counted aloud.
    """

    grid: Grid
    first_ms: int
    limit_ms: int
    held_ms: int
    after_ms: int | None = None
    numbers: NumberRoom = NO_NUMBERS


def place(words: Sequence[Words], lengths_ms: Sequence[int], room: HoldRoom) -> Placed | None:
    """The words placed in the room, or None where they do not fit: where the room ends before `earliest_end_ms`.

    First calmly: each on an exhale, in a breath of its own, with room for the numbers that are counted. Then without
    words that may be left out, last first. Where that fails, all this without a thought for numbers. Then close
    together, on inhales too.
    """
    kept = list(zip(words, lengths_ms, strict=True))
    careless = replace(room, numbers=NO_NUMBERS)
    if room.numbers != NO_NUMBERS and (placed := _calmly(kept, room)):
        return placed
    if placed := _calmly(kept, careless):
        return placed
    needed = [pair for pair in kept if not pair[0].if_room]
    offsets = _fit(needed, careless, _close(room.grid))
    return None if offsets is None else _placed(offsets, needed, kept, close=True)


def _calmly(kept: Kept, room: HoldRoom) -> Placed | None:
    """The words in breaths of their own, without as many as must be left out; None where they do not fit so."""
    said, calm = list(kept), _calm(room.grid)
    while True:
        offsets = _fit(said, room, calm)
        if offsets is not None:
            return _placed(offsets, said, kept, close=False)
        spare = next((index for index in range(len(said) - 1, -1, -1) if said[index][0].if_room), None)
        if spare is None:
            return None
        del said[spare]


def _fit(kept: Kept, room: HoldRoom, tightness: "_Tightness") -> list[int] | None:
    """Where the words begin, those before the end of the hold at the very last; None where they do not fit."""
    free = [pair for pair in kept if not isinstance(pair[0].at, BeforeEnd)]
    ends = before_end(kept[len(free) :], room.held_ms)
    if ends:
        if ends[0] < room.first_ms:
            return None
        room = replace(room, limit_ms=min(room.limit_ms, ends[0] - GAP_MS))
    # The last breath is that of the hold, whatever of it a countdown has for itself.
    asked_ms = _all_asked_ms(free, room, tightness)
    room = replace(room, limit_ms=min(room.limit_ms, room.numbers.run_ms - GAP_MS))
    offsets = _walk(free, room, tightness, asked_ms)
    return None if offsets is None else offsets + ends


def before_end(kept: Kept, held_ms: int) -> list[int]:
    """Where words begin that are placed before the end of a hold: earlier than asked where they need more time."""
    offsets: list[int] = []
    limit_ms = held_ms - GAP_MS
    for words, length_ms in reversed(kept):
        assert isinstance(words.at, BeforeEnd)
        offsets.insert(0, min(held_ms - words.at.ms, limit_ms - length_ms))
        limit_ms = offsets[0] - GAP_MS
    return offsets


def place_on(step: Step, lengths_ms: Sequence[int], room: HoldRoom) -> Placed | None:
    """The words of a step in the room, as `place` does it; those that an earlier plan has settled stay."""
    laid = step.laid
    if laid is None:
        return place(step.words, lengths_ms, room)
    said = tuple((one.offset_ms, step.words[one.number]) for one in laid.words)
    heard, settled = {one.number for one in laid.words}, reached(step)
    passed = tuple(words for number, words in enumerate(step.words[:settled]) if number not in heard)
    if laid.held_ms is None and laid.words and laid.words[-1].offset_ms + laid.words[-1].length_ms > room.limit_ms:
        return None
    rest = place(step.words[settled:], lengths_ms[settled:], resumed(room, laid))
    return rest and Placed((*said, *rest.words), (*passed, *rest.dropped), rest.close)


def reached(step: Step) -> int:
    """So many of the words of a hold are settled, said or left out: the others are still to be placed."""
    if step.laid is None:
        return 0
    if step.laid.held_ms is not None:
        return len(step.words)
    return step.laid.words[-1].number + 1 if step.laid.words else 0


def resumed(room: HoldRoom, laid: SettledStep) -> HoldRoom:
    """The room that is left of a hold after what is settled."""
    first_ms = max(room.first_ms, laid.until_ms, *(end_ms + GAP_MS for end_ms in laid.ends_ms))
    counted = {room.grid.breath_at(one.offset_ms) for one in laid.counts}
    to_come = {breath: number for breath, number in room.numbers.breaths.items() if breath not in counted}
    numbers = NumberRoom(to_come, room.numbers.run_ms)
    return replace(room, first_ms=first_ms, after_ms=laid.words[-1].offset_ms if laid.words else None, numbers=numbers)


def earliest_end_ms(words: Sequence[Words], lengths_ms: Sequence[int], room: HoldRoom) -> int:
    """The earliest end of a room in which `place` finds room for all the words that may not be left out; 0 for none.

    Words that ask for the last breath ask for nothing here: a later last breath is never harder to have.
    """
    needed = [pair for pair in zip(words, lengths_ms, strict=True) if not pair[0].if_room]
    kept = [pair for pair in needed if not isinstance(pair[0].at, BeforeEnd)]
    endless = replace(room, limit_ms=ENDLESS_MS)
    offsets = _walk(kept, endless, _close(room.grid), [_asked_ms(one, room.grid) for one, _ in kept])
    return offsets[-1] + kept[-1][1] if offsets else 0


def _placed(offsets: list[int], said: Kept, kept: Kept, *, close: bool) -> Placed:
    words = tuple((offset, words) for offset, (words, _) in zip(offsets, said, strict=True))
    return Placed(words, tuple(pair[0] for pair in kept if pair not in said), close)


@dataclass(frozen=True, slots=True)
class _Tightness:
    """A way to place words: the beats that they may begin on, so many a breath, and when the next may come at all."""

    beat: Callable[[int], int]
    beats_a_breath: int
    next_free: Callable[[int], int]

    def last_beat(self, grid: Grid, until_ms: int) -> int | None:
        """The last beat up to `until_ms`, which may lie before the hold."""
        number = self.beats_a_breath * (grid.breath_at(max(0, until_ms)) + 1) - 1
        while number >= 0 and self.beat(number) > until_ms:
            number -= 1
        return self.beat(number) if number >= 0 else None


def _calm(grid: Grid) -> _Tightness:
    """Each cue on an exhale, in a later breath than the one before it."""
    return _Tightness(grid.exhale_ms, 1, lambda offset: grid.breath_ms(grid.breath_at(offset) + 1))


def _close(grid: Grid) -> _Tightness:
    """Each cue on an inhale or an exhale."""

    def half_breath(number: int) -> int:
        breath, half = divmod(number, 2)
        return grid.exhale_ms(breath) if half else grid.breath_ms(breath)

    return _Tightness(half_breath, 2, lambda offset: offset)


def _walk(kept: Kept, room: HoldRoom, tightness: _Tightness, asked_ms: Sequence[int]) -> list[int] | None:
    """Every cue at its own place or at the first beat after what came before; None as soon as one ends too late."""
    offsets: list[int] = []
    free_ms, spoken_ms, beats = room.first_ms, room.first_ms, _beats(tightness.beat)
    if room.after_ms is not None:
        free_ms = max(free_ms, tightness.next_free(room.after_ms))
    beat_ms = next(beats)
    for (words, length_ms), own_ms in zip(kept, asked_ms, strict=True):
        wanted_ms = max(free_ms, own_ms)
        if words.at is not None and wanted_ms == own_ms:
            start_ms = wanted_ms
        else:
            while beat_ms < wanted_ms or (
                beat_ms + length_ms <= room.limit_ms and _takes_a_number(room, beat_ms, length_ms, spoken_ms)
            ):
                beat_ms = next(beats)
            start_ms = beat_ms
        if start_ms + length_ms > room.limit_ms:
            return None
        offsets.append(start_ms)
        spoken_ms = start_ms + length_ms + GAP_MS
        free_ms = max(spoken_ms, tightness.next_free(start_ms))
    return offsets


def _takes_a_number(room: HoldRoom, start_ms: int, length_ms: int, free_ms: int) -> bool:
    """Whether words that begin here take the number of their breath its last place: before them, or after them."""
    number = room.numbers.breaths.get(room.grid.breath_at(start_ms))
    if number is None:
        return False
    from_ms, until_ms, number_ms = number
    before_ms = max(from_ms, free_ms) + number_ms
    return start_ms < before_ms + GAP_MS and before_ms <= until_ms < start_ms + length_ms + GAP_MS + number_ms


def _beats(beat: Callable[[int], int]) -> Iterator[int]:
    number = 0
    while True:
        yield beat(number)
        number += 1


def _all_asked_ms(kept: Kept, room: HoldRoom, tightness: _Tightness) -> list[int]:
    """The earliest offset that the file allows each of the words."""
    asked_ms = [_asked_ms(words, room.grid) for words, _ in kept]
    for number, (words, _) in enumerate(kept):
        if isinstance(words.at, AtBreath) and words.at.number is None:
            asked_ms[number] = _last_ms(kept[number:], room, tightness)
    return asked_ms


def _last_ms(kept: Kept, room: HoldRoom, tightness: _Tightness) -> int:
    """The last beat on which the first of these words may begin so that all of them have room; 0 if there is none."""
    limit_ms, start_ms = room.limit_ms, 0
    for _, length_ms in reversed(kept):
        beat_ms = tightness.last_beat(room.grid, limit_ms - length_ms)
        if beat_ms is None:
            return 0
        start_ms, limit_ms = beat_ms, beat_ms - GAP_MS
    return start_ms


def _asked_ms(words: Words, grid: Grid) -> int:
    match words.at:
        case AtBreath(int(number), Breath.INHALE):
            return grid.breath_ms(number - 1)
        case AtBreath(int(number), Breath.EXHALE):
            return grid.exhale_ms(number - 1)
        case AtTime(ms):
            return ms
        case _:
            return 0
