"""How alike two words sound, from their letters, and how much a word tells of where in a class it is said."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import log
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

#: A full match counts so much; all scores are whole numbers so that equal ones are equal.
FULL = 1000

#: Words less alike than this are different words: `hands` and `stand` are 0.6 alike.
LEAST_ALIKE = 0.66

#: Left and right are taken for each other only where all around them agrees: it brings little.
EXCHANGED = 150

#: Words of so many letters may have been heard as several: `chat to wrong a`.
LONG_LETTERS = 7
MOST_PIECES = 4

#: Words of fewer letters than this must sound the same: `in` is not `on`.
SHORT_LETTERS = 4

SIDES = {"left": "right", "right": "left"}

#: Words that captions take for each other because they sound the same, and figures for numbers.
SAME_SOUND = {
    "2": "two", "to": "two", "too": "two", "4": "four", "for": "four", "1": "one", "won": "one", "8": "eight",
    "ate": "eight", "3": "three", "5": "five", "6": "six", "7": "seven", "9": "nine", "10": "ten", "0": "zero",
    "11": "eleven", "12": "twelve", "write": "right", "rite": "right", "breathe": "breath", "feat": "feet",
    "heal": "heel", "heals": "heels", "sole": "soul", "souls": "soles", "you're": "your", "youre": "your",
    "palm": "palms", "waste": "waist", "thy": "thigh", "nee": "knee", "knees": "knee",
}  # fmt: skip

#: Spellings of one sound.
_SPELLINGS = (
    ("ph", "f"), ("ck", "k"), ("sh", "s"), ("th", "t"), ("wr", "r"), ("kn", "n"), ("gh", ""), ("w", "v"), ("c", "k"),
    ("q", "k"), ("z", "s"), ("y", "i"), ("ee", "i"), ("oo", "u"), ("h", ""),
)  # fmt: skip


@lru_cache(maxsize=16384)
def sounded(word: str) -> str:
    """The word in letters of which each stands for one sound, so that words that sound alike are spelt alike."""
    word = SAME_SOUND.get(word, word)
    for spelling, sound in _SPELLINGS:
        word = word.replace(spelling, sound)
    return "".join(letter for letter, before in zip(word, f" {word}", strict=False) if letter != before)


def stem(word: str) -> str:
    """The word without the ending of its form: `folding`, `folded` and `folds` are `fold`."""
    for ending in ("ing", "ed", "es", "s"):
        if word.endswith(ending) and len(word) > len(ending) + 2:
            return word[: -len(ending)]
    return word


def other_side(word: str | None) -> str | None:
    """Left for right and right for left, also where captions write another word of that sound; None for the rest."""
    return SIDES.get(SAME_SOUND.get(word, word)) if word else None


def weights(planned: Sequence[str], heard: Sequence[str]) -> Mapping[str, float]:
    """What each planned word tells of its place: 1 for one that is said once, near 0 for one said all the time."""
    counts = Counter(planned) + Counter(heard)
    whole = log(max(len(planned) + len(heard), 8))
    return {word: max(0.08, 1 - log(max(counts[word], 2) / 2) / whole) ** 2 for word in set(planned)}


@dataclass(frozen=True, slots=True)
class Likeness:
    """How alike planned and heard words are, 0 to `FULL`, looked up by their numbers.

    `table` is unique planned by unique heard words; `pieces` is, for each long planned word (`long_of` names its row),
    by place in what was heard, how alike the words that begin there are when they are read as one.
    """

    planned: "NDArray[np.int32]"
    heard: "NDArray[np.int32]"
    table: "NDArray[np.int32]"
    long_of: Mapping[int, int]
    pieces: "NDArray[np.int32]"

    def row(self, number: int, first: int, end: int) -> "NDArray[np.int32]":
        """How alike planned word `number` is to each of the heard words from `first` to before `end`."""
        import numpy as np

        word = int(self.planned[number])
        alike: NDArray[np.int32] = self.table[word, self.heard[first:end]]
        if word in self.long_of:
            return np.maximum(alike, self.pieces[self.long_of[word], first:end])
        return alike


def likeness(planned: Sequence[str], heard: Sequence[str]) -> Likeness:
    """How alike the words are, each pair of different words measured once."""
    import numpy as np

    plan_words, said_words = sorted(set(planned)), sorted(set(heard))
    plan_number = {word: number for number, word in enumerate(plan_words)}
    said_number = {word: number for number, word in enumerate(said_words)}
    table = _alike(plan_words, said_words)
    for said in said_words:
        word = other_side(said)
        if word in plan_number:
            table[plan_number[word], said_number[said]] = EXCHANGED
    long_words = [word for word in plan_words if len(word) >= LONG_LETTERS]
    return Likeness(
        np.array([plan_number[word] for word in planned], np.int32),
        np.array([said_number[word] for word in heard], np.int32),
        table,
        {plan_number[word]: row for row, word in enumerate(long_words)},
        _pieces(long_words, heard),
    )


def _alike(planned: Sequence[str], heard: Sequence[str]) -> "NDArray[np.int32]":
    """0 to `FULL` for each planned word (a row) and each heard one; 0 where they are different words."""
    import numpy as np
    from rapidfuzz.distance import Indel
    from rapidfuzz.process import cdist

    if not planned or not heard:
        return np.zeros((len(planned), len(heard)), np.int32)
    plan_sounds, said_sounds = [sounded(word) for word in planned], [sounded(word) for word in heard]
    written = cdist(planned, heard, scorer=Indel.normalized_similarity, score_cutoff=LEAST_ALIKE, dtype=np.float32)
    spoken = cdist(
        plan_sounds, said_sounds, scorer=Indel.normalized_similarity, score_cutoff=LEAST_ALIKE, dtype=np.float32
    )
    short = np.array([len(word) < SHORT_LETTERS for word in planned])
    alike = np.maximum(written, spoken)
    alike[short] = np.where(alike[short] > 0.999, alike[short], 0)
    # Words that are just alike enough count a third of the word itself.
    counts = np.where(alike > 0, FULL * (1 - 2 * (1 - alike)), 0)
    rounded: NDArray[np.int32] = np.rint(counts).astype(np.int32)
    return rounded


def _pieces(long_words: Sequence[str], heard: Sequence[str]) -> "NDArray[np.int32]":
    """How alike each long planned word is to two, three or four heard words read as one, by place of the first."""
    import numpy as np

    best = np.zeros((len(long_words), len(heard)), np.int32)
    for count in range(2, MOST_PIECES + 1):
        joined = ["".join(heard[place : place + count]) for place in range(len(heard) - count + 1)]
        if not joined or not long_words:
            continue
        different = sorted(set(joined))
        number = {word: place for place, word in enumerate(different)}
        table = _alike(long_words, different)
        found = table[:, [number[word] for word in joined]]
        best[:, : len(joined)] = np.maximum(best[:, : len(joined)], found)
    return best
