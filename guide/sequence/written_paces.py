"""Paces as a class file writes them: fixed, or with room to give when the class has a slot to fill."""

import re
from fractions import Fraction

from guide.sequence import length_text
from guide.sequence.fields import Field, FileReading, known_fields, length
from guide.sequence.length_text import NotALength
from guide.sequence.model import ElasticPace, WrittenPace
from guide.sequence.nodes import Table, Text
from guide.sequence.steps import Pace, PaceRoom

PACE_LIMITS_MS = {
    "inhale": (1_000, length_text.LONGEST_BREATH_MS),
    "full": (0, length_text.LONGEST_PAUSE_MS),
    "exhale": (1_000, length_text.LONGEST_BREATH_MS),
    "empty": (0, length_text.LONGEST_PAUSE_MS),
}

_RATES = re.compile(
    r"([0-9]{1,3}(?:\.[0-9])?)(?:\s*breaths?)?\s+to\s+([0-9]{1,3}(?:\.[0-9])?) breaths? (?:a|per) minute"
)

#: A part of a pace in milliseconds: the least and the most.
Range = tuple[int, int]


def pace(reading: FileReading, field: Field) -> WrittenPace | None:
    """A pace, as a mapping or as `6 breaths a minute`; ranges in it make it elastic."""
    if isinstance(field.node, Table):
        return pace_parts(reading, field, field.node)
    fix = "write `6 breaths a minute` or a mapping with `inhale` and `exhale`"
    return length(reading, field, read_rates, fix)


def move_pace(reading: FileReading, field: Field) -> WrittenPace | None:
    """The pace of a move: as of any step, or one time, which is how long the move lasts: `10 s`, `8 to 10 s`."""
    try:
        time = isinstance(field.node, Text) and _read_range(field.node.value.strip())
    except NotALength:
        return pace(reading, field)
    least_ms, most_ms = PACE_LIMITS_MS["inhale"]
    if not time:
        return pace(reading, field)
    if not least_ms <= time[0] <= time[1] <= most_ms:
        span = f"{length_text.write_time(least_ms)} to {length_text.write_time(most_ms)}"
        reading.fault(field.node, f"a move lasts {span}", "write a time between them, or a pose with `hold`")
        return None
    return between([time, (0, 0), time, (0, 0)])


def _read_range(text: str) -> Range:
    return length_text.read_time_range(text) if " to " in text else (length_text.read_time(text),) * 2


def pace_parts(reading: FileReading, field: Field, table: Table) -> WrittenPace | None:
    """A pace given by its parts; None where it cannot be one, which is noted."""
    found = known_fields(reading, table, PACE_LIMITS_MS, f"`{field.name}`")
    parts = {name: _part(reading, found[name]) for name in found}
    for name in ("inhale", "exhale"):
        if name not in found:
            reading.fault(table, f"`{field.name}` needs `{name}`", f"add `{name}: 4 s`")
    values = [parts.get(name, (0, 0)) for name in PACE_LIMITS_MS]
    exact = [value for value in values if value is not None]
    return between(exact) if len(exact) == 4 and {"inhale", "exhale"} <= set(found) else None


def _part(reading: FileReading, field: Field) -> Range | None:
    least_ms, most_ms = PACE_LIMITS_MS[field.name]

    def read(text: str) -> Range:
        made = _read_range(text)
        if not least_ms <= made[0] <= made[1] <= most_ms:
            span = f"{length_text.write_time(least_ms)} to {length_text.write_time(most_ms)}"
            raise NotALength(f"`{field.name}` lasts {span}", "write a time between them")
        return made

    return length(reading, field, read, length_text.TIME_FIX)


def between(parts: list[Range]) -> WrittenPace:
    """The pace whose four parts lie in these ranges: as usual in the middle of each."""
    quickest = Pace(*(Fraction(least) for least, _ in parts))
    slowest = Pace(*(Fraction(most) for _, most in parts))
    if quickest == slowest:
        return quickest
    usual = Pace(*(Fraction(least + most, 2) for least, most in parts))
    return ElasticPace(usual, PaceRoom(quickest, slowest))


def read_rates(text: str) -> WrittenPace:
    """`6 breaths a minute`, or `6 to 7.5 breaths a minute`, whose usual breath lasts the middle of the two.

    Raises:
        NotALength: when it is neither, or when a breath would last under 1 s or over 30 s.
    """
    found = _RATES.fullmatch(text)
    if found is None:
        return length_text.read_rate(text)
    slowest, quickest = (length_text.read_rate(f"{rate} breaths a minute") for rate in found.groups())
    if slowest.period_ms < quickest.period_ms:
        fix = f"write `{found[2]} to {found[1]} breaths a minute`"
        raise NotALength(f"`{length_text.clipped(text)}` runs backwards", fix)
    if slowest == quickest:
        return slowest
    half_ms = (slowest.inhale_ms + quickest.inhale_ms) / 2
    return ElasticPace(Pace(half_ms, Fraction(0), half_ms, Fraction(0)), PaceRoom(quickest, slowest))


def split(pace: WrittenPace) -> tuple[Pace, PaceRoom | None]:
    """The usual pace, and its room where it has any."""
    return (pace.usual, pace.room) if isinstance(pace, ElasticPace) else (pace, None)
