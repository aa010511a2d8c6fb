"""Demonstrations: the teacher does it, and people look on; what is shown is what they do next."""

from collections.abc import Sequence

from guide.draft.phrases import Phrase, these

#: A demonstration lasts no longer than this, and goes on over so many phrases without a word of the teacher's own.
MOST_MS = 75_000
MOST_WITHOUT = 4

_LOOKING = (
    ("watch", "me"),
    ("watch", "first"),
    ("watch", "again"),
    ("watch", "once"),
    ("just", "watch"),
    ("look", "at", "me"),
    ("look", "once"),
    ("show", "you"),
    ("show", "it"),
    ("show", "the"),
    ("show", "this"),
    ("see", "it", "first"),
    ("dont", "do", "it", "yet"),
)
_OWN = these("i im ill my me ive")
_THEIR_TURN = (
    ("your", "turn"),
    ("now", "you"),
    ("all", "of", "you"),
    ("lets", "try"),
    ("together",),
    ("ready",),
    ("with", "me"),
    ("try", "it"),
)


def shown(phrases: Sequence[Phrase]) -> frozenset[int]:
    """The numbers of the phrases in which people only look on."""
    found: set[int] = set()
    for number, phrase in enumerate(phrases):
        if number not in found and _any(phrase.words, _LOOKING):
            found.update(range(number, _end(phrases, number)))
    return frozenset(found)


def _end(phrases: Sequence[Phrase], start: int) -> int:
    """Where a demonstration is over: with the turn of the others, or after the last word of what the teacher does."""
    last = start + 1
    for number in range(start + 1, len(phrases)):
        words = phrases[number].words
        late = phrases[number].start_ms - phrases[start].start_ms > MOST_MS
        if late or number - last > MOST_WITHOUT or _any(words, _THEIR_TURN):
            break
        if not _OWN.isdisjoint(words):
            last = number + 1
    return last


def _any(words: Sequence[str], runs: Sequence[tuple[str, ...]]) -> bool:
    return not {run[0] for run in runs}.isdisjoint(words) and any(
        tuple(words[at : at + len(run)]) == run for run in runs for at in range(len(words) - len(run) + 1)
    )
