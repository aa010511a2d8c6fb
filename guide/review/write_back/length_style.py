"""A new length, written in the style of the one that it replaces: its units, its spaces, its words."""

import re
from collections.abc import Mapping
from fractions import Fraction

from guide.review.write_back.new_length import Length, ends
from guide.sequence.length_text import NotALength, read_hold, split_each_side, write_hold, write_time
from guide.sequence.steps import InBreaths

HOUR_MS, MINUTE_MS, SECOND_MS = 3_600_000, 60_000, 1_000

_NUMBER = re.compile(r"(?<!\.)[0-9]+")
_BREATHS = re.compile(r"([0-9]+)(\s*)breaths?")
_TO = re.compile(r"(\s+to\s+)")
_CLOCK = re.compile(r"(?:([0-9]+):)?([0-9]+):([0-9]{2})")
_BARE = re.compile(r"[0-9]+(?:\.[0-9]+)?")
_PART = re.compile(r"([0-9]+(?:\.[0-9]+)?)(\s*)([a-z]+)(\s*)")

#: What each unit is called in each style: one of it, more of it.
_STYLES = (
    {HOUR_MS: ("h", "h"), MINUTE_MS: ("min", "min"), SECOND_MS: ("s", "s")},
    {HOUR_MS: ("hour", "hours"), MINUTE_MS: ("minute", "minutes"), SECOND_MS: ("second", "seconds")},
    {HOUR_MS: ("hour", "hours"), MINUTE_MS: ("min", "mins"), SECOND_MS: ("sec", "secs")},
)

UnitNames = Mapping[int, tuple[str, str]]


def in_style_of(written: str, old: Length, new: Length) -> str:
    """`new` as text that reads back as it, as like as can be to `written`, which says `old`."""
    written, sides = split_each_side(written)
    return f"{_in_style(written, old, new)}{sides}"


def _in_style(written: str, old: Length, new: Length) -> str:
    if type(old) is type(new) and _reads_as(written, old):
        made = _breaths(written, old, new) if isinstance(new, InBreaths) else _times(written, old, new)
        if _reads_as(made, new):
            return made
    return write_hold(new)


def _reads_as(text: str, length: Length) -> bool:
    try:
        read = read_hold(" ".join(text.split()))
    except NotALength:
        return False
    return type(read) is type(length) and ends(read) == ends(length)


def _breaths(written: str, old: Length, new: Length) -> str:
    """The same text with other numbers, `breath` or `breaths` as these ask for."""
    numbers = list(_NUMBER.finditer(written))
    made = written
    for found, before, after in reversed(list(zip(numbers, ends(old), ends(new), strict=False))):
        if before != after:
            made = f"{made[: found.start()]}{after}{made[found.end() :]}"
            made = _agreeing(made, found.start())
    return made


def _agreeing(text: str, start: int) -> str:
    found = _BREATHS.match(text, start)
    if found is None:
        return text
    noun = "breath" if found[1] == "1" else "breaths"
    return f"{text[:start]}{found[1]}{found[2]}{noun}{text[found.end() :]}"


def _times(written: str, old: Length, new: Length) -> str:
    first, *rest = _TO.split(written)
    if not rest:
        return _time(first, ends(new)[0])
    between, last = rest
    least, most = ends(new)
    if _BARE.fullmatch(first):
        unit = _PART.fullmatch(last)
        shared = _in_shared_unit(unit, new) if unit else None
        if shared is not None:
            return f"{shared[0]}{between}{shared[1]}"
        first = f"{first}{unit[2]}{unit[3]}" if unit else first
    first = first if least == ends(old)[0] and not _BARE.fullmatch(first) else _time(first, least)
    return f"{first}{between}{last if most == ends(old)[1] else _time(last, most)}"


def _in_shared_unit(unit: re.Match[str], new: Length) -> tuple[str, str] | None:
    """Both ends of `3 to 5 min`, whose unit stands once; None where an end is no short number of it."""
    unit_ms = _unit_ms(unit[3])
    numbers = [_decimal(Fraction(ms, unit_ms)) for ms in ends(new)]
    return (numbers[0], f"{numbers[1]}{unit[2]}{unit[3]}{unit[4]}") if all(numbers) else None


def _decimal(number: Fraction) -> str:
    """A number with at most one digit behind the point; nothing where it has more."""
    return f"{float(number):g}" if (number * 10).denominator == 1 and number < 100_000 else ""


def _time(written: str, ms: int) -> str:
    clock = _CLOCK.fullmatch(written)
    if clock:
        return _clock(clock, ms)
    parts = list(_PART.finditer(written))
    if not parts:
        return write_time(ms)
    if len(parts) == 1 and "." in parts[0][1] and (number := _decimal(Fraction(ms, _unit_ms(parts[0][3])))):
        return f"{number}{parts[0][2]}{parts[0][3]}"
    return _in_units(parts, ms)


def _clock(clock: re.Match[str], ms: int) -> str:
    """`1:30`, with hours only where they stood already."""
    minutes, seconds = divmod(ms // SECOND_MS, 60)
    if clock[1] is None:
        return f"{minutes:0{len(clock[2]) if clock[2][0] == '0' else 1}}:{seconds:02}"
    hours, minutes = divmod(minutes, 60)
    return f"{hours:0{len(clock[1])}}:{minutes:02}:{seconds:02}"


def _in_units(parts: list[re.Match[str]], ms: int) -> str:
    """`2 min 30 s`, from the largest unit that stood there down."""
    words = {_unit_ms(part[3]): part[3] for part in parts}
    style = _style(parts[0][3])
    space, gap = parts[0][2], parts[0][4] if len(parts) > 1 else " "
    made = []
    for unit_ms in (HOUR_MS, MINUTE_MS, SECOND_MS):
        if unit_ms > max(words):
            continue
        count, ms = divmod(ms, unit_ms)
        if count:
            word = words.get(unit_ms, style[unit_ms][1])
            made.append(f"{count}{space}{_agreed(word, count)}")
    return gap.join(made)


def _unit_ms(word: str) -> int:
    return {"h": HOUR_MS, "m": MINUTE_MS, "s": SECOND_MS}[word[0]]


def _style(word: str) -> UnitNames:
    return next(style for style in _STYLES if word in style[_unit_ms(word)])


def _agreed(word: str, count: int) -> str:
    """`minute` or `minutes`; a word that is the same for one and for more stays."""
    one, more = next(names for style in _STYLES for names in style.values() if word in names)
    return one if count == 1 else more
