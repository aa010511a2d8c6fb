"""Text normalisation, from words as a teacher writes them to words as they are said: numbers, units, sides, signs.

What is shown in captions and sheets is never touched; this is only what the voice is given.
"""

import re
import unicodedata
from collections.abc import Callable
from functools import lru_cache
from re import Match

from guide.voice.number_words import cardinal, decimal, digits, fraction, ordinal

_UNITS = {
    "s": ("second", "seconds"),
    "sec": ("second", "seconds"),
    "secs": ("second", "seconds"),
    "min": ("minute", "minutes"),
    "mins": ("minute", "minutes"),
    "h": ("hour", "hours"),
    "hr": ("hour", "hours"),
    "hrs": ("hour", "hours"),
    "cm": ("centimetre", "centimetres"),
    "mm": ("millimetre", "millimetres"),
    "km": ("kilometre", "kilometres"),
    "kg": ("kilogram", "kilograms"),
    "°": ("degree", "degrees"),
}
_ROMAN = {"II": "two", "III": "three", "IV": "four", "VI": "six", "VII": "seven", "VIII": "eight", "IX": "nine"}

#: A number as written: 5, 2.5, 1,000 (and no more than that: a comma after it stays a comma).
_NUMBER = r"\d{1,3}(?:,\d{3})+(?:\.\d+)?|\d+(?:\.\d+)?"


def normalised(text: str) -> str:
    """`text` as it is said, with names in other spellings (ā, ṛ, ś) still as they are written.

    The result has letters, spaces and the marks `. , ; : ! ? ' -` only, and ends a sentence. It is empty when nothing
    in `text` can be said.
    """
    said = unicodedata.normalize("NFC", text)
    for pattern, put in _RULES:
        said = pattern.sub(put, said)
    said = "".join(char if _sayable(char) else " " for char in said)
    for pattern, mark in _TIDY:
        said = pattern.sub(mark, said)
    said = said.strip(" ,;:-")
    if not any(char.isalpha() for char in said):
        return ""
    return said if said[-1] in ".!?" else f"{said}."


def folded(text: str) -> str:
    """`text` with the diacritics of Latin letters taken off (é is e, ø is o); other scripts stay as they are."""
    if text.isascii():
        return text
    return "".join(_plain_letter(char) for char in unicodedata.normalize("NFC", text))


@lru_cache(maxsize=1024)
def _plain_letter(char: str) -> str:
    if char in _SPECIAL:
        return _SPECIAL[char]
    base = unicodedata.normalize("NFKD", char)[0]
    return base if base.isascii() and base.isalpha() else char


_SPECIAL = {"ß": "ss", "æ": "ae", "Æ": "Ae", "œ": "oe", "Œ": "Oe", "ø": "o", "Ø": "O", "đ": "d", "ł": "l", "Ł": "L"}


def _sayable(char: str) -> bool:
    return char in " .,;:!?'-" or unicodedata.category(char)[0] in "LM"


def _count(text: str) -> str:
    whole, _, part = text.replace(",", "").partition(".")
    return decimal(whole, part) if part else cardinal(int(whole))


def _unit(found: Match[str]) -> str:
    number, unit = found["number"], found["unit"]
    return f"{_count(number)} {_UNITS[unit.rstrip('.').lower()][number != '1']}"


def _clock(found: Match[str]) -> str:
    hours, minutes = int(found[1]), int(found[2])
    past = "" if minutes == 0 else f" oh {cardinal(minutes)}" if minutes < 10 else f" {cardinal(minutes)}"
    half = "in the morning" if found[3].lower() == "a" else "in the afternoon"
    return f"{cardinal(hours)}{past} {half}"


def _length(found: Match[str]) -> str:
    counts = [int(part) for part in found[0].split(":")]
    names = ("hour", "minute", "second")[-len(counts) :]
    parts = [f"{cardinal(n)} {name}{'' if n == 1 else 's'}" for n, name in zip(counts, names, strict=True) if n]
    return " and ".join(filter(None, (", ".join(parts[:-1]), *parts[-1:]))) or "zero seconds"


def _ratio(found: Match[str]) -> str:
    return " to ".join(_count(part) for part in found[0].split(":"))


def _row(found: Match[str]) -> str:
    return ", ".join(_count(part) for part in re.split(r"\s*[-–]\s*", found[0]))


def _fraction(found: Match[str]) -> str:
    whole, upper, lower = found[1], int(found[2]), int(found[3])
    if not 0 < upper < lower:
        return " ".join(cardinal(int(part)) for part in (whole, upper, lower) if part is not None)
    said = fraction(upper, lower)
    if not whole:
        return said
    return f"{cardinal(int(whole))} and {'a ' + said[4:] if upper == 1 else said}"


