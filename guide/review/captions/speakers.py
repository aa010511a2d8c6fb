"""Who speaks, as captions write it before the words (`>>`, `Anna:`, `SPEAKER 1:`): no words of the class."""

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from guide.review.captions.base import Piece, ShownCaption

#: Up to three words with capitals or numbers, in brackets or not, and a colon: `Anna Lake:`, `SPEAKER_00:`, `(Tom):`.
_WORD = r"[^\W\d_a-z][\w.'’&-]{0,30}"
_CALLED = rf"[\[(]?({_WORD}(?:[ \t](?:{_WORD}|\d{{1,3}})){{0,2}})[\])]?[ \t]?:(?=[ \t]|$)"
_LABEL = re.compile(rf"(?m)^[ \t]*{_CALLED}")

#: Where another speaker begins. (Source: the usage of captions in television.)
_TURN = re.compile(rf"(?m)^[ \t]*>{{2,3}}[ \t]*(?:{_CALLED})?")

#: Those who are called by what they are.
_ROLE = re.compile(
    r"(speaker|teacher|instructor|student|host|guest|narrator|voice|person|participant|unknown)([ _]?[\w]{1,3})?", re.I
)

#: A name stands before the words more than once.
_AGAIN = 2


def without_speakers(shown: Sequence[ShownCaption]) -> list[ShownCaption]:
    """The captions without who speaks.

    A name is one that stands so more than once and has no word of the pose library in it: `Mountain:` stays.
    """
    counted = Counter(label for one in shown for piece in one.pieces for label in _labels(piece.text))
    names = {label for label, count in counted.items() if _ROLE.fullmatch(label) or count >= _AGAIN}
    names = {label for label in names if _ROLE.fullmatch(label) or not _is_taught(label)}
    return [replace(one, pieces=tuple(_without(piece, names) for piece in one.pieces)) for one in shown]


def _labels(text: str) -> list[str]:
    return [found[1] for found in _LABEL.finditer(_TURN.sub("", text))]


def _without(piece: Piece, names: set[str]) -> Piece:
    def name_left_out(found: re.Match[str]) -> str:
        return "" if found[1] in names else found[0]

    return Piece(piece.start_ms, _LABEL.sub(name_left_out, _TURN.sub("", piece.text)))


def _is_taught(label: str) -> bool:
    """Whether a word of it is one that classes are taught with."""
    from guide.sequence.poses.class_words import is_class_word

    return any(map(is_class_word, label.split()))
