"""One long recording of a script, cut into its lines: which part of it is which line, and how sure that is."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from guide.plan.estimate import LETTER_MS
from guide.problem import UnusableChoice
from guide.record.line_fits import FittedLine, HeardSpeech, as_sounds, likeness
from guide.record.lines import ReadingLine
from guide.record.matching import LineMatch, match
from guide.review.captions.transcript import Transcript, words
from guide.review.hearing.voice_activity import Stretch

#: A cut is sure from this chance on; one less sure is for her to hear. By lengths alone lines that are as long as each
#: other and were read in the wrong order look as if they were not, so that more is asked.
SURE, SURE_BY_LENGTHS = 0.98, 0.995

#: Words that are less alike than this to the line may be another's.
LEAST_ALIKE = 0.75

#: A part of a cut as long as this may be none of the line's where fewer letters are heard in it than that share of what
#: is usually said meanwhile. (Measured: of 176 parts that were, one had less.)
PART_MS, LEAST_LETTERS = 400, 0.45

#: Where less of all speech than this is lines that are at least `FITS` sure, it is the reading of something else.
LEAST_SHARE, FITS = 0.5, 0.9

_SIDE = re.compile(r"\b(?:left|right)\b")

#: So much quiet is taken along before and after a line: what a detector notices late; the rest is trimmed.
BEFORE_MS, AFTER_MS = 300, 450


@dataclass(frozen=True, slots=True)
class LineCut:
    """From `start_ms` to `end_ms` of the recording line `number` of the script is read, counted from 1.

    `doubt` says what is not sure about it; nothing where it is sure.
    """

    number: int
    line: ReadingLine
    start_ms: int
    end_ms: int
    doubt: str


@dataclass(frozen=True, slots=True)
class Cuts:
    """The cuts of a recording in the order in which they were read, and the lines that are not in it, with numbers."""

    cuts: tuple[LineCut, ...]
    missing: tuple[tuple[int, ReadingLine], ...]


def cut(
    name: str,
    lines: Sequence[ReadingLine],
    stretches: tuple[Stretch, ...],
    length_ms: int,
    transcript: Transcript | None,
) -> Cuts:
    """The lines in a recording that is called `name`, by the stretches of speech in it, and their words if heard.

    Where a line was read several times, the last counts.

    Raises:
        UnusableChoice: most of what is spoken there is none of the lines.
    """
    script = [FittedLine.of(line.words) for line in lines]
    speech = HeardSpeech(stretches, None if transcript is None else _by_stretch(stretches, transcript))
    found = match(script, speech)
    _check_same_class(name, speech, found.matches)
    edges = _edges_ms(stretches, length_ms)
    cuts = []
    taken = {number for one in found.matches for number in range(one.first, one.last + 1)}
    for one in found.matches:
        doubt = "; ".join(_doubts(one, lines, script[one.line], speech, found.pace))
        if not doubt and one.last + 1 not in taken and _is_unheard(speech, one.last + 1):
            doubt = "may have been read once more later: what follows is not understood"
        cuts.append(LineCut(one.line + 1, lines[one.line], edges[one.first][0], edges[one.last][1], doubt))
    read = {one.number for one in cuts}
    missing = tuple((number, line) for number, line in enumerate(lines, 1) if number not in read)
    return Cuts(tuple(cuts), missing)


def _by_stretch(stretches: Sequence[Stretch], transcript: Transcript) -> tuple[str, ...]:
    """The words heard in each stretch, as sounds: each word where most of it lies, or else where it is nearest."""
    said: list[list[str]] = [[] for _ in stretches]
    first = 0
    for word in words(transcript):
        while first + 1 < len(stretches) and stretches[first].end_ms < word.start_ms:
            first += 1
        near = range(max(first - 1, 0), min(first + 2, len(stretches)))
        said[max(near, key=lambda number: _shared_ms(stretches[number], word.start_ms, word.end_ms))].append(word.text)
    return tuple(as_sounds(" ".join(one)) for one in said)


def _shared_ms(stretch: Stretch, start_ms: int, end_ms: int) -> int:
    """How much of a time lies in a stretch; below zero how far it is away."""
    return min(stretch.end_ms, end_ms) - max(stretch.start_ms, start_ms)


def _check_same_class(name: str, speech: HeardSpeech, matches: Sequence[LineMatch]) -> None:
    lengths_ms = [one.length_ms for one in speech.stretches]
    fitting_ms = sum(sum(lengths_ms[one.first : one.last + 1]) for one in matches if one.sure >= FITS)
    if fitting_ms < LEAST_SHARE * sum(lengths_ms):
        share = round(100 * fitting_ms / sum(lengths_ms))
        raise UnusableChoice(
            f"{name}: {share} % of what is spoken there is known for lines of this class, too little to cut it "
            "(give a reading of this class's script, all of it or a long part)"
        )


def _edges_ms(stretches: Sequence[Stretch], length_ms: int) -> list[tuple[int, int]]:
    """Where each stretch is cut before it and after it: never further than half way to the next."""
    ends_ms = [0, *((one.end_ms + after.start_ms) // 2 for one, after in pairwise(stretches)), length_ms]
    return [
        (max(one.start_ms - BEFORE_MS, before_ms), min(one.end_ms + AFTER_MS, after_ms))
        for one, before_ms, after_ms in zip(stretches, ends_ms, ends_ms[1:], strict=False)
    ]


def _other_sides(lines: Sequence[ReadingLine], number: int) -> Iterator[str]:
    """The lines that differ from one in nothing but their side."""
    own = _SIDE.sub("", lines[number].key)
    if own != lines[number].key:
        yield from (line.words for line in lines if line is not lines[number] and _SIDE.sub("", line.key) == own)


def _doubts(
    one: LineMatch, lines: Sequence[ReadingLine], line: FittedLine, speech: HeardSpeech, pace: float
) -> Iterator[str]:
    """What is not sure about a match, in words."""
    if one.sure < (SURE_BY_LENGTHS if speech.words is None else SURE):
        rather = "" if one.rather is None else f"could also be “{lines[one.rather].words}”"
        yield rather or "where it begins and ends is not sure"
    if one.again > 1 - SURE:
        yield "may have been read once more later"
    if speech.words is None:
        # Read in the wrong order they look as they should, and a side that is wrong can hurt.
        other = next(_other_sides(lines, one.line), None)
        if other is not None and one.sure >= SURE_BY_LENGTHS:
            yield f"is as long as “{other}”"
        return
    run = range(one.first, one.last + 1)
    if likeness("".join(speech.words[number] for number in run), line) < LEAST_ALIKE:
        yield "other words are heard"
    elif any(_is_sparse(speech.stretches[number].length_ms, speech.words[number], pace) for number in run):
        yield "a part of it is not understood"


def _is_unheard(speech: HeardSpeech, number: int) -> bool:
    """Whether somebody speaks in a stretch, and a recogniser heard no word of it."""
    if speech.words is None or number >= len(speech.stretches):
        return False
    return not speech.words[number] and speech.stretches[number].length_ms >= PART_MS


def _is_sparse(length_ms: int, said: str, pace: float) -> bool:
    return length_ms >= PART_MS and len(said) * LETTER_MS * pace < LEAST_LETTERS * length_ms
