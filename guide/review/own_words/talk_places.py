"""What was said, word by word at its likeliest time, and the places in it at which something new may begin."""

from collections.abc import Iterator
from dataclasses import dataclass

from guide.review.captions.transcript import Segment, Transcript, folded
from guide.review.speech import letters_a_second

#: Words that a thing often begins with in the middle of a caption without points.
OPENERS = frozenset({"and", "now", "then", "so", "okay", "inhale", "exhale", "good", "right", "let", "come", "from"})

#: Without points and any other sign a place is at every so manieth word.
EVERY_WORDS = 6

#: Captions with this share of sentence ends among their words have points.
POINTED = 0.02

#: The quiet in a caption lies where its sentences end; in longer ones without points it may be anywhere.
LONG_MS = 12_000

#: What was before the first word nobody knows; it tells as much as such a quiet.
FIRST_QUIET_MS = 1_500

#: How far off a word may be, for each second of quiet that the caption leaves between it and the nearer of its ends.
LOOSE_A_SECOND = 450


@dataclass(frozen=True, slots=True)
class Said:
    """A word as `folded` leaves it and about when it began, off by about `loose_ms`; `quiet_ms` lies before it, and
    `opens` tells whether something new may begin with it."""

    text: str
    at_ms: int
    quiet_ms: int
    opens: bool
    loose_ms: int
    ends_sentence: bool


def said_words(transcript: Transcript) -> tuple[Said, ...]:
    """Every word of a class."""
    letter_ms = 1000 / letters_a_second(transcript)
    found: list[Said] = []
    end_ms, since = 0.0, 0
    is_pointed = has_points(transcript)
    for block in transcript.blocks:
        opens = True
        length_ms = block.end_ms - block.start_ms
        quiet = max(1 - len("".join(folded(block.text))) * letter_ms / length_ms, 0)
        for text, start_ms, over_ms, ends in _timed(block, letter_ms):
            quiet_ms = max(start_ms - end_ms, 0) if found else FIRST_QUIET_MS
            between_ms = min(start_ms - block.start_ms, block.end_ms - start_ms)
            loose_ms = round(quiet * between_ms / 1000 * LOOSE_A_SECOND) if length_ms > LONG_MS else 0
            is_place = opens or (not is_pointed and ((since >= 3 and text in OPENERS) or since >= EVERY_WORDS))
            found.append(Said(text, round(start_ms), round(quiet_ms), is_place, loose_ms, ends))
            since = 1 if is_place else since + 1
            end_ms, opens = over_ms, ends
    return tuple(found)


def has_points(transcript: Transcript) -> bool:
    """Whether sentences end with a point in captions."""
    words = [raw for block in transcript.blocks for raw in block.text.split()]
    return sum(ends_sentence(raw) for raw in words) >= POINTED * len(words)


def ends_sentence(raw: str) -> bool:
    """Whether a sentence ends with a word as it is written."""
    return raw[-1] in ".?!…"


def _timed(block: Segment, letter_ms: float) -> Iterator[tuple[str, float, float, bool]]:
    """The words of a caption with their times, and whether a sentence ends with them."""
    words = [
        (text, ends_sentence(raw) and text == parts[-1])
        for raw in block.text.split()
        if (parts := folded(raw))
        for text in parts
    ]
    letters = sum(len(text) + 1 for text, _ in words)
    length_ms = block.end_ms - block.start_ms
    letter_ms = min(letter_ms, length_ms / max(letters, 1))
    spare_ms = length_ms - letters * letter_ms
    ends = sum(ends for _, ends in words[:-1])
    at_ms: float = block.start_ms
    if length_ms > LONG_MS and not ends:
        letter_ms, spare_ms = length_ms / max(letters, 1), 0
    for text, is_end in words:
        over_ms = at_ms + (len(text) + 1) * letter_ms
        yield text, at_ms, over_ms, is_end
        at_ms = over_ms + (spare_ms / (ends + 1) if is_end else 0)
