"""What was said in a class, with the names of its poses written as the class writes them, and sides as they were said.

A machine that does not know a name writes words that sound like it: `low launch`, `chat to wrong a`. Where the words
around it are those of a cue, and the name stands in that cue, it is mended. All other words stay as they were.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from guide.plan.timeline import Timeline
from guide.review.aligning.time_windows import planned_words
from guide.review.aligning.word_likeness import LONG_LETTERS, MOST_PIECES, SAME_SOUND, SIDES, sounded, stem
from guide.review.aligning.word_matches import Alignment, PlannedWord, aligned
from guide.review.captions.transcript import Transcript, Word, folded, words
from guide.sequence.steps import StepKind

#: So much of what a cue's words tell must be heard before a word in it is taken for a name, as a share.
LEAST_HEARD = 0.5

#: A word with the marks around it, which stay.
_MARKED = re.compile(r"^(\W*)(.*?)(\W*)$", re.DOTALL)


@dataclass(frozen=True, slots=True)
class Mended:
    """Captions after mending, and in how many places."""

    transcript: Transcript
    places: int


@dataclass(frozen=True, slots=True)
class _Mending:
    """Heard words from number `first` to before `end` were meant to be `meant`."""

    first: int
    end: int
    meant: str


def mended(timeline: Timeline, transcript: Transcript) -> Mended:
    """The words of `transcript`, which was taken from the class of this plan, with its names mended."""
    found = {one.first: one for one in _mendings(timeline, words(transcript))}
    blocks, number, places = [], 0, 0
    for block in transcript.blocks:
        text, in_block = _mended_text(block.text, number, found)
        blocks.append(replace(block, text=text))
        number, places = number + len(folded(block.text)), places + in_block
    return Mended(replace(transcript, blocks=tuple(blocks)), places)


def _mendings(timeline: Timeline, said: Sequence[Word]) -> Iterator[_Mending]:
    """What is to be mended: words of names, and words that sound like left or right."""
    planned = planned_words(timeline)
    places = _places(planned, aligned(planned, said))
    own_words, taken = {one.word.text for one in planned}, set(places.values())
    for number, meant in _named(planned, _names(timeline)):
        word, heard = planned[number].word.text, places.get(number, _only_one_between(places, number))
        if heard is not None:
            end = _end(said, heard, word, taken)
            if _is_misheard("".join(one.text for one in said[heard:end]), word, own_words):
                yield _Mending(heard, end, meant)
    for number, heard in places.items():
        side = SAME_SOUND.get(said[heard].text, "")
        if planned[number].word.text in SIDES and side in SIDES:
            yield _Mending(heard, heard + 1, side)


def _places(planned: Sequence[PlannedWord], alignment: Alignment) -> dict[int, int]:
    """Which word was heard for a planned one, by their numbers, in the cues of which enough was heard."""
    told, heard = dict[int, float](), dict[int, float]()
    for one, weight in zip(planned, alignment.weights, strict=True):
        told[one.cue] = told.get(one.cue, 0.0) + weight
    for match in alignment.matches:
        cue = planned[match.planned].cue
        heard[cue] = heard.get(cue, 0.0) + alignment.weights[match.planned] * match.alike
    enough = {cue for cue in heard if heard[cue] >= LEAST_HEARD * told[cue]}
    return {match.planned: match.heard for match in alignment.matches if planned[match.planned].cue in enough}


def _names(timeline: Timeline) -> Mapping[tuple[str, ...], Sequence[str]]:
    """The names of poses as `folded` leaves them, each with its words as the class writes them within a sentence."""
    found = {}
    for title in sorted({span.title for span in timeline.spans if span.kind is StepKind.POSE}):
        own = [one for one in re.split(r"[\s/–-]+", title[:1].lower() + title[1:]) if folded(one)]
        if len(own) == len(folded(title)):
            found[folded(title)] = own
    return found


def _named(planned: Sequence[PlannedWord], names: Mapping[tuple[str, ...], Sequence[str]]) -> Iterator[tuple[int, str]]:
    """The numbers of planned words that are part of a name, each with that word as it is written."""
    texts = [one.word.text for one in planned]
    for name, own in names.items():
        for first in range(len(texts) - len(name) + 1):
            if (
                tuple(texts[first : first + len(name)]) == name
                and planned[first].cue == planned[first + len(name) - 1].cue
            ):
                yield from enumerate(own, start=first)


def _only_one_between(places: Mapping[int, int], number: int) -> int | None:
    """The heard word that alone lies between those of the planned words before and after; None where there is none."""
    before, after = places.get(number - 1), places.get(number + 1)
    return before + 1 if before is not None and after is not None and after == before + 2 else None


def _end(said: Sequence[Word], heard: int, word: str, taken: set[int]) -> int:
    """Where the heard words end that are one word of the plan: a long one may have been heard as several."""
    ends = [heard + 1]
    while len(word) >= LONG_LETTERS and ends[-1] < len(said) and ends[-1] not in taken and len(ends) < MOST_PIECES:
        ends.append(ends[-1] + 1)
    return max(ends, key=lambda end: (_alike(word, "".join(one.text for one in said[heard:end])), -end))


def _alike(word: str, heard: str) -> float:
    from rapidfuzz.distance import Indel

    spelled, spoken = (word, heard), (sounded(word), sounded(heard))
    return max(Indel.normalized_similarity(*spelled), Indel.normalized_similarity(*spoken))


def _is_misheard(heard: str, word: str, own_words: set[str]) -> bool:
    """Whether `heard` is no form of this word of a name, nor another word of the class, nor a side."""
    if heard == word or stem(heard) == stem(word) or heard in SIDES or word in SIDES:
        return False
    return heard not in own_words or SAME_SOUND.get(heard) == word


def _mended_text(text: str, number: int, found: Mapping[int, _Mending]) -> tuple[str, int]:
    """A caption whose first word has this number, mended, and in how many places; a name over two captions stays."""
    written = text.split()
    firsts = [number]
    for one in written:
        firsts.append(firsts[-1] + len(folded(one)))
    shown, at, places = list[str](), 0, 0
    while at < len(written):
        mending = found.get(firsts[at]) if firsts[at + 1] > firsts[at] else None
        if mending is None or mending.end not in firsts:
            shown.append(written[at])
            at += 1
            continue
        end = firsts.index(mending.end)
        shown.append(_in_place_of(written[at], written[end - 1], mending.meant))
        at, places = end, places + 1
    return " ".join(shown), places


def _in_place_of(first: str, last: str, meant: str) -> str:
    """A word with the marks around those that it replaces, and with their capital."""
    marked_first, marked_last = _MARKED.match(first), _MARKED.match(last)
    before, word = marked_first.group(1, 2) if marked_first else ("", first)
    after = marked_last.group(3) if marked_last else ""
    return f"{before}{meant[:1].upper() + meant[1:] if word[:1].isupper() else meant}{after}"
