"""The time window in which each cue can have begun, by its matched words and the captions that they stand in."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import hypot

from guide.plan.timeline import Cue, Timeline
from guide.review.aligning.word_matches import Alignment, Begins, Match, PlannedWord, aligned
from guide.review.captions.transcript import Segment, Transcript, Word, folded
from guide.review.captions.word_times import word_times

#: Nobody says a letter in less: 270 words a minute (common practice, no source).
FASTEST_LETTER_MS = 45

#: Captions come up with their first word; so much sooner or later, for times in whole seconds and slow machines.
EARLY_MS, LATE_MS = 300, 1000

#: Captions whose lengths all lie so near to each other, without a gap, were cut by the clock and not by the words.
EVEN = 0.1

#: How much quicker and slower than planned words are said within a cue. 130 words a minute are planned where nothing
#: else is asked for, and a person with little time in a step says 200.
QUICK, SLOW = 0.65, 1.25

#: A word is off by so much, however short its caption; and one further into its cue tells less of when that began, by
#: this share of the time between.
WORD_MS, INTO = 600, 0.4

#: A word further than this from the middle word of its cue is another one.
APART_MS = 12_000

#: A cue counts as heard when so much of what its words tell was heard.
LEAST_HEARD = 0.34


@dataclass(frozen=True, slots=True)
class TimedWord:
    """A heard word at its likeliest time, off by about `loose_ms`, and the earliest and latest moment at which it can
    have begun."""

    word: Word
    low_ms: int
    high_ms: int
    loose_ms: float = 0.0


@dataclass(frozen=True, slots=True)
class HeardCue:
    """A planned cue, by number, that was heard: when it can have begun, when by its words it likely did, off by about
    `off_ms`, and how much of it was heard, 0 to 1.

    `words` are the words heard for each of its own, as `folded` leaves them; None for one that was not heard.
    """

    cue: int
    low_ms: float
    high_ms: float
    likely_ms: float
    off_ms: float
    share: float
    words: tuple[str | None, ...]


def timed_words(transcript: Transcript) -> tuple[TimedWord, ...]:
    """Every heard word, with what its caption leaves open of when it began."""
    by_clock, found = _cut_by_the_clock(transcript.blocks), list[TimedWord]()
    for block, times in zip(transcript.blocks, word_times(transcript), strict=True):
        timed = in_block(block, by_clock)
        for written, time in zip(block.text.split(), times, strict=True):
            for text in folded(written):
                word = Word(text, round(time.start_ms), round(time.end_ms))
                found.append(replace(next(timed), word=word, loose_ms=time.loose_ms))
    return tuple(found)


def in_block(block: Segment, by_clock: bool) -> Iterator[TimedWord]:
    """The words of a caption; one that was cut by the clock need not come up with its first word."""
    texts = folded(block.text)
    letters = sum(map(len, texts))
    length_ms, before = block.end_ms - block.start_ms, 0
    letter_ms = min(FASTEST_LETTER_MS, length_ms / max(letters, 1))
    for number, text in enumerate(texts):
        after = before + len(text)
        start_ms = block.start_ms + length_ms * before // letters
        low_ms, high_ms = block.start_ms + before * letter_ms, block.end_ms - (letters - before) * letter_ms
        if number == 0 and not by_clock:
            low_ms, high_ms = block.start_ms - EARLY_MS, min(high_ms, block.start_ms + LATE_MS)
        word = Word(text, start_ms, block.start_ms + length_ms * after // letters)
        yield TimedWord(word, round(low_ms), round(max(low_ms, high_ms)))
        before = after


def _cut_by_the_clock(blocks: Sequence[Segment]) -> bool:
    lengths = sorted(block.end_ms - block.start_ms for block in blocks[:-1])
    if len(lengths) < 3 or any(one.end_ms < other.start_ms for one, other in pairwise(blocks)):
        return False
    return lengths[len(lengths) // 10] >= (1 - EVEN) * lengths[len(lengths) * 9 // 10]


def planned_words(timeline: Timeline) -> tuple[PlannedWord, ...]:
    """Every planned word with its time, by its letters."""
    found: list[PlannedWord] = []
    before: Cue | None = None
    for number, cue in enumerate(timeline.cues):
        block = Segment(cue.start_ms, max(cue.end_ms, cue.start_ms + 1), cue.words)
        begins = _begins(timeline, before, cue)
        for one in in_block(block, by_clock=True):
            found.append(PlannedWord(one.word, number, begins))
            begins = Begins.NOTHING
        before = cue
    return tuple(found)


def _begins(timeline: Timeline, before: Cue | None, cue: Cue) -> Begins:
    if before is None or timeline.spans[before.step].section != timeline.spans[cue.step].section:
        return Begins.SECTION
    return Begins.CUE if before.step == cue.step else Begins.STEP


def heard_cues(timeline: Timeline, said: Sequence[TimedWord]) -> tuple[HeardCue, ...]:
    """The cues of the plan that were heard, in order; each began when its captions allow."""
    planned = planned_words(timeline)
    alignment = aligned(planned, [one.word for one in said])
    matched = {match.planned: match for match in alignment.matches}
    words_of: dict[int, list[int]] = {}
    for number, one in enumerate(planned):
        words_of.setdefault(one.cue, []).append(number)
    found = []
    for cue, numbers in words_of.items():
        kept = set(_together([number for number in numbers if number in matched], alignment, matched, said))
        told = sum(alignment.weights[number] for number in numbers)
        share = sum(alignment.weights[number] * matched[number].alike for number in kept) / told
        if share >= LEAST_HEARD:
            words = [(planned[one].word, said[matched[one].heard] if one in kept else None) for one in numbers]
            found.append(_heard(timeline.cues[cue], cue, words, share))
    return tuple(found)


def _together(
    numbers: Sequence[int], alignment: Alignment, matched: Mapping[int, Match], said: Sequence[TimedWord]
) -> list[int]:
    """Those of a cue's words whose match lies near that of its middle one, by what they tell."""
    if not numbers:
        return []
    half, so_far, middle = sum(alignment.weights[number] for number in numbers) / 2, 0.0, numbers[0]
    for number in numbers:
        if so_far <= half:
            middle = number
        so_far += alignment.weights[number]
    at_ms = said[matched[middle].heard].word.start_ms
    return [number for number in numbers if _apart_ms(said[matched[number].heard], at_ms) <= APART_MS]


def _apart_ms(one: TimedWord, at_ms: int) -> int:
    """How far a word lies from a moment for certain."""
    return max(one.low_ms - at_ms, at_ms - one.high_ms, 0)


def _heard(cue: Cue, number: int, words: Sequence[tuple[Word, TimedWord | None]], share: float) -> HeardCue:
    """A cue with when it can have begun, by each of its words that was heard."""
    lows, highs, likely = [], [], list[tuple[float, float]]()
    for planned, one in words:
        if one is not None:
            into_ms = planned.start_ms - cue.start_ms
            lows.append(one.low_ms - into_ms * SLOW)
            highs.append(one.high_ms - into_ms * QUICK)
            likely.append((hypot(WORD_MS, one.loose_ms, INTO * into_ms), one.word.start_ms - into_ms))
    low, high = max(lows), min(highs)
    if low > high:
        low = high = (low + high) / 2
    off_ms, likely_ms = min(likely)
    texts = tuple(one.word.text if one else None for _, one in words)
    return HeardCue(number, low, high, min(max(likely_ms, low), high), off_ms, share, texts)
