"""What a teacher says again and again: fillers, and phrases."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from guide.numerals import TO_TEN

#: Words that fill a gap (common practice, no source). `right` and `like` mean something in a class too often.
FILLERS = (
    *(("um",), ("uh",), ("er",), ("erm",), ("okay",), ("ok",), ("so",), ("just",), ("actually",), ("basically",)),
    *(("you", "know"), ("sort", "of"), ("kind", "of"), ("i", "mean"), ("a", "little", "bit"), ("go", "ahead", "and")),
)

#: Phrases have so many words, and are told from so many times on; so many of each kind are told.
LONGEST, SHORTEST, LEAST_TIMES, TOLD = 6, 3, 4, 3


@dataclass(frozen=True, slots=True)
class Often:
    """Words, and how many times they were said."""

    words: str
    times: int


def fillers(said: Sequence[str]) -> tuple[Often, ...]:
    """The fillers said most, the most frequent first; `said` are all words, as `folded` leaves them."""
    counts = Counter(run for length in {len(one) for one in FILLERS} for run in _runs(said, length) if run in FILLERS)
    return _told(sorted(counts.items(), key=lambda item: (-item[1], item[0])))


def phrases(said: Sequence[str]) -> tuple[Often, ...]:
    """The phrases that most words went into, the first of them most; none shares a run of words with one before it.

    Nothing in which is counted aloud is one.
    """
    counts = Counter(run for length in range(SHORTEST, LONGEST + 1) for run in _runs(said, length))
    often = [item for item in counts.items() if item[1] >= LEAST_TIMES and sum(word in TO_TEN for word in item[0]) < 2]
    chosen: list[tuple[tuple[str, ...], int]] = []
    seen: set[tuple[str, ...]] = set()
    for run, times in sorted(often, key=lambda item: (-item[1] * len(item[0]), item[0])):
        inner = set(_runs(run, SHORTEST))
        if not inner & seen:
            chosen.append((run, times))
            seen |= inner
        if len(chosen) == TOLD:
            break
    return _told(chosen)


def _runs(said: Sequence[str], length: int) -> Iterator[tuple[str, ...]]:
    return (tuple(said[at : at + length]) for at in range(len(said) - length + 1))


def _told(counted: Sequence[tuple[tuple[str, ...], int]]) -> tuple[Often, ...]:
    return tuple(Often(" ".join(run), times) for run, times in counted if times >= LEAST_TIMES)[:TOLD]
