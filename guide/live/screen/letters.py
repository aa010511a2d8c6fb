"""Letters large enough to be read from three metres, made of half blocks, which every terminal and console has."""

import unicodedata
from collections.abc import Sequence
from functools import lru_cache
from importlib.resources import files

#: How many dots high a letter is, and how wide a space between words and between letters.
HIGH, WORD_GAP, GAP = 5, 3, 1

#: Two dots of one character: which of the upper and the lower are set.
_BLOCKS = {(False, False): " ", (True, False): "▀", (False, True): "▄", (True, True): "█"}


@lru_cache(None)
def _glyphs() -> dict[str, tuple[str, ...]]:
    lines = (files("guide.live.screen") / "letters.txt").read_text(encoding="utf-8").splitlines()
    return {line[0]: tuple(line.split(" ")[1:]) for line in lines}


def plain_letters(text: str) -> str:
    """The text in capitals and without marks above and below them (ṭrikoṇāsana becomes TRIKONASANA)."""
    apart = unicodedata.normalize("NFKD", text.upper())
    return "".join(letter for letter in apart if not unicodedata.combining(letter))


def can_write(text: str) -> bool:
    """Whether there is a large letter for each of the text's."""
    return all(letter == " " or letter in _glyphs() for letter in plain_letters(text))


def width(text: str, scale: int) -> int:
    """How many columns the text takes."""
    drawn = plain_letters(text)
    dots = sum(WORD_GAP if letter == " " else len(_glyphs()[letter][0]) for letter in drawn)
    return scale * (dots + GAP * max(0, len(drawn) - 1))


def rows_of(scale: int) -> int:
    """How many rows a line of letters takes, the space below them included."""
    return (HIGH * scale) // 2 + 1


def written(text: str, scale: int) -> tuple[str, ...]:
    """The text as `rows_of(scale)` rows of the same width, each dot `scale` columns wide and as many half rows high."""
    rows = [_dots(text, row, scale) for row in range(HIGH) for _ in range(scale)]
    rows += [[False] * len(rows[0])] * (2 * rows_of(scale) - len(rows))
    return tuple(
        "".join(_BLOCKS[pair] for pair in zip(upper, lower, strict=True))
        for upper, lower in zip(rows[::2], rows[1::2], strict=True)
    )


def _dots(text: str, row: int, scale: int) -> list[bool]:
    """One row of dots of the whole text."""
    parts = (["." * WORD_GAP] if letter == " " else [_glyphs()[letter][row]] for letter in plain_letters(text))
    line = ("." * GAP).join(part for (part,) in parts)
    return [dot == "#" for dot in line for _ in range(scale)]


def wrapped(text: str, scale: int, columns: int) -> Sequence[str] | None:
    """The text in lines that fit into so many columns; None where a word alone is wider."""
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width(longer, scale) <= columns:
            lines[-1] = longer
        elif width(word, scale) <= columns:
            lines.append(word)
        else:
            return None
    return lines
