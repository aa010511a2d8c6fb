"""WebVTT as it is found: what the standard's parser reads, and a few slips that it would leave out.

Source: W3C WebVTT, "WebVTT file parsing", "WebVTT cue timings and settings parsing", "WebVTT cue text tokenizer".
Read beyond it: a comma before the thousandths, and minutes or hours of one digit.
"""

import html
import re
from collections.abc import Iterator

from guide.review.captions.base import Piece, ShownCaption

ARROW = "-->"

_STAMP = r"(?:(\d{1,6}):)?([0-5]?\d):([0-5]\d)[.,](\d{1,3})"
_TIMINGS = re.compile(rf"[ \t\f]*{_STAMP}[ \t\f]*-->[ \t\f]*{_STAMP}", re.ASCII)
_INLINE = re.compile(_STAMP, re.ASCII)

#: A tag goes on to its bracket, or to the end where it has none.
_TAG = re.compile(r"<([^>]*)>?")


def is_webvtt(text: str) -> bool:
    """Whether `text` begins as every WebVTT file does."""
    return re.match(r"WEBVTT(?:[ \t\n]|\Z)", text) is not None


def read_webvtt(text: str) -> list[ShownCaption]:
    """The captions of a WebVTT file, in its order; notes, styles, regions and broken captions are left out."""
    return [shown for timings, body in _cue_blocks(text.split("\n")) if (shown := _caption(timings, body))]


def _cue_blocks(lines: list[str]) -> Iterator[tuple[re.Match[str] | None, list[str]]]:
    """The times of each caption (None where they are none) and the lines under them, to an empty one or an arrow."""
    timings, body = None, list[str]()
    for line in [*lines, ""]:
        if line and ARROW not in line:
            body.append(line)
            continue
        yield timings, body
        timings, body = _TIMINGS.match(line), []


def time_ms(hours: str | None, minutes: str, seconds: str, fraction: str | None) -> int:
    """The parts of a time as they are written, in ms; `fraction` is the digits after the point."""
    whole_s = (int(hours or 0) * 60 + int(minutes)) * 60 + int(seconds)
    return whole_s * 1000 + int((fraction or "0").ljust(3, "0")[:3])


def _caption(timings: re.Match[str] | None, body: list[str]) -> ShownCaption | None:
    if timings is None:
        return None
    parts = timings.groups()
    start_ms, end_ms = time_ms(*parts[:4]), time_ms(*parts[4:])
    return ShownCaption(start_ms, end_ms, tuple(_pieces("\n".join(body), start_ms, end_ms)))


def _pieces(payload: str, start_ms: int, end_ms: int) -> Iterator[Piece]:
    """The words of a caption without tags and references; each time inside that comes after the last begins a piece."""
    at_ms, said = start_ms, ""
    for number, part in enumerate(_TAG.split(payload)):
        if number % 2 == 0:
            said += html.unescape(part)
        elif (stamp := _INLINE.fullmatch(part)) and at_ms < (inside_ms := time_ms(*stamp.groups())) < end_ms:
            yield Piece(at_ms, said)
            at_ms, said = inside_ms, ""
    yield Piece(at_ms, said)
