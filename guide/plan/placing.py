"""Placing the words of a hold: on the exhales, one thought a breath, in the file's order, the last breath quiet."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from guide.plan.grid import Grid
from guide.plan.rules import GAP_MS
from guide.sequence.steps import AtBreath, AtTime, Breath, Words


@dataclass(frozen=True, slots=True)
class Placed:
    """The words of a hold with their offsets from its beginning, in ms, and those that found no room."""

    words: tuple[tuple[int, Words], ...]
    dropped: tuple[Words, ...]
    close: bool
    """True where the words stand closer than one thought a breath, because they had to."""


@dataclass(frozen=True, slots=True)
class Room:
    """What a hold offers its words: its grid, the offset before which none begins, the one by which all have ended."""

    grid: Grid
    first_ms: int
    limit_ms: int


def place(words: Sequence[Words], lengths_ms: Sequence[int], room: Room) -> Placed | None:
    """The words placed in the room, or None where they do not fit.

    First calmly: each on an exhale, in a breath of its own. Then without the words that may be left out, last first.
    Then close together, on inhales too.
    """
    kept = list(zip(words, lengths_ms, strict=True))
    dropped: list[Words] = []
    while True:
        offsets = _calm(kept, room)
        if offsets is not None:
            return _placed(offsets, kept, dropped, close=False)
        spare = next((index for index in range(len(kept) - 1, -1, -1) if kept[index][0].if_room), None)
        if spare is None:
            break
        dropped.insert(0, kept.pop(spare)[0])
    offsets = _close(kept, room)
    return None if offsets is None else _placed(offsets, kept, dropped, close=True)


def _placed(offsets: list[int], kept: list[tuple[Words, int]], dropped: list[Words], *, close: bool) -> Placed:
    words = tuple((offset, words) for offset, (words, _) in zip(offsets, kept, strict=True))
    return Placed(words, tuple(dropped), close)


def _calm(kept: list[tuple[Words, int]], room: Room) -> list[int] | None:
    """Each cue on the first exhale that it may have, in a later breath than the one before it."""
    grid = room.grid
    return _walk(kept, room, grid.exhale_ms, next_free=lambda offset: grid.breath_ms(grid.breath_at(offset) + 1))


def _close(kept: list[tuple[Words, int]], room: Room) -> list[int] | None:
    """Each cue on the first inhale or exhale that it may have."""

    def half_breath(number: int) -> int:
        breath, half = divmod(number, 2)
        return room.grid.exhale_ms(breath) if half else room.grid.breath_ms(breath)

    return _walk(kept, room, half_breath, next_free=lambda offset: offset)


def _walk(
    kept: list[tuple[Words, int]], room: Room, beat: Callable[[int], int], next_free: Callable[[int], int]
) -> list[int] | None:
    """Every cue at its own place or at the first beat after what came before; None as soon as one ends too late."""
    offsets: list[int] = []
    free_ms, beats = room.first_ms, _beats(beat)
    beat_ms = next(beats)
    for words, length_ms in kept:
        wanted_ms = max(free_ms, _asked_ms(words, room.grid))
        if words.at is not None and wanted_ms == _asked_ms(words, room.grid):
            start_ms = wanted_ms
        else:
            while beat_ms < wanted_ms:
                beat_ms = next(beats)
            start_ms = beat_ms
        if start_ms + length_ms > room.limit_ms:
            return None
        offsets.append(start_ms)
        free_ms = max(start_ms + length_ms + GAP_MS, next_free(start_ms))
    return offsets


def _beats(beat: Callable[[int], int]) -> Iterator[int]:
    number = 0
    while True:
        yield beat(number)
        number += 1


def _asked_ms(words: Words, grid: Grid) -> int:
    """The earliest offset that the file allows these words."""
    match words.at:
        case AtBreath(number, Breath.INHALE):
            return grid.breath_ms(number - 1)
        case AtBreath(number, Breath.EXHALE):
            return grid.exhale_ms(number - 1)
        case AtTime(ms):
            return ms
        case _:
            return 0
