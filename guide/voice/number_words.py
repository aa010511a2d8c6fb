"""English words for numbers, up to a billion: as many as a class can need."""

from guide.numerals import ONES, TENS

_ORDINALS = {
    "one": "first",
    "two": "second",
    "three": "third",
    "five": "fifth",
    "eight": "eighth",
    "nine": "ninth",
    "twelve": "twelfth",
}
_PARTS = {2: ("half", "halves"), 4: ("quarter", "quarters")}

#: The first number that is read digit by digit.
TOO_LARGE = 1_000_000_000


def cardinal(number: int) -> str:
    """`number` in words: 21 is "twenty-one", 105 "one hundred and five". Raises ValueError below 0."""
    if number < 0:
        raise ValueError("a number to be said is not negative")
    if number >= TOO_LARGE:
        return digits(str(number))
    for size, name in ((1_000_000, "million"), (1000, "thousand"), (100, "hundred")):
        if number >= size:
            rest = number % size
            joint = " and " if 0 < rest < 100 else " "
            return f"{cardinal(number // size)} {name}" + (f"{joint}{cardinal(rest)}" if rest else "")
    if number < 20:
        return ONES[number]
    return TENS[number // 10 - 2] + (f"-{ONES[number % 10]}" if number % 10 else "")


def ordinal(number: int) -> str:
    """`number` as a place in a row: 3 is "third", 22 "twenty-second"."""
    words = cardinal(number)
    cut = max(words.rfind(" "), words.rfind("-")) + 1
    head, last = words[:cut], words[cut:]
    if last in _ORDINALS:
        return head + _ORDINALS[last]
    return head + (f"{last[:-1]}ieth" if last.endswith("y") else f"{last}th")


def decimal(whole: str, fraction: str) -> str:
    """Digits around a decimal point: "2" and "5" are "two point five"."""
    return f"{cardinal(int(whole))} point {digits(fraction)}"


def digits(text: str) -> str:
    """Digits one by one."""
    return " ".join(ONES[int(digit)] for digit in text)


def fraction(upper: int, lower: int) -> str:
    """A part of one, `upper` over `lower`: "one half", "three quarters", "two thirds"."""
    single, several = _PARTS.get(lower) or (ordinal(lower), f"{ordinal(lower)}s")
    return f"{cardinal(upper)} {single if upper == 1 else several}"
