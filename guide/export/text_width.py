"""How wide text is on a terminal, and lines of text that fit a width."""

import unicodedata
from collections.abc import Iterable

ELLIPSIS = "…"


def width(text: str) -> int:
    """The columns that `text` takes on a terminal: marks and joiners 0, wide letters 2, all else 1.

    Source: Unicode Standard Annex 11 (East Asian Width).
    """
    if text.isascii():
        return len(text)
    return sum(map(_char_width, text))


def _char_width(char: str) -> int:
    if unicodedata.combining(char) or unicodedata.category(char) in ("Mn", "Me", "Cf"):
        return 0
    return 2 if unicodedata.east_asian_width(char) in "WF" else 1


def left(text: str, columns: int) -> str:
    """`text` with spaces after it, to `columns` columns."""
    return text + " " * (columns - width(text))


def right(text: str, columns: int) -> str:
    """`text` with spaces before it, to `columns` columns."""
    return " " * (columns - width(text)) + text


def cut(text: str, columns: int) -> str:
    """`text` if it fits `columns`, else as many whole words as fit, or letters of the first one, and an ellipsis.

    `columns` is at least 3, room for one wide letter.
    """
    if width(text) <= columns:
        return text
    room = columns - 1
    first, *_ = _filled(text.split(" "), room)
    return _head(first, room).rstrip(" ,;:.") + ELLIPSIS


def wrapped(text: str, columns: int) -> list[str]:
    """`text` in lines of at most `columns`, broken at spaces; a longer word is broken where the line ends."""
    words = [piece for word in text.split(" ") if word for piece in _pieces(word, columns)]
    return _filled(words, columns) or [""]


def _filled(words: Iterable[str], columns: int) -> list[str]:
    lines: list[str] = []
    for word in words:
        if lines and width(lines[-1]) + 1 + width(word) <= columns:
            lines[-1] += " " + word
        else:
            lines.append(word)
    return lines


def _pieces(word: str, columns: int) -> list[str]:
    pieces = []
    while width(word) > columns:
        head = _head(word, columns)
        pieces.append(head)
        word = word[len(head) :]
    return [*pieces, word]


def _head(text: str, columns: int) -> str:
    """The longest beginning of `text` that fits `columns`, with the marks that belong to its last letter."""
    taken = 0
    for index, char in enumerate(text):
        taken += _char_width(char)
        if taken > columns:
            return text[: max(index, 1)]
    return text
