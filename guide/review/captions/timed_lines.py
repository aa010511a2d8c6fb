"""Transcripts in plain text: lines that begin with a time, as people write them, copy them and play them to songs.

A time (`1:05`, `[1:05]`, `(1:02:03)`, `[01:05.25]`, `1:05 - 1:09`, `0:01:05.000,0:01:09.000`) stands before the words
or on the line above. Words go on to the next time. A time without words ends those before it. Who speaks may stand
before the times (`Anna Lake  1:05`), if that is so throughout.
"""

import re
from dataclasses import dataclass

from guide.review.captions.base import Piece, ShownCaption, bare, over_by
from guide.review.captions.webvtt_reader import time_ms

_STAMP = r"(?:(\d{1,3}):)?(\d{1,3}):([0-5]\d)(?:[.,](\d{1,3}))?(?![\w:])"
_UNTIL = rf"[ \t]*(?:-{{1,3}}>?|–|—|to|,)[ \t]*{_STAMP}"
_AFTER = r"[ \t]*[\])>]?[ \t]*(?:[-–—:|](?:[ \t]+|$))?"
_LINE = re.compile(rf"[ \t]*[\[(<]?[ \t]*{_STAMP}(?:{_UNTIL})?{_AFTER}(.*)", re.ASCII)

#: A name: up to four words that begin with a capital or are a number, `Anna Lake`, `Speaker 1`.
_CALLED = r"[^\W\d_a-z][\w.'’&-]{0,30}(?:[ \t]+(?:[^\W\d_a-z][\w.'’&-]{0,30}|\d{1,3})){0,3}"
_NAMED = re.compile(rf"^[ \t]*[\[(<*]*{_CALLED}[\])>*]*[ \t]*[-–—:|,]?[ \t]*(?=[\[(<]?{_STAMP})", re.MULTILINE)


@dataclass(slots=True)
class TimedLine:
    """Words under way: the lines so far from a time on, to another if it is given."""

    start_ms: int
    end_ms: int | None
    lines: list[str]


def has_times(text: str) -> bool:
    """Whether a line of `text` begins with a time."""
    return any(map(_LINE.match, text.split("\n")))


def has_named_times(text: str) -> bool:
    """Whether two lines or more begin with a name and a time after it."""
    return sum(1 for _, _ in zip(_NAMED.finditer(text), range(2), strict=False)) == 2


def read_named_lines(text: str) -> list[ShownCaption]:
    """The words under their times, as `read_timed_lines` has them, without the names that stand before the times."""
    return read_timed_lines(_NAMED.sub("", text))


def read_timed_lines(text: str) -> list[ShownCaption]:
    """The words of `text` under their times, in its order; what stands before the first time is left out.

    Where no end is given words are over when the next begin, or when the slowest voice has said them.
    """
    spoken: list[TimedLine] = []
    for line in text.split("\n"):
        if found := _LINE.match(line):
            spoken.append(_begun(found))
        elif spoken:
            spoken[-1].lines.append(line)
    following = [*(one.start_ms for one in spoken[1:]), None]
    return [_shown(one, next_ms) for one, next_ms in zip(spoken, following, strict=False)]


def _begun(found: re.Match[str]) -> TimedLine:
    parts = found.groups()
    end_ms = time_ms(*parts[4:8]) if parts[5] else None
    return TimedLine(time_ms(*parts[:4]), end_ms, [parts[8]])


def _shown(one: TimedLine, next_ms: int | None) -> ShownCaption:
    text = "\n".join(one.lines)
    end_ms = one.end_ms
    if end_ms is None:
        end_ms = over_by(one.start_ms, bare(text))
        if next_ms is not None and next_ms > one.start_ms:
            end_ms = min(end_ms, next_ms)
    return ShownCaption(one.start_ms, end_ms, (Piece(one.start_ms, text),))
