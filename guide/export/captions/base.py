"""What every format of captions has in common, and how to add one.

To add a format: write a file beside this one with a pure function from a timeline to the whole text, made from
`reading_captions(timeline)`, and put it into `EXPORTERS` in `guide/export/registry.py` under its ending. Every cue of
the timeline gives one caption or more, in the same order, with the words as they are; only what the format would take
for something else may be escaped.
"""

import re
from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass

from guide.drawing.text_width import width
from guide.plan.timeline import Cue, Timeline
from guide.visible import visible

#: Characters a line, and at most two lines (Source: a widely used public timed-text guide, second-hand).
LINE_CHARS = 42

#: A blank that may be broken at, or a control character: what a caption shows as one space. A blank that holds two
#: words together stays.
_BLANK = re.compile(r"(?:[^\S\u00a0\u202f]|[\x00-\x1f\x7f])+")

#: What stands for words that show nothing.
NO_WORDS = "…"


@dataclass(frozen=True, slots=True)
class Caption:
    """One cue as it is shown: from `start_ms` to `end_ms`, later than the start; one line or two."""

    start_ms: int
    end_ms: int
    lines: tuple[str, ...]
    section: int | None

    @property
    def text(self) -> str:
        """Its lines as one."""
        return " ".join(self.lines)


def captions(timeline: Timeline) -> Iterator[Caption]:
    """One caption for each cue, in order, while its words are said; `section` is an index into `timeline.chapters`."""
    starts = [chapter.start_ms for chapter in timeline.chapters]
    for cue in timeline.cues:
        section = bisect_right(starts, cue.start_ms) - 1
        end_ms = max(cue.end_ms, cue.start_ms + 1)
        yield Caption(cue.start_ms, end_ms, _lines(cue), section if section >= 0 else None)


def plain(text: str) -> str:
    """`text` on one line, with nothing in it that cannot be seen."""
    return visible(_BLANK.sub(" ", text).strip(" "))


def _lines(cue: Cue) -> tuple[str, ...]:
    """The words on one line where they fit, else on two of about the same length."""
    text = plain(cue.words) or NO_WORDS
    if width(text) <= LINE_CHARS:
        return (text,)
    breaks = [index for index, char in enumerate(text) if char == " "]
    if not breaks:
        return (text,)
    best = min(breaks, key=lambda index: max(width(text[:index]), width(text[index + 1 :])))
    return text[:best], text[best + 1 :]


def parts_of_time(ms: int) -> tuple[int, int, int, int]:
    """Hours, minutes, seconds and thousandths."""
    seconds, thousandths = divmod(ms, 1000)
    minutes, seconds = divmod(seconds, 60)
    return minutes // 60, minutes % 60, seconds, thousandths
