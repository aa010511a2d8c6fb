"""How wide text is on a terminal, and lines of text that fit a width."""

from collections.abc import Iterable

import wcwidth

ELLIPSIS = "…"


def width(text: str) -> int:
    """The columns that `text` takes on a terminal: marks and joiners 0, wide letters 2, all else 1."""
    return len(text) if text.isascii() else wcwidth.width(text, control_codes="ignore")


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
    first, *_ = _filled(text.split(" "), room, room)
    return _head(first, room).rstrip(" ,;:.") + ELLIPSIS


def wrapped(text: str, columns: int, later: int | None = None) -> list[str]:
    """`text` in lines of at most `columns`, broken at spaces; a longer word is broken where the line ends.

    With `later`, at most `columns`, the lines after the first are no longer than that.
    """
    rest = columns if later is None else later
    words = [piece for word in text.split(" ") if word for piece in _pieces(word, rest)]
    return _filled(words, columns, rest) or [""]


def _filled(words: Iterable[str], columns: int, later: int) -> list[str]:
    lines: list[str] = []
    for word in words:
        if lines and width(f"{lines[-1]} {word}") <= (columns if len(lines) == 1 else later):
            lines[-1] += f" {word}"
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
    """The longest beginning of `text` that fits `columns`, at least one letter, with the marks that belong to it."""
    head = ""
    for letter in wcwidth.iter_graphemes(text):
        if head and width(head + letter) > columns:
            break
        head += letter
    return head
