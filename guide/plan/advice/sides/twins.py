"""The words of one side against those of the other: what changes over from pass to pass, and what should have."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher

from guide.plan.advice.sides.sentences import is_even
from guide.plan.advice.sides.words import Mention, Sentence, sentences

#: From this likeness on, two sentences are the same one for the two sides (tried on the lists of the tests).
ALIKE = 0.75


@dataclass(frozen=True, slots=True)
class Unchanged:
    """A side that two passes have alike: in `mine` it is `mention`, and `theirs` says the same."""

    mine: Sentence
    theirs: Sentence
    mention: Mention


def unchanged(mine: str, theirs: str) -> Iterator[Unchanged]:
    """The sides that the words of one pass share with the words of the other, where they cannot both be right."""
    others = list(sentences(theirs))
    for sentence in sentences(mine):
        twin = _twin(sentence, others)
        if twin is not None:
            others.remove(twin)
            yield from _shared(sentence, twin)


def is_twin(mine: str, theirs: str) -> bool:
    """Whether some sentence of these words stands on the other side too, but for its sides."""
    others = sentences(theirs)
    return any(_twin(sentence, others) is not None for sentence in sentences(mine))


def _twin(sentence: Sentence, others: Sequence[Sentence]) -> Sentence | None:
    """The sentence of the other pass that says the same; of several the one that changes over best."""
    if not sentence.mentions:
        return None
    limbs = [mention.limb for mention in sentence.mentions]
    likes = [
        (_likeness(sentence, other), -sum(1 for _ in _shared(sentence, other)), -number)
        for number, other in enumerate(others)
        if [mention.limb for mention in other.mentions] == limbs
    ]
    best = max(likes, default=(0.0, 0, 0))
    return others[-best[2]] if best[0] >= ALIKE else None


def _likeness(one: Sentence, other: Sentence) -> float:
    if one.skeleton() == other.skeleton():
        return 1.0
    return SequenceMatcher(None, one.skeleton(), other.skeleton(), autojunk=False).ratio()


def _shared(mine: Sentence, theirs: Sentence) -> Iterator[Unchanged]:
    pairs = list(zip(mine.mentions, theirs.mentions, strict=True))
    same = [pair for pair in pairs if pair[0].side is pair[1].side]
    ours, others = [pair[0] for pair in same], [pair[1] for pair in same]
    if same and not (is_even(mine, ours) and is_even(theirs, others)):
        yield Unchanged(mine, theirs, same[0][0])