def _number(found: Match[str]) -> str:
    whole = found[0].partition(".")[0].replace(",", "")
    return digits(whole) if len(whole) > 1 and whole[0] == "0" else _count(found[0])


def _roman(found: Match[str]) -> str:
    return _ROMAN[found[0]]


def _rule(pattern: str, put: str | Callable[[Match[str]], str]) -> tuple[re.Pattern[str], str | Callable[..., str]]:
    return re.compile(pattern), put


#: In this order: what is longest and surest first, so that no rule takes a part of what another should read whole.
_RULES = (
    _rule(r"[\u200b-\u200f\ufe00-\ufe0f\u20d0-\u20ff]", ""),
    _rule(r"[‘’ʼ`´]", "'"),
    _rule(r"[“”„«»\"]", " "),
    _rule(r"(?<=\d)½|½", " 1/2"),
    _rule(r"¼", " 1/4"),
    _rule(r"¾", " 3/4"),
    _rule(r"⅓", " 1/3"),
    _rule(r"⅔", " 2/3"),
    _rule(r"(?i)\be\.g\.,?", "for example,"),
    _rule(r"(?i)\bi\.e\.,?", "that is,"),
    _rule(r"(?i)\betc\b\.?(?=(\s+[a-z]|,)?)", "and so on"),
    _rule(r"(?i)\bvs\b\.?", "versus"),
    _rule(r"(?i)\bw/o(?=\s)", "without"),
    _rule(r"(?i)\bw/(?=\s)", "with"),
    _rule(r"(?<![\w.-])\d+(?:\s?[-–]\s?\d+){2,3}(?![\w-])", _row),
    _rule(r"(?<=\d)(\s?(?:(?:secs?|s|mins?|hrs?|h|cm)\b|°))?\s?[-–—]\s?(?=\d)", r"\1 to "),
    _rule(r"\b(\d{1,2}):(\d\d)\s?([aApP])\.?[mM]\b\.?", _clock),
    _rule(r"(?<![\w:])\d+:[0-5]\d(:[0-5]\d)?(?![\w:])", _length),
    _rule(r"(?<![\w:])\d+(\.\d)?(:\d+(\.\d)?)+(?![\w:])", _ratio),
    _rule(r"(?<![\w/.])(?:(\d+)\s+)?(\d{1,2})\s?/\s?(\d{1,2})(?![\w/])", _fraction),
    _rule(r"\b(\d+)(?:st|nd|rd|th)\b", lambda found: ordinal(int(found[1]))),
    _rule(r"\b(\d+)\s?[x×](?!\w)", lambda found: f"{cardinal(int(found[1]))} times"),
    _rule(r"(?<!\w)[x×]\s?(\d+)\b", lambda found: f"{cardinal(int(found[1]))} times"),
    _rule(
        rf"(?i)(?<!\bthe )(?<!\byour )(?<!\btheir )(?<![\w.])(?P<number>{_NUMBER})\s?-?"
        r"(?P<unit>secs?\b|mins?\b|hrs?\b|s\b|h\b|cm\b|mm\b|km\b|kg\b|°)",
        _unit,
    ),
    _rule(r"#\s?(?=\d)", "number "),
    _rule(r"~\s?(?=\d)", "about "),
    _rule(r"(?<![\w)])[-−](?=\d)", "minus "),
    _rule(r"%", " percent"),
    _rule(r"\b(\d+)'?s\b", lambda found: f"{cardinal(int(found[1]))}s".replace("ys", "ies")),
    _rule(_NUMBER, _number),
    _rule(r"\b(?:VIII|VII|III|II|IV|VI|IX)\b", _roman),
    _rule(r"(?i:(?<=warrior )|(?<=asana )|(?<=āsana ))I\b(?!')", "one"),
    _rule(r"\(L\)|(?<![\w'])L(?![\w'])", "left"),
    _rule(r"\(R\)|(?<![\w'])R(?![\w'])", "right"),
    _rule(r"\s*/\s*", " or "),
    _rule(r"&", " and "),
    _rule(r"\s\+\s|\+", " plus "),
    _rule(r"=", " equals "),
    _rule(r"@", " at "),
    _rule(r"[\[\](){}<>]|->|→|\s[-–]+\s|—|–", ", "),
    _rule(r"…", "..."),
)

#: Marks left beside each other by what was taken away.
_TIDY = (
    _rule(r"\s+", " "),
    _rule(r" ([.,;:!?])", r"\1"),
    _rule(r"([,;:])(?:[,;:]|\s)*(?=[,;:.!?])", ""),
    _rule(r"([.!?])[,;:]+", r"\1"),
    _rule(r"([,;:])(?=[^\s.,;:!?'])", r"\1 "),
)
