"""When the words of captions were said: one after the other as fast as somebody speaks, with quiet between them.

Where in a caption its quiet lies is told by the words around: so much is usual after `stay here.`, so little after
`and the`. `quiet_after.npz` has what each is worth; `tests/draft/learn_quiet.py` writes it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from guide.review.captions.letter_rate import LONGEST_MS, QUICK_OF_TEN, letters_a_second
from guide.review.captions.transcript import Transcript, folded

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Numbers = NDArray[np.float64]
    Rows = NDArray[np.int64]

#: The words around a quiet that tell of it, from the last but three before to the third after.
AROUND = (-3, -2, -1, 0, 1, 2, 3)
#: What a word may end with, and a last row for captions without points.
ENDS = ("", ",", ".", "?", "!", "…", None)
#: Captions with this share of sentence ends among their words have points.
POINTED = 0.02
#: A caption of so many words at most has nearly all of its quiet after the last of them: it stands longer than it is
#: said. A longer one, of more words or more time, has none there, unless it stands until the next one comes.
A_LINE, AFTER_A_LINE, STANDS_MS = 14, 50.0, 50
#: How far off a word is grows with the quiet that its caption has before it or from it on, whichever is less, and with
#: how much quiet there is between two words: measured on talks that nothing was learned from.
LOOSE_MS = 8_000


@dataclass(frozen=True, slots=True)
class QuietAfter:
    """What is worth what for a quiet, as a logarithm of seconds: `worth` has a row for each place in `AROUND` and each
    of the words in `row_of` (0 is none, the last any other), and then for each of `ENDS`; all begin with `usual`."""

    row_of: dict[str, int]
    worth: "Numbers"
    usual: float

    def rows(self, words: Sequence[str], ends: Sequence[str | None]) -> "Rows":
        """The rows for the quiet after each of some words, written as `folded` leaves them, with their ends."""
        import numpy as np

        every = len(self.row_of) + 2
        numbers = np.array([self.row_of.get(word, every - 1) for word in words], dtype=np.int64)
        padded = np.pad(numbers, len(AROUND))
        columns = [
            padded[len(AROUND) + off : len(AROUND) + off + len(words)] + place * every
            for place, off in enumerate(AROUND)
        ]
        at_end = np.array([len(AROUND) * every + ENDS.index(end) for end in ends], dtype=np.int64)
        return np.column_stack([*columns, at_end])


@cache
def learned() -> QuietAfter:
    """What was learned of quiet."""
    import numpy as np

    with np.load(Path(__file__).with_name("quiet_after.npz")) as kept:
        words = kept["words"].tobytes().decode().split("\n")
        return QuietAfter(
            {word: row for row, word in enumerate(words, 1)}, kept["worth"].astype(float), float(kept["usual"])
        )


class WordTime(NamedTuple):
    """When a word was said, in ms; its start is off by about `loose_ms`."""

    start_ms: float
    end_ms: float
    loose_ms: float


def word_times(transcript: Transcript) -> Iterator[list[WordTime]]:
    """For each caption when each of its words was said."""
    import numpy as np

    letter_ms = 1000 / letters_a_second(transcript, QUICK_OF_TEN)
    written = [block.text.split() for block in transcript.blocks]
    every = [word for words in written for word in words]
    is_pointed = has_points(every)
    quiets = np.split(_usual_quiets(every, is_pointed), np.cumsum([*map(len, written)]))
    untils = [*(after.start_ms - block.end_ms <= STANDS_MS for block, after in pairwise(transcript.blocks)), False]
    for block, words, quiet, stands in zip(transcript.blocks, written, quiets, untils, strict=False):
        counted = np.array([sum(len(text) + 1 for text in folded(word)) for word in words])
        length_ms = block.end_ms - block.start_ms
        quiet[-1:] *= AFTER_A_LINE if len(words) <= A_LINE and (stands or length_ms <= LONGEST_MS) else stands
        lasts_ms = counted * min(letter_ms, length_ms / max(counted.sum(), 1))
        after_ms = quiet * ((length_ms - lasts_ms.sum()) / max(quiet.sum(), 1e-9))
        ends_ms = block.start_ms + np.cumsum(lasts_ms + after_ms) - after_ms
        since_ms = np.cumsum(after_ms) - after_ms
        nearer_ms = np.maximum(np.minimum(since_ms, after_ms.sum() - since_ms), 0)
        loose_ms = np.sqrt(LOOSE_MS * np.sqrt(nearer_ms * since_ms[-1:] / max(len(words) - 1, 1)))
        times = (ends_ms - lasts_ms).tolist(), ends_ms.tolist(), loose_ms.tolist()
        yield [*map(WordTime, *times)]


def _usual_quiets(written: Sequence[str], is_pointed: bool) -> "Numbers":
    """How long a quiet is usual after each of all written words, in s."""
    import numpy as np

    ends = [end_of(word) if is_pointed else None for word in written]
    rows = learned().rows(["".join(folded(word)) for word in written], ends)
    found: Numbers = np.exp(learned().worth[rows].sum(axis=1) + learned().usual)
    return found


def end_of(word: str) -> str:
    """What a written word ends with, of `ENDS`."""
    return word[-1] if word[-1] in ENDS else "" if word[-1].isalnum() else "."


def has_points(written: Sequence[str]) -> bool:
    """Whether sentences end with a point among some written words."""
    return sum(map(ends_sentence, written)) >= POINTED * len(written)


def ends_sentence(written: str) -> bool:
    """Whether a sentence ends with a word as it is written."""
    return written[-1] in ".?!…"
