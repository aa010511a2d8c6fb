"""SubStation Alpha, `.ass` and `.ssa`: what is spoken, without looks and places.

Source: the header of such a file itself; `Format:` names the fields of each `Dialogue:`, and the text is the last.
"""

import re
from collections.abc import Iterator

from guide.review.captions.base import Piece, ShownCaption
from guide.review.captions.webvtt_reader import time_ms

#: The fields where a file does not name them. (Source: the order that every program writes.)
_USUAL = ["layer", "start", "end", "style", "name", "marginl", "marginr", "marginv", "effect", "text"]

_BEGINS = re.compile(r"(?>\s*;[^\n]*\n)*+\s*\[(?:Script Info|V4\+? Styles|Events)\]", re.IGNORECASE)
_EVENT = re.compile(r"^[ \t]*(Format|Dialogue|\[[^\]\n]+\])[ \t]*:?[ \t]*(.*)$", re.IGNORECASE | re.MULTILINE)
_STAMP = re.compile(r"[ \t]*(\d{1,6}):([0-5]?\d):([0-5]?\d)(?:[.,:](\d{1,3}))?[ \t]*", re.ASCII)

#: `{\an8}`, `{a note}`; a drawing has no words; a line that breaks, and a blank that does not.
_LOOKS = re.compile(r"\{[^{}\n]*\}")
_DRAWING = re.compile(r"\{[^{}\n]*\\p[1-9]")
_BREAK = re.compile(r"\\[Nn]")


def is_substation(text: str) -> bool:
    """Whether `text` begins as such a file does, with the name of a part, and has something spoken."""
    return _BEGINS.match(text) is not None


def read_substation(text: str) -> list[ShownCaption]:
    """What is spoken, in the file's order; comments, drawings and lines without times are left out."""
    return list(_captions(text))


def _captions(text: str) -> Iterator[ShownCaption]:
    named = _USUAL
    for kind, rest in _EVENT.findall(text):
        if kind.lower() == "format":
            named = [name.strip().lower() for name in rest.split(",")]
        elif kind.lower() == "dialogue":
            fields = dict(zip(named, rest.split(",", len(named) - 1), strict=False))
            start, end = (_STAMP.fullmatch(fields.get(name, "")) for name in ("start", "end"))
            said = fields.get("text", "")
            if start and end and not _DRAWING.search(said):
                words = _BREAK.sub("\n", _LOOKS.sub("", said)).replace("\\h", " ")
                start_ms = time_ms(*start.groups())
                yield ShownCaption(start_ms, time_ms(*end.groups()), (Piece(start_ms, words),))
