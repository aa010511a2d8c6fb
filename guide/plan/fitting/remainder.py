"""What whole breaths leave over of the slot: the holds by the clock take it, or where they cannot, a pace does."""

from bisect import bisect_left
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from guide.plan.fitting.chain import Chain
from guide.plan.fitting.leeway import Leeway, Level, TimedHold
from guide.plan.fitting.springs import spread
from guide.units import whole_ms

SECOND_MS = 1000

#: A hold by the clock may have to be made longer so often, so that its words fit.
MOST_TRIES = 3

#: A pace that takes what is left over is found to this part of its room.
FINEST = 1 << 16


@dataclass(frozen=True, slots=True)
class Filling:
    """What every hold and pace is set to: the level, the holds by the clock, and how long that makes the class."""

    level: Level
    rests_ms: tuple[int, ...]
    length_ms: int


def filling_of(leeway: Leeway, chain: Chain, links: int) -> Filling:
    """The class with so many links, as near to its slot as it can be."""
    by_rests = _with_rests(leeway, chain.level(links))
    off_ms = leeway.slot_ms - by_rests.length_ms
    has_notches = any(link >= len(leeway.counted) for link in chain.links)
    if abs(off_ms) < SECOND_MS or not has_notches:
        return by_rests
    # The breaths of this number of links; if no pace fills the slot with these, those of the next one.
    for number in (links, links + (1 if off_ms > 0 else -1)):
        if 0 <= number < len(chain.lengths_ms):
            by_pace = _with_rests(leeway, _by_pace(leeway, chain, chain.level(number)))
            if abs(leeway.slot_ms - by_pace.length_ms) < SECOND_MS:
                return by_pace
    return by_rests


def _by_pace(leeway: Leeway, chain: Chain, level: Level) -> Level:
    """The same breaths at that pace at which the holds by the clock can take what is left over."""
    wanted_ms = leeway.slot_ms - sum(leeway.rests_ms) // 2 - chain.unloaded_ms
    counts = list(zip(leeway.counted, level.breaths, strict=True))
    breaths = [sum(one.on_pace.get(pace, 0) * count for one, count in counts) for pace in range(len(leeway.loads))]

    def enough(part: int) -> bool:
        loads = zip(leeway.loads, breaths, strict=True)
        return sum(load.length_ms(count, Fraction(part, FINEST)) for load, count in loads) >= wanted_ms

    ease = Fraction(bisect_left(range(-FINEST, FINEST), True, key=enough) - FINEST, FINEST)
    return replace(level, paces=(ease,) * len(level.paces))


def _with_rests(leeway: Leeway, level: Level) -> Filling:
    """The class at this level, with its holds by the clock as long as fills the slot, or nearly."""
    timed, others_ms = leeway.timed, leeway.others_ms(level)
    numbers = [number for one in timed for number in one.numbers]
    for _ in range(MOST_TRIES):
        rests_ms = _shared_out(timed, leeway.closing, leeway.slot_ms - others_ms)
        held_ms = leeway.led.held_ms(level.paces, leeway.asked(level, rests_ms), numbers)
        roomy = tuple(_without_growth(one, ms, held_ms) for one, ms in zip(timed, rests_ms, strict=True))
        if roomy == timed:
            break
        timed = roomy
    return Filling(level, rests_ms, others_ms + sum(held_ms[number] for number in numbers))


def _without_growth(one: TimedHold, asked_ms: int, held_ms: Mapping[int, int]) -> TimedHold:
    """The hold without those lengths at which it would grow for its words, where `leeway_of` could not tell."""
    grown_ms = max(held_ms[number] for number in one.numbers)
    if asked_ms == grown_ms or grown_ms > one.most_ms:
        return one
    return replace(one, least_ms=grown_ms, natural_ms=max(one.natural_ms, Fraction(grown_ms)))


def _shared_out(timed: Sequence[TimedHold], closing: int | None, total_ms: int) -> tuple[int, ...]:
    """How long each of the holds by the clock is, in ms, so that all their steps together last `total_ms`.

    All give with one ease, in whole seconds; the closing one takes the rest, to the millisecond. Where they cannot fill
    the total they are as near to it as their bounds let them.
    """
    even_ms = spread([one.spring() for one in timed], total_ms).lengths
    each_ms = [length_ms / len(one.numbers) for length_ms, one in zip(even_ms, timed, strict=True)]
    for unit_ms in (SECOND_MS, 1):
        lengths_ms = [_in_units(one, ms, unit_ms) for one, ms in zip(timed, each_ms, strict=True)]
        if closing is not None:
            closer = timed[closing]
            others = ((one, ms) for one, ms in zip(timed, lengths_ms, strict=True) if one is not closer)
            left_ms = (total_ms - sum(len(one.numbers) * ms for one, ms in others)) // len(closer.numbers)
            lengths_ms[closing] = min(max(left_ms, closer.least_ms), closer.most_ms)
            if lengths_ms[closing] == left_ms:
                break
    return tuple(lengths_ms)


def _in_units(one: TimedHold, ms: Fraction, unit_ms: int) -> int:
    return min(max(whole_ms(ms / unit_ms) * unit_ms, one.least_ms), one.most_ms)
