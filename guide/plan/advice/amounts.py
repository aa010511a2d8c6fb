"""Lengths that are said in words: `ten breaths`, `half a minute`, `a minute and a half`, `90 seconds`."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from guide.numerals import ONES, TENS

_NUMBERS = {
    **{word: number for number, word in enumerate(ONES)},
    **{word: 10 * number for number, word in enumerate(TENS, start=2)},
    "a": 1,
    "an": 1,
}
_PARTS = {"half": Fraction(1, 2), "quarter": Fraction(1, 4)}
_UNIT_MS = {"second": 1000, "minute": 60_000, "hour": 3_600_000}

_KIND = r"(?:(?:more|full|long|slow|deep|whole|quiet|easy|steady|calm|soft|good|even|last|complete|further|other) )*"
_WORD = rf"(?:{'|'.join((*TENS, *ONES[1:]))})"
_NUMBER = rf"(?:\d+(?:[.,]\d+)?|{_WORD}(?:[- ]{_WORD})?|(?:a )?dozen|an?)"
_AMOUNT = re.compile(
    rf"(?<![-\w])(?:(?:(?P<parts>{_NUMBER}) )?(?P<part>half|quarters?)(?: of)? (?P<of>an? )?|"
    rf"(?P<count>{_NUMBER})(?P<and_a_half> and a half)?[ -])"
    rf"(?P<kind>{_KIND})(?P<unit>breaths?|(?:rounds|cycles) of (?:the )?breath|minutes?|seconds?|hours?)\b"
    r"(?P<then> and a (?:half|quarter)\b)?",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Amount:
    """How long something is said to last, and from where to where it stands in its text.

    `count` is a number of breaths, or of milliseconds where `in_time` says so; `is_more` is for `five more breaths`.
    """

    count: Fraction
    in_time: bool
    is_more: bool
    start: int
    end: int


def amounts(text: str) -> Iterator[Amount]:
    """The lengths that a text names."""
    for found in _AMOUNT.finditer(text):
        if found["part"] and not (found["of"] or found["parts"]):
            continue
        unit = found["unit"].lower().rstrip("s")
        number = _number(found["count"] or found["parts"] or "one")
        number *= _PARTS[found["part"].lower().rstrip("s")] if found["part"] else 1
        number += _PARTS["half"] if found["and_a_half"] else 0
        number += _PARTS[found["then"].split()[-1].lower()] if found["then"] else 0
        is_more = "more" in found["kind"].lower()
        yield Amount(number * _UNIT_MS.get(unit, 1), unit in _UNIT_MS, is_more, *found.span())


def _number(text: str) -> Fraction:
    if text[0].isdigit():
        return Fraction(text.replace(",", "."))
    if "dozen" in text.lower():
        return Fraction(12)
    return Fraction(sum(_NUMBERS[word] for word in re.split(r"[- ]", text.lower())))
