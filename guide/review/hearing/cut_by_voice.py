"""Captions cut anew where somebody spoke: the words say what was said, the voice in the recording says when.

Each stretch of speech takes the words that it has the time for, in order, so that the sum of all of these is least:

- how far the stretch is from as long as its words take;
- how far the words are from where their caption lets them be;
- a stretch that begins where nothing does, and one that goes on where something begins (`Opens`);
- a stretch that has no words, and words that no stretch has.

Dynamic programming over the stretches finds it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from guide.review.aligning.time_windows import LATE_MS, in_block
from guide.review.captions.transcript import Segment, Transcript, folded
from guide.review.captions.word_times import ends_sentence, has_points
from guide.review.hearing.voice_activity import Stretch

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Numbers = NDArray[np.float64]

#: A stretch is off from as long as its words take by this share and so much; one that is longer costs no more than so
#: much. Like all costs here a logarithm of odds, tried on the rendered and the taught classes of the tests.
OFF, OFF_MS, MOST_OFF = 0.2, 250.0, 12.0

#: How far words are outside of where their caption lets them be, and the most that it costs; and that the first word of
#: one is later than the caption, as those of recognisers often are.
OUTSIDE_MS, MOST_OUTSIDE, MOST_LATE = 700.0, 8.0, 2.0

#: A stretch that begins in mid-sentence; after so much quiet it counts more.
MID_SENTENCE, LONG_QUIET_MS, AFTER_QUIET = 1.0, 1_000, 3.0

#: A stretch without words, and each word without a stretch.
NO_WORDS, NO_VOICE = 5.0, 0.7

#: How long a letter may take, blanks among them.
LEAST_LETTER_MS, MOST_LETTER_MS = 33.0, 170.0

#: Words are looked for so far from where their captions have them.
FAR_MS = 5_000

NEVER = 1e12


@dataclass(frozen=True, slots=True)
class Opens:
    """What it costs that a stretch of speech begins with a word, and what that it goes on over its beginning."""

    begins: float
    goes_on: float = 0.0


@dataclass(frozen=True, slots=True)
class RecutCaptions:
    """Captions cut anew; `cost` is the sum that is least, for each word."""

    transcript: Transcript
    cost: float


@dataclass(frozen=True, slots=True)
class _Words:
    """Words as they are written: when each can have begun, from when on it is late, how many letters and how much of
    `goes_on` there are before it, and what it costs to begin with it."""

    texts: tuple[str, ...]
    low_ms: "Numbers"
    high_ms: "Numbers"
    late_ms: "Numbers"
    letters: "Numbers"
    goes_on: "Numbers"
    begins: "Numbers"


@dataclass(frozen=True, slots=True)
class _Choices:
    """What was cheapest at a stretch: `before[words]` is how many words there are before it, for each number of words
    up to its end from `first` on; and `since[words]` how many of those other stretches have."""

    first: int
    before: "NDArray[np.int64]"
    since: "NDArray[np.int64]"


def cut_by_voice(transcript: Transcript, stretches: Sequence[Stretch], opens: Sequence[Opens] = ()) -> RecutCaptions:
    """The captions in pieces that begin when a voice does; there is at least one word, and one stretch.

    `opens` is for each word as `folded` leaves them; without it, sentences tell.
    """
    words = _words(transcript, opens or _by_sentences(transcript))
    spans, cost = _laid(words, stretches, _letter_ms(transcript, stretches, float(words.letters[-1])))
    pieces = tuple(_pieces(words, stretches, spans))
    return RecutCaptions(replace(transcript, blocks=pieces), cost / len(words.texts))


def _by_sentences(transcript: Transcript) -> list[Opens]:
    cost = MID_SENTENCE if has_points([word for block in transcript.blocks for word in block.text.split()]) else 0.0
    found, has_ended = list[Opens](), True
    for raw in (raw for block in transcript.blocks for raw in block.text.split()):
        found += [Opens(0.0 if has_ended else cost) for _ in folded(raw)]
        has_ended = ends_sentence(raw)
    return found


def _words(transcript: Transcript, opens: Sequence[Opens]) -> _Words:
    import numpy as np

    texts, rows, number = list[str](), list[tuple[float, ...]](), 0
    for block in transcript.blocks:
        timed, late_ms = in_block(block, by_clock=True), float(block.start_ms + LATE_MS)
        for raw in block.text.split():
            if not (own := [next(timed) for _ in folded(raw)]):
                texts[-1:] = [f"{text} {raw}" for text in texts[-1:]]
                continue
            texts.append(raw)
            one = opens[number]
            rows.append((own[0].low_ms, own[0].high_ms, late_ms, len(raw) + 1, one.goes_on, one.begins))
            number, late_ms = number + len(own), NEVER
    low, high, late, letters, goes_on, begins = np.array(rows, np.float64).T
    return _Words(tuple(texts), low, high, late, _sums(letters), _sums(goes_on), begins)


def _sums(values: "Numbers") -> "Numbers":
    import numpy as np

    return np.concatenate([[0.0], np.cumsum(values)])


def _letter_ms(transcript: Transcript, stretches: Sequence[Stretch], letters: float) -> float:
    """How long a letter takes, by all the speech while captions go on."""
    first_ms, last_ms = transcript.blocks[0].start_ms, transcript.blocks[-1].end_ms
    spoken_ms = sum(max(min(one.end_ms, last_ms) - max(one.start_ms, first_ms), 0) for one in stretches)
    return min(max(spoken_ms / letters, LEAST_LETTER_MS), MOST_LETTER_MS)


def _laid(words: _Words, stretches: Sequence[Stretch], letter_ms: float) -> tuple[list[tuple[int, int]], float]:
    """The cheapest way to lay the words on the stretches: the first and the end of each one's, and what it costs."""
    import numpy as np

    lows, highs = np.minimum.accumulate(words.low_ms[::-1])[::-1], np.maximum.accumulate(words.high_ms)
    costs, first, before_ms = np.zeros(1), 0, -FAR_MS
    kept = list[_Choices]()
    for one in stretches:
        start = max(int(np.searchsorted(highs, one.start_ms - FAR_MS)), first)
        end = max(int(np.searchsorted(lows, one.end_ms + FAR_MS)), first + len(costs) - 1, start)
        least, since = _skipped(costs, end - first + 1)
        ways = least[start - first :, None] + _costs(words, one, slice(start, end), letter_ms, one.start_ms - before_ms)
        before = ways.argmin(axis=0)
        kept.append(_Choices(start, before + start, since[start - first :] + first))
        costs, first, before_ms = ways[before, np.arange(len(before))], start, one.end_ms
    costs += NO_VOICE * (len(words.texts) - first - np.arange(len(costs)))
    return _back(kept, first + int(costs.argmin())), float(costs.min())


