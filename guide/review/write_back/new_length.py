"""The new length of a hold: what was done, in whole breaths or in round seconds, within what the file allows."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from fractions import Fraction
from math import floor

from guide.review.write_back.taught_hold import Done
from guide.sequence.length_text import LONGEST_HOLD_MS, MOST_BREATHS
from guide.sequence.steps import AtBreath, AtTime, InBreaths, InTime

#: Times by the clock are written in steps of this, and shorter ones in whole seconds.
ROUND_MS = 5_000
SECOND_MS = 1_000
ROUND_FROM_MS = 20_000

#: By less than this a time is no other than the planned one: real starts are known to within two seconds.
NEAR_MS = 2_000

Length = InBreaths | InTime


def new_length(old: Length, done: Sequence[Done]) -> Length:
    """`old` as it should be written after it was done so; the same where that was planned, or lies in its range.

    Outside a range its nearer end moves to what was done.
    """
    return old if _is_as_planned(old, done) else as_done(old, done)


def as_done(old: Length, done: Sequence[Done]) -> Length:
    """As `new_length`, whatever was planned."""
    if isinstance(old, InBreaths):
        did = _between(_whole(_mean(one.held_ms / one.period_ms for one in done), old), 1, MOST_BREATHS)
        return _in_breaths(*_moved(old.least, old.most, did), old)
    did_ms = _mean(Fraction(one.held_ms) for one in done)
    if old.least_ms <= did_ms <= old.most_ms:
        return old
    return in_time(*_moved(old.least_ms, old.most_ms, round_ms(did_ms)))


def _is_as_planned(old: Length, done: Sequence[Done]) -> bool:
    """Whether what was done is what was planned, as exactly as that is known and would be written."""
    if isinstance(old, InBreaths):
        did, planned = (_whole(_mean(part), old) for part in zip(*map(_breaths, done), strict=True))
        return did == planned
    did_ms = _mean(Fraction(one.held_ms) for one in done)
    off_ms = abs(did_ms - _mean(Fraction(one.planned_ms) for one in done))
    return off_ms < NEAR_MS or 2 * off_ms < _step_ms(did_ms)


def _whole(breaths: Fraction, old: InBreaths) -> int:
    """The whole breaths of a hold, besides the half that it may have."""
    return _half_up(breaths - Fraction(1, 2) if old.and_a_half else breaths)


def _breaths(one: Done) -> tuple[Fraction, Fraction]:
    """What was done and what was planned, in breaths."""
    return one.held_ms / one.period_ms, one.planned_ms / one.period_ms


def round_ms(ms: Fraction) -> int:
    """A time as it is written: whole seconds below 20 s, and from there on steps of 5 s."""
    step_ms = _step_ms(ms)
    return _between(_half_up(ms / step_ms) * step_ms, SECOND_MS, LONGEST_HOLD_MS)


def differ(first: Sequence[Done], second: Sequence[Done]) -> bool:
    """Whether two sides differ by a breath or more."""
    breaths = [_mean(one.held_ms / one.period_ms for one in side) for side in (first, second)]
    return abs(breaths[0] - breaths[1]) >= 1


def with_room(old: Length, new: Length, asked: Iterable[AtBreath | AtTime], periods_ms: Iterable[Fraction]) -> Length:
    """`new`, made longer by as little as leaves every place that is asked for inside it; at most as long as `old`.

    What the class counts down from may lie outside the old hold already: then there is less to count.
    """
    periods = tuple(periods_ms)
    places = [at for at in asked if all(_reaches(old, at, period_ms) for period_ms in periods)]
    while not all(_reaches(new, at, period_ms) for at in places for period_ms in periods):
        new = _longer(new)
        if _least(new) >= _least(old):
            return old
    return new


def _in_breaths(least: int, most: int, old: InBreaths) -> InBreaths:
    """A hold between two numbers of breaths, usually in their middle, which ends on the same half of a breath."""
    return replace(old, least=least, usual=(least + most) // 2, most=most)


def in_time(least_ms: int, most_ms: int) -> InTime:
    """As the reader makes it: the usual time of a range is its middle, in whole seconds."""
    usual_ms = least_ms if least_ms == most_ms else max(least_ms, (least_ms + most_ms) // 2 // SECOND_MS * SECOND_MS)
    return InTime(least_ms, usual_ms, most_ms)


def ends(length: Length) -> tuple[int, int]:
    """The least and the most of a length, in its own measure."""
    return (length.least, length.most) if isinstance(length, InBreaths) else (length.least_ms, length.most_ms)


def _mean(values: Iterable[Fraction]) -> Fraction:
    found = tuple(values)
    return sum(found, Fraction(0)) / len(found)


def _half_up(value: Fraction) -> int:
    return floor(value + Fraction(1, 2))


def _between(value: int, least: int, most: int) -> int:
    return min(max(value, least), most)


def _step_ms(ms: Fraction) -> int:
    return SECOND_MS if ms < ROUND_FROM_MS else ROUND_MS


def _moved(least: int, most: int, did: int) -> tuple[int, int]:
    """The ends of a range with the nearer one at what was done, if that lies outside; both where they are one."""
    if least == most:
        return did, did
    return min(least, did), max(most, did)


def _reaches(length: Length, at: AtBreath | AtTime, period_ms: Fraction) -> bool:
    """Whether a hold that is as long as usual has such a place in it; the reader asks the same."""
    in_ms = length.usual * period_ms if isinstance(length, InBreaths) else Fraction(length.usual_ms)
    if isinstance(at, AtTime):
        return at.ms < in_ms
    return 1 <= (at.number or 1) <= in_ms / period_ms


def _longer(length: Length) -> Length:
    least, most = ends(length)
    if isinstance(length, InBreaths):
        return _in_breaths(least + 1, max(most, least + 1), length)
    longer_ms = least + _step_ms(Fraction(least))
    return in_time(longer_ms, max(most, longer_ms))


def _least(length: Length) -> int:
    return ends(length)[0]


def with_usual(length: Length) -> Length:
    """A length that a plan has fitted, with the usual one that its ends have in a file."""
    return _in_breaths(*ends(length), length) if isinstance(length, InBreaths) else in_time(*ends(length))
