"""Quiet inside words: it travels in them as wide spaces, so that whoever shows or counts words finds a space there."""

import re

#: The spaces that stand for a second and for a tenth of one. What a teacher types of these is a plain space.
_SECOND, _TENTH = "\u2003", "\u2009"

#: A blank line and `…` in words. Source: pauses of speech are long from a second on, medium from 200 ms (Campione and
#: Véronis, 2002).
PARAGRAPH_MS = 1200
DOTS_MS = 700

#: The longest within words; a longer one is a step.
LONGEST_MS = 60_000

_WIDE = re.compile(f" *[{_SECOND}{_TENTH}]+ *")
_PAUSE = re.compile(rf" *([{_SECOND}{_TENTH}]+) *|(?<=[\w.,;:!?])\s*(?:…|\.\.\.+)\s*(?=\w)")


def pause(ms: int) -> str:
    """The spaces that stand for a pause, which is made of tenths of a second."""
    return _SECOND * (ms // 1000) + _TENTH * (ms % 1000 // 100)


def parted(text: str) -> list[tuple[str, int]]:
    """The words of a text, cut where a pause is asked for, each with the pause after them in ms."""
    parts, begins = [], 0
    for found in _PAUSE.finditer(text):
        words = text[begins : found.start()]
        if found[1]:
            parts.append((words, 1000 * found[1].count(_SECOND) + 100 * found[1].count(_TENTH)))
        else:
            parts.append((f"{words}…" if words[-1].isalpha() else words, DOTS_MS))
        begins = found.end()
    return parts if begins == len(text) else [*parts, (text[begins:], 0)]


def shown(text: str) -> str:
    """A text as it is shown, with one space where it pauses."""
    return _WIDE.sub(" ", text).rstrip()
