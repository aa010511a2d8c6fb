"""Captions for readers: each is short enough to be read at a glance, and stays until it can have been read.

Source: at most two lines of at most 42 characters, for at least 5/6 s (a university library's guide to timed text,
https://utk-timed-text-guide.readthedocs.io, 2.0 and 5.2); breaks after punctuation where there is some, and no gaps
under a second (BBC Subtitle Guidelines 3.4 and 4.5, from memory); for 1.5 s after the words at most, unless reading
takes longer (the same, 5.2, as W3C's note on media timed events cites it); 17 characters a second: common practice in
such guides, from memory.
"""

from collections.abc import Iterator
from dataclasses import replace
from itertools import zip_longest

from guide.drawing.text_width import width, wrapped
from guide.export.captions.base import LINE_CHARS, Caption, captions
from guide.plan.timeline import Timeline

#: A caption is seen for at least so long, and read at no more than so many characters a second, where there is room.
LEAST_MS = 834
CHARS_A_SECOND = 17

#: So long a caption stays after its words; a shorter gap before the next one would only flicker.
LINGERS_MS = 1500
GAP_MS = 1000

#: What one more caption costs, and beside it a break in mid-sentence, by the mark before it.
ONE_MORE = 2.0
BREAK_COSTS = {**dict.fromkeys(".!?…。！？", 0.0), **dict.fromkeys(",;:—–、，；：", 0.4), "": 1.5}

#: Two lines may differ by so many characters more where the first then ends with a clause.
RAGGED = 8


def reading_captions(timeline: Timeline) -> Iterator[Caption]:
    """The captions of all cues in order, one or more for each; none stands when the next one begins."""
    exact = list(captions(timeline))
    for one, after in zip_longest(exact, exact[1:]):
        yield from _for_reading(one, timeline.length_ms if after is None else after.start_ms)


def _for_reading(one: Caption, until_ms: int) -> Iterator[Caption]:
    """A cue's caption in as many as its words need, each at the share of the time that the words before it have."""
    shown = parted(one.text)
    length_ms = one.end_ms - one.start_ms
    letters, said = sum(map(len, shown)), len(shown[0])
    starts = [one.start_ms]
    for words in shown[1:]:
        starts.append(max(one.start_ms + length_ms * said // letters, starts[-1] + 1))
        said += len(words)
    last_ms = max(stays_ms(starts[-1], one.end_ms, shown[-1], until_ms), starts[-1] + 1)
    for words, start_ms, end_ms in zip(shown, starts, [*starts[1:], last_ms], strict=True):
        yield replace(one, start_ms=start_ms, end_ms=end_ms, lines=two_lines(words))


def stays_ms(start_ms: int, said_ms: int, words: str, until_ms: int) -> int:
    """When a caption goes whose words are over at `said_ms`, where the next one comes at `until_ms`."""
    read_ms = start_ms + max(LEAST_MS, len(words) * 1000 // CHARS_A_SECOND + 1)
    wanted_ms = max(said_ms + LINGERS_MS, read_ms)
    return wanted_ms if until_ms - wanted_ms >= GAP_MS else max(until_ms, said_ms)


def parted(text: str) -> list[str]:
    """`text` in pieces that two lines can show, broken after a sentence, else after a clause, else after a word."""
    if two_lines(text):
        return [text]
    words = [piece for word in text.split(" ") for piece in wrapped(word, LINE_CHARS)]
    # The cheapest way to show the first words, by their number: what it costs, and where its last piece begins.
    cheapest: list[tuple[float, int]] = [(0.0, 0)]
    for end in range(1, len(words) + 1):
        ways = []
        for first in range(end - 1, -1, -1):
            piece = " ".join(words[first:end])
            if not two_lines(piece):
                break
            broken = BREAK_COSTS[_ends_at(words[first - 1])] if first else 0.0
            slack = 1 - width(piece) / (2 * LINE_CHARS)
            ways.append((cheapest[first][0] + ONE_MORE + broken + slack**2, first))
        cheapest.append(min(ways))
    pieces, end = list[str](), len(words)
    while end:
        first = cheapest[end][1]
        pieces.insert(0, " ".join(words[first:end]))
        end = first
    return pieces


def two_lines(text: str) -> tuple[str, ...]:
    """`text` on one line where it fits, else on two of about the same length; nothing where it does not fit those."""
    if width(text) <= LINE_CHARS:
        return (text,)
    pairs = [(text[:at], text[at + 1 :]) for at, char in enumerate(text) if char == " "]
    fitting = [pair for pair in pairs if max(map(width, pair)) <= LINE_CHARS]
    return min(fitting, key=lambda pair: max(map(width, pair)) + (0 if _ends_at(pair[0]) else RAGGED), default=())


def _ends_at(words: str) -> str:
    """The mark that ends a sentence or a clause after these words, or nothing."""
    bare = words.rstrip("\"'”’)»")
    return bare[-1:] if bare[-1:] in BREAK_COSTS else ""
