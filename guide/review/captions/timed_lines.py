"""Transcripts in plain text: lines that begin with a time, as people write them, copy them and play them to songs.

A time (`1:05`, `[1:05]`, `(1:02:03)`, `[01:05.25]`, `1:05 - 1:09`, `0:01:05.000,0:01:09.000`) stands before the words
or on the line above. Words go on to the next time. A time without words ends those before it.
"""

import re
from dataclasses import dataclass
from itertools import pairwise

from guide.review.captions.base import Piece, ShownCaption, bare, over_by
from guide.review.captions.webvtt_reader import time_ms

_STAMP = r"(?:(\d{1,3}):)?(\d{1,3}):([0-5]\d)(?:[.,](\d{1,3}))?(?![\w:])"
_UNTIL = rf"[ \t]*(?:-{{1,3}}>?|–|—|to|,)[ \t]*{_STAMP}"
_LINE = re.compile(rf"[ \t]*[\[(<]?[ \t]*{_STAMP}(?:{_UNTIL})?[ \t]*[\])>]?[ \t]*(?:[-–—:|][ \t]+)?(.*)", re.ASCII)


@dataclass(slots=True)
class TimedLine:
    """Words under way: the lines so far from a time on, to another if it is given."""

    start_ms: int
    end_ms: int | None
    lines: list[str]


def has_times(text: str) -> bool:
    """Whether a line of `text` begins with a time."""
    return any(map(_LINE.match, text.split("\n")))


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
    following = [*(after.start_ms for _, after in pairwise(spoken)), None]
    return [_shown(one, next_ms) for one, next_ms in zip(spoken, following, strict=True)]


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
