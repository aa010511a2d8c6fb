"""Lengths as people write them, and back: times, holds, paces and breathing patterns as text."""

import re
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

from guide.sequence.model import Pattern
from guide.sequence.steps import InBreaths, InTime, Pace
from guide.units import whole_ms

MOST_BREATHS = 300
HOUR_MS = 3_600_000
LONGEST_HOLD_MS = 4 * HOUR_MS
LONGEST_SLOT_MS = 12 * HOUR_MS

#: What a breath and the pauses in it may last (common practice, no source): a breath of 30 s is already rare.
LONGEST_BREATH_MS = 30_000
LONGEST_PAUSE_MS = 60_000

_UNITS_MS = {
    **dict.fromkeys(("s", "sec", "secs", "second", "seconds"), 1_000),
    **dict.fromkeys(("min", "mins", "minute", "minutes"), 60_000),
    **dict.fromkeys(("h", "hour", "hours"), HOUR_MS),
}
_UNIT = "|".join(sorted(_UNITS_MS, key=len, reverse=True))
_ONE = re.compile(rf"([0-9]{{1,6}}(?:\.[0-9]{{1,3}})?)\s*({_UNIT})(?![a-z])\s*")
_CLOCK = re.compile(r"(?:([0-9]{1,2}):)?([0-9]{1,3}):([0-9]{2})")
_BARE = re.compile(r"[0-9]+(?:\.[0-9]+)?")
_HALF = r"(\.5|½| and a half)?"
_BREATHS = re.compile(rf"([0-9]{{1,6}}){_HALF}(?:(?:\s*breaths?)?\s+to\s+([0-9]{{1,6}}){_HALF})?\s*breaths?")
_TO = re.compile(r"\s+to\s+")
_EACH_SIDE = re.compile(r"\s+(?:on\s+)?(?:each|per|a|both)\s+sides?")
_RATE = re.compile(r"([0-9]{1,3}(?:\.[0-9])?) breaths? (?:a|per) minute")
_PART = r"([0-9]{1,2}(?:\.[0-9])?)"
_SECONDS = re.compile(rf"{_PART}-{_PART}(?:-{_PART})?(?:-{_PART})?")
_SHARES = re.compile(rf"{_PART}:{_PART}(?::{_PART})?(?::{_PART})?")

#: Patterns with a name of their own, as shares of the inhale (common practice, no source).
NAMED_PATTERNS = {
    "box": (Fraction(1), Fraction(1), Fraction(1), Fraction(1)),
    "even": (Fraction(1), Fraction(0), Fraction(1), Fraction(0)),
}

TIME_FIX = "write a time such as `45 s`, `1:30` or `2 min`"
SHARE_FIX = "write one time in another, such as `1 min in 10 min`"
HOLD_FIX = "write breaths such as `5 breaths` or `4 to 6 breaths`, or a time such as `45 s`, `1:30` or `3 to 5 min`"


class NotALength(Exception):
    """A text is not the length asked for: what is wrong, and what to write."""

    def __init__(self, what: str, fix: str) -> None:
        self.what = what
        self.fix = fix
        super().__init__(f"{what} ({fix})")


def clipped(text: str) -> str:
    """`text` short enough to be quoted in a message."""
    return text if len(text) <= 60 else f"{text[:57]}…"


def read_time(text: str) -> int:
    """A time in whole milliseconds: `45 s`, `1:30`, `1:02:03`, `2 min 30 s`, `1.5 min`.

    Raises:
        NotALength: when it is none.
    """
    clock = _CLOCK.fullmatch(text)
    if clock:
        return _clock_ms(text, clock)
    if _BARE.fullmatch(text):
        number = clipped(text)
        raise NotALength(f"`{number}` does not say of what", f"write `{number} s` or `{number} min`")
    total, end, last_unit = Fraction(0), 0, HOUR_MS + 1
    while found := _ONE.match(text, end):
        unit = _UNITS_MS[found[2]]
        if unit >= last_unit:
            break
        total, end, last_unit = total + Fraction(found[1]) * unit, found.end(), unit
    if not text or end != len(text):
        raise NotALength(f"`{clipped(text)}` is not a time", TIME_FIX)
    return whole_ms(total)