def _skipped(costs: "Numbers", count: int) -> "tuple[Numbers, NDArray[np.int64]]":
    """The least cost up to each number of words, where some at the end may be without a voice; and how many are not."""
    import numpy as np

    numbers = np.arange(count)
    level = np.full(count, NEVER)
    level[: len(costs)] = costs - NO_VOICE * numbers[: len(costs)]
    least = np.minimum.accumulate(level)
    return least + NO_VOICE * numbers, np.maximum.accumulate(np.where(level <= least, numbers, 0))


def _costs(words: _Words, one: Stretch, here: slice, letter_ms: float, quiet_ms: float) -> "Numbers":
    """What it costs that a stretch after so much quiet has the words from one (row) to before another (column)."""
    import numpy as np

    edges = slice(here.start, here.stop + 1)
    letters, goes_on = words.letters[edges], words.goes_on[edges]
    off = (one.length_ms - (letters[None, :] - letters[:, None]) * letter_ms) / np.hypot(OFF * one.length_ms, OFF_MS)
    found: Numbers = np.where(off > 0, np.minimum(off**2 / 2, MOST_OFF), off**2 / 2)
    lows, highs = words.low_ms[here], words.high_ms[here]
    begins = _outside(one.start_ms, lows, highs)
    begins += words.begins[here] * (AFTER_QUIET if quiet_ms >= LONG_QUIET_MS else 1)
    begins += np.minimum(_outside(one.start_ms, np.zeros(len(lows)), words.late_ms[here]), MOST_LATE)
    found[:-1] += begins[:, None] + np.maximum(goes_on[None, :] - goes_on[1:, None], 0)
    found[:, 1:] += _outside(one.end_ms - np.diff(letters) * letter_ms, lows, highs)[None, :]
    found[np.tril_indices(len(found), -1)] = NEVER
    np.fill_diagonal(found, NO_WORDS)
    return found


def _outside(at_ms: "Numbers | float", low_ms: "Numbers", high_ms: "Numbers") -> "Numbers":
    import numpy as np

    found = (np.maximum(np.maximum(low_ms - at_ms, at_ms - high_ms), 0) / OUTSIDE_MS) ** 2 / 2
    return np.minimum(found, MOST_OUTSIDE)


def _back(kept: Sequence[_Choices], end: int) -> list[tuple[int, int]]:
    """The words of each stretch on the cheapest way to the last one's end."""
    spans = list[tuple[int, int]]()
    for one in reversed(kept):
        start = int(one.before[end - one.first])
        spans.append((start, end))
        end = int(one.since[start - one.first])
    return spans[::-1]


def _pieces(words: _Words, stretches: Sequence[Stretch], spans: Sequence[tuple[int, int]]) -> Iterator[Segment]:
    """The words of each stretch, and between them those that no voice was heard for, where their captions allow."""
    said, until_ms = 0, 0
    for stretch, (start, end) in zip(stretches, spans, strict=True):
        if start < end:
            if said < start:
                yield _unvoiced(words, said, start, until_ms, stretch.start_ms)
            yield Segment(stretch.start_ms, stretch.end_ms, " ".join(words.texts[start:end]))
            said, until_ms = end, stretch.end_ms
    if said < (count := len(words.texts)):
        yield _unvoiced(words, said, count, until_ms, max(until_ms, round(words.high_ms[-1])) + FAR_MS)


def _unvoiced(words: _Words, start: int, end: int, from_ms: int, to_ms: int) -> Segment:
    first_ms = max(from_ms, min(round(words.low_ms[start]), to_ms - 1))
    last_ms = min(to_ms, max(round(words.high_ms[end - 1]), first_ms + 1))
    return Segment(first_ms, last_ms, " ".join(words.texts[start:end]))
