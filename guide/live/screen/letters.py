"""Letters large enough to be read from three metres, made of blocks: parts of characters that a terminal has."""

import unicodedata
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files

#: How many dots high a letter is, and how wide a space between words and between letters.
DOTS, WORD_GAP, GAP = 5, 3, 1

#: What stands for what was left out.
MORE = "..."

#: The quarters of one character by which of them are set: upper left 1, upper right 2, lower left 4, lower right 8.
_BLOCKS = " ▘▝▀▖▌▞▛▗▚▐▜▄▙▟█"


@dataclass(frozen=True, slots=True)
class Size:
    """How high a letter is, in half rows (5 at least), and how wide each of its dots, in half columns.

    A dot of even width needs no more of a terminal than half blocks.
    """

    high: int
    wide: int

    @property
    def rows(self) -> int:
        """How many rows a line of such letters covers, to its last dot."""
        return (self.high + 1) // 2

    @property
    def line_rows(self) -> int:
        """How many rows a line takes with a space of half a row at least below it."""
        return self.high // 2 + 1


#: The size in which letters are drawn as they stand in their table.
PLAIN = Size(DOTS, 2)


def as_wide_as_high(high: int) -> int:
    """The width of the dots of letters that are not drawn narrower than they stand in their table."""
    return 2 * (high // DOTS)


@lru_cache(None)
def _glyphs() -> dict[str, tuple[str, ...]]:
    lines = (files("guide.live.screen") / "letters.txt").read_text(encoding="utf-8").splitlines()
    return {line[0]: tuple(line.split(" ")[1:]) for line in lines}


def plain_letters(text: str) -> str:
    """The text in capitals, without marks above and below them, and without signs that there is no large one for.

    So ṭrikoṇāsana becomes TRIKONASANA.
    """
    apart = unicodedata.normalize("NFKD", text.upper())
    kept = (letter for letter in apart if letter in _glyphs() or letter.isalnum() or letter.isspace())
    return " ".join("".join(kept).split())


def can_write(text: str) -> bool:
    """Whether there is a large letter for each of the text's, and any at all."""
    return _has_all(plain_letters(text)) and (not text.strip() or bool(plain_letters(text)))


def _has_all(drawn: str) -> bool:
    return all(letter == " " or letter in _glyphs() for letter in drawn)


def width(text: str, size: Size) -> int:
    """How many columns the text takes."""
    return (size.wide * _dots_wide(plain_letters(text)) + 1) // 2


def _dots_wide(drawn: str) -> int:
    dots = sum(WORD_GAP if letter == " " else len(_glyphs()[letter][0]) for letter in drawn)
    return dots + GAP * max(0, len(drawn) - 1)


@lru_cache(256)
def written(text: str, size: Size) -> tuple[str, ...]:
    """The text as `size.rows` rows of the same width."""
    rows = [_dots(text, row, size) for row in _stretched(size.high)]
    rows += [[False] * len(rows[0])] * (2 * size.rows - len(rows))
    return tuple(_blocks(upper, lower) for upper, lower in zip(rows[::2], rows[1::2], strict=True))


def _blocks(upper: Sequence[bool], lower: Sequence[bool]) -> str:
    """Two half rows as characters."""
    quarters = zip(upper[::2], upper[1::2], lower[::2], lower[1::2], strict=True)
    return "".join(_BLOCKS[a + 2 * b + 4 * c + 8 * d] for a, b, c, d in quarters)


def _stretched(high: int) -> list[int]:
    """Which row of dots each half row has: beams stay even, and what is over goes to the stems between them."""
    times, over = divmod(high, DOTS)
    highs = (times, times + over // 2, times, times + (over + 1) // 2, times)
    return [row for row, each in enumerate(highs) for _ in range(each)]


def _dots(text: str, row: int, size: Size) -> list[bool]:
    """One row of dots of the whole text, each `size.wide` long, filled up to whole columns."""
    parts = ("." * WORD_GAP if letter == " " else _glyphs()[letter][row] for letter in plain_letters(text))
    dots = [dot == "#" for dot in ("." * GAP).join(parts) for _ in range(size.wide)]
    return dots + [False] * (len(dots) % 2)


def wrapped(text: str, size: Size, columns: int) -> Sequence[str] | None:
    """The text in lines that fit into so many columns; None where a word alone is wider."""
    lines: list[str] = []
    for word in plain_letters(text).split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width(longer, size) <= columns:
            lines[-1] = longer
        elif width(word, size) <= columns:
            lines.append(word)
        else:
            return None
    return lines


@lru_cache(256)
def shortened(text: str, size: Size, columns: int, most: int) -> tuple[str, ...]:
    """The text in `most` lines at most; of one that needs more, as much as there is room for, and an ellipsis.

    A word that is wider than a line goes on in the next one, and no letter is ever cut.
    """
    drawn = plain_letters(text)
    lines = broken(drawn, size, columns)
    if len(lines) <= most:
        return tuple(lines)

    def cut(end: int) -> list[str]:
        return broken(drawn[:end].rstrip(" ,:-–.") + MORE, size, columns)

    end = max(0, bisect_right(range(len(drawn)), most, key=lambda end: len(cut(end))) - 1)
    # Whole words, unless the first alone is too long.
    return tuple(cut(drawn.rfind(" ", 0, end + 1) if " " in drawn[: end + 1] else end)[:most])


def broken(text: str, size: Size, columns: int) -> list[str]:
    """The text in lines; a word that is wider than a line is broken between two letters."""
    lines: list[str] = []
    for word in plain_letters(text).split():
        if lines and width(f"{lines[-1]} {word}", size) <= columns:
            lines[-1] += f" {word}"
            continue
        lines.append("")
        for letter in word:
            if lines[-1] and width(lines[-1] + letter, size) > columns:
                lines.append("")
            lines[-1] += letter
    return lines
