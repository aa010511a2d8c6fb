"""SubRip captions as they are found. There is no standard; this reads what is common, and more than is usual."""

import html
import re
from itertools import pairwise

from guide.review.captions.base import Piece, ShownCaption
from guide.review.captions.webvtt_reader import time_ms

_STAMP = r"(?:(\d{1,6})[ \t]*:)?[ \t]*(\d{1,2})[ \t]*:[ \t]*([0-5]?\d)(?:[ \t]*[,.:][ \t]*(\d{1,3}))?"
_TIMINGS = re.compile(rf"^[ \t\f]*{_STAMP}[ \t]*-{{1,3}}>[ \t]*{_STAMP}(?!\d)[^\n]*$", re.ASCII | re.MULTILINE)

#: Looks and places: `<i>`, `<font color="red">`, `{\an8}`.
_LOOKS = re.compile(r"</?[A-Za-z][^<>\n]*>|\{\\[^{}\n]*\}")


def is_subrip(text: str) -> bool:
    """Whether a line of `text` has the times of a caption."""
    return _TIMINGS.search(text) is not None


def read_subrip(text: str) -> list[ShownCaption]:
    """The captions of a SubRip file, in its order; their lines go on, over empty ones too, to the next times."""
    found = list(_TIMINGS.finditer(text))
    between = [_without_number(text[one.end() : after.start()]) for one, after in pairwise(found)]
    last = [text[one.end() :] for one in found[-1:]]
    return [_caption(timings, body) for timings, body in zip(found, [*between, *last], strict=True)]


def _without_number(body: str) -> str:
    """The lines without the number of the next caption: digits alone on the last, directly above its times."""
    lines = body.split("\n")[:-1]
    return "\n".join(lines[:-1] if lines[-1].strip(" \t").isdecimal() else lines)


def _caption(timings: re.Match[str], body: str) -> ShownCaption:
    parts = timings.groups()
    start_ms, end_ms = time_ms(*parts[:4]), time_ms(*parts[4:])
    return ShownCaption(start_ms, end_ms, (Piece(start_ms, html.unescape(_LOOKS.sub("", body))),))
