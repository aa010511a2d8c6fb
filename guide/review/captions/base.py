"""One caption as a file of any format shows it, before it becomes segments of a transcript; and how to add a format.

To add a format: write a file beside this one with a pure function from the text of a file, with `\\n` as its only line
end, to a list of `ShownCaption`, and put it into `FORMATS` in `guide/review/captions/transcript.py` with what knows the
format by its content. Nothing in a file is too broken to be read: what is not a caption is left out.
"""

import re
from dataclasses import dataclass

from guide.plan.estimate import spoken_ms

#: A voice so slow that no teacher leads a class with it; words are over by then, however long nothing else begins.
SLOWEST = 0.4

#: Sounds and music told in brackets are no words of the teacher's. (Common practice in captions, no source.)
_TOLD_SOUND = re.compile(r"\[[^\[\]\n]{0,60}\]|[♪♫]")

#: Marks that show nothing: zero-width spaces and joiners, directions, soft hyphens, the mark at the start of a file.
_NOTHING = re.compile("[\u00ad\u200b-\u200f\u202a-\u202e\u2060-\u2064\ufeff]")


@dataclass(frozen=True, slots=True)
class Piece:
    """Words that begin at `start_ms`, as a file has them, with `\\n` where a line ends."""

    start_ms: int
    text: str


@dataclass(frozen=True, slots=True)
class ShownCaption:
    """What stands on the screen from `start_ms` to `end_ms`: one piece, or more where words have times of their own."""

    start_ms: int
    end_ms: int
    pieces: tuple[Piece, ...]


def bare(text: str) -> str:
    """The words of `text` on one line, without sounds told in brackets and marks that show nothing."""
    return " ".join(_TOLD_SOUND.sub(" ", _NOTHING.sub("", text)).split())


def over_by(start_ms: int, text: str) -> int:
    """When words that began at `start_ms` are over at the latest, in ms, if nothing else says so."""
    return start_ms + spoken_ms(text, SLOWEST)