def _clock_ms(text: str, clock: re.Match[str]) -> int:
    hours, minutes, seconds = (int(part or 0) for part in clock.groups())
    if seconds > 59 or (clock[1] and minutes > 59):
        raise NotALength(f"`{text}` is not a time: a minute has 60 seconds, an hour 60 minutes", TIME_FIX)
    return (hours * 3600 + minutes * 60 + seconds) * 1000


def split_each_side(text: str) -> tuple[str, str]:
    """`1 min each side` as `1 min` and the rest; the rest is empty where nothing is said of sides."""
    found = _EACH_SIDE.search(text)
    if found is None or found.end() != len(text):
        return text, ""
    return text[: found.start()], text[found.start() :]


def read_hold(text: str) -> InBreaths | InTime:
    """How long something is kept: breaths, a time, or a range of either; a range's usual length is its middle.

    Raises:
        NotALength: when it is none of these, or outside what a hold may last.
    """
    breaths = _BREATHS.fullmatch(text)
    if breaths:
        least, half, most, other_half = breaths.groups()
        if most is not None and bool(half) is not bool(other_half):
            what = f"`{clipped(text)}` would end on an inhale or on an exhale"
            raise NotALength(what, f"write `{least}.5 to {most}.5 breaths` or `{least} to {most} breaths`")
        return replace(_in_breaths(int(least), int(most or least)), and_a_half=bool(half))
    if _BARE.fullmatch(text):
        number = clipped(text)
        raise NotALength(f"`{number}` could be breaths or seconds", f"write `{number} breaths` or `{number} s`")
    if re.search(r"[0-9]\s*[-–]\s*[0-9]", text):
        with_to = clipped(re.sub(r"\s*[-–]\s*", " to ", text))
        raise NotALength(f"`{clipped(text)}` is not a length", f"write a range with `to`: `{with_to}`")
    parts = _TO.split(text)
    if len(parts) == 2:
        return _time_range(*parts)
    ms = _hold_ms(text, HOLD_FIX)
    return _in_time(ms, ms)


def _hold_ms(text: str, fix: str) -> int:
    try:
        return read_time(text)
    except NotALength as error:
        raise NotALength(error.what.replace("is not a time", "is not a length"), fix) from error


def _in_breaths(least: int, most: int) -> InBreaths:
    if least > most:
        raise NotALength(f"{least} to {most} breaths runs backwards", f"write `{most} to {least} breaths`")
    if not 1 <= least <= most <= MOST_BREATHS:
        raise NotALength(f"a hold lasts 1 to {MOST_BREATHS} breaths", "for longer, write a time such as `30 min`")
    return InBreaths(least, (least + most) // 2, most)


def _time_range(first: str, second: str) -> InTime:
    return _in_time(*_two_times(first, second, HOLD_FIX))


def read_time_range(text: str) -> tuple[int, int]:
    """Two times in milliseconds with `to` between them: `3.5 to 5 s`.

    Raises:
        NotALength: when it is none, or runs backwards.
    """
    parts = _TO.split(text)
    if len(parts) != 2:
        raise NotALength(f"`{clipped(text)}` is not a time", TIME_FIX)
    first, second = parts
    return _two_times(first, second, TIME_FIX)


def read_share(text: str) -> Fraction:
    """The part of the slot that a rest naturally has: `1 min in 10 min`.

    Raises:
        NotALength: when it is none, or not less than the whole.
    """
    parts = re.split(r"\s+in\s+", text)
    if len(parts) != 2:
        raise NotALength(f"`{clipped(text)}` is not a share of the class", SHARE_FIX)
    part_ms, whole_class_ms = map(read_time, parts)
    if not 0 < part_ms < whole_class_ms:
        raise NotALength(f"`{clipped(text)}` is no part of the class", SHARE_FIX)
    return Fraction(part_ms, whole_class_ms)


def _two_times(first: str, second: str, fix: str) -> tuple[int, int]:
    if _BARE.fullmatch(first):
        unit = _ONE.fullmatch(second)
        if unit is None:
            raise NotALength(f"`{clipped(first)}` does not say of what", fix)
        first = f"{first} {unit[2]}"
    least_ms, most_ms = _hold_ms(first, fix), _hold_ms(second, fix)
    if least_ms > most_ms:
        turned = f"write `{write_time(most_ms)} to {write_time(least_ms)}`"
        raise NotALength(f"`{clipped(f'{first} to {second}')}` runs backwards", turned)
    return least_ms, most_ms


def _in_time(least_ms: int, most_ms: int) -> InTime:
    if not 1_000 <= least_ms <= most_ms <= LONGEST_HOLD_MS:
        raise NotALength("a hold lasts 1 s to 4 h", "write a time between them")
    middle_ms = (least_ms + most_ms) // 2
    usual_ms = least_ms if least_ms == most_ms else max(least_ms, middle_ms // 1000 * 1000)
    return InTime(least_ms, usual_ms, most_ms)


def read_rate(text: str) -> Pace:
    """A pace written as `6 breaths a minute`: half of each breath in, half out.

    Raises:
        NotALength: when it is none, or so fast or slow that a breath would last under 1 s or over 30 s.
    """
    found = _RATE.fullmatch(text)
    if found is None:
        fix = "write `6 breaths a minute`, or a mapping such as `{inhale: 4 s, exhale: 6 s}`"
        raise NotALength(f"`{clipped(text)}` is not a pace", fix)
    rate = Fraction(found[1])
    if not 1 <= rate <= 30:
        raise NotALength("a pace has 1 to 30 breaths a minute", "write a number between them")
    half_ms = 30_000 / rate
    return Pace(half_ms, Fraction(0), half_ms, Fraction(0))


def read_pattern(text: str) -> Pattern:
    """A breathing pattern: `box`, `even`, seconds such as `4-7-8`, or shares of the inhale such as `1:2`.

    Two numbers are in and out, three are in, full and out, four are in, full, out and empty.

    Raises:
        NotALength: when it is none, or when a part is longer than a breath or a pause may be.
    """
    if text in NAMED_PATTERNS:
        return Pattern(NAMED_PATTERNS[text], False, text)
    found = _SECONDS.fullmatch(text) or _SHARES.fullmatch(text)
    if found is None:
        fix = "write `box`, `even`, seconds such as `4-7-8`, shares such as `1:2`, or a mapping as in `pace`"
        raise NotALength(f"`{clipped(text)}` is not a breathing pattern", fix)
    numbers = [Fraction(part) for part in found.groups() if part is not None]
    in_seconds = "-" in text
    parts = _four(numbers)
    _check_parts(parts, in_seconds)
    return Pattern(parts, in_seconds, text)


def _four(numbers: list[Fraction]) -> tuple[Fraction, Fraction, Fraction, Fraction]:
    none = Fraction(0)
    match numbers:
        case [inhale, exhale]:
            return inhale, none, exhale, none
        case [inhale, full, exhale]:
            return inhale, full, exhale, none
        case [inhale, full, exhale, empty]:
            return inhale, full, exhale, empty
    raise AssertionError(numbers)


def _check_parts(parts: tuple[Fraction, Fraction, Fraction, Fraction], in_seconds: bool) -> None:
    inhale, full, exhale, empty = parts
    if in_seconds and not (min(inhale, exhale) >= 1 and max(inhale, exhale) <= 30 and max(full, empty) <= 60):
        raise NotALength("an inhale or exhale lasts 1 to 30 s, a pause at most 60 s", "write seconds between them")
    if not in_seconds and not (min(inhale, exhale) >= Fraction(1, 2) and max(parts) <= 8):
        raise NotALength("a share is 0.5 to 8, that of a pause 0 to 8", "write shares between them")


def write_time(ms: int) -> str:
    """`ms` as `read_time` takes it, in the shortest form that keeps it exact."""
    minutes, rest_ms = divmod(ms, 60_000)
    if ms and ms % HOUR_MS == 0:
        return f"{ms // HOUR_MS} h"
    seconds = f"{rest_ms // 1000}.{rest_ms % 1000:03}".rstrip("0").rstrip(".")
    if not minutes:
        return f"{seconds} s"
    if rest_ms % 1000:
        return f"{minutes} min {seconds} s"
    if not rest_ms:
        return f"{minutes} min"
    return f"{minutes}:{int(seconds):02}"


def write_hold(hold: InBreaths | InTime) -> str:
    """A hold as `read_hold` takes it."""
    match hold:
        case InBreaths(1, _, 1, False):
            return "1 breath"
        case InBreaths(least, _, most, and_a_half):
            return _range(least, most, lambda breaths: f"{breaths}.5" if and_a_half else str(breaths)) + " breaths"
        case InTime(least_ms, _, most_ms):
            return _range(least_ms, most_ms, write_time)


def _range(least: int, most: int, write: Callable[[int], str]) -> str:
    return write(least) if least == most else f"{write(least)} to {write(most)}"
