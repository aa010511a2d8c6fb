"""Which heard word is which planned word: a rough idea first, then the best path through both."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import IntEnum
from typing import TYPE_CHECKING

from guide.review.captions.transcript import Word

if TYPE_CHECKING:
    from guide.review.aligning.anchors import Pair
    from guide.review.aligning.word_alignment import AlignmentTask
    from guide.review.aligning.word_likeness import Likeness

#: A word is looked for so far on either side of where it is expected, and further the less is known.
LEAST_REACH_MS = 120_000
REACH_OF_GAP = 0.6

#: So many pairs of words are looked at, at most: about five seconds of work.
MOST_CELLS = 60_000_000

#: What it costs to go on at a word far from the last match, by what it begins; a word that is said once brings 1000.
FAR = (450, 430, 380, 250)


class Begins(IntEnum):
    """What a planned word is the first of: where a part of a class is left out or put in, it ends there rather."""

    NOTHING = 0
    CUE = 1
    STEP = 2
    SECTION = 3


@dataclass(frozen=True, slots=True)
class PlannedWord:
    """A word of cue number `cue` of the plan, with its planned time."""

    word: Word
    cue: int
    begins: Begins


@dataclass(frozen=True, slots=True)
class Match:
    """Planned word `planned` and heard word `heard`, by number, are the same; `alike` is 1 where nothing differs."""

    planned: int
    heard: int
    alike: float


@dataclass(frozen=True, slots=True)
class Alignment:
    """The matches, both numbers rising, and what each planned word tells of its place, 0 to 1."""

    matches: tuple[Match, ...]
    weights: tuple[float, ...]


def aligned(planned: Sequence[PlannedWord], heard: Sequence[Word]) -> Alignment:
    """Which words belong together; any word on either side may be left without another.

    Words tell by their order and by how rare they are; their times only where the same words are said again.
    """
    if not planned or not heard:
        return Alignment((), (1.0,) * len(planned))
    from guide.review.aligning.anchors import anchors
    from guide.review.aligning.word_alignment import best_path
    from guide.review.aligning.word_likeness import FULL, likeness, weights

    plan_words, said_words = [one.word.text for one in planned], [word.text for word in heard]
    alike, told = likeness(plan_words, said_words), weights(plan_words, said_words)
    pairs = best_path(_field(planned, heard, alike, told, anchors(plan_words, said_words)))
    matches = (Match(one, other, int(alike.row(one, other, other + 1)[0]) / FULL) for one, other in pairs)
    return Alignment(tuple(matches), tuple(told[word] for word in plan_words))


def _field(
    planned: Sequence[PlannedWord],
    heard: Sequence[Word],
    alike: "Likeness",
    told: Mapping[str, float],
    known: "Sequence[Pair]",
) -> "AlignmentTask":
    """Where each planned word is looked for: around where its neighbours among the anchors say."""
    import numpy as np

    from guide.review.aligning.anchors import expected
    from guide.review.aligning.word_alignment import AlignmentTask

    said_ms = [word.start_ms for word in heard]
    likely, off = expected(known, [one.word.start_ms for one in planned], said_ms)
    reach = LEAST_REACH_MS + REACH_OF_GAP * off
    first = np.searchsorted(said_ms, likely - reach)
    end = np.searchsorted(said_ms, likely + reach, side="right")
    # What would take too long to look through is narrowed to around where each word is expected.
    middle, half = np.searchsorted(said_ms, likely), MOST_CELLS // len(planned) // 2 + 1
    first, end = np.maximum(first, middle - half), np.minimum(end, middle + half)
    # Neither may fall from one planned word to the next, and each word is looked for somewhere.
    first = np.minimum(np.minimum.accumulate(first[::-1])[::-1], len(heard) - 1)
    end = np.maximum(np.maximum.accumulate(end), first + 1)
    weight = np.array([told[one.word.text] for one in planned], np.float64)
    far = np.array([FAR[one.begins] for one in planned], np.int64)
    return AlignmentTask(alike, weight, far, likely, first, end, np.array(said_ms, np.float64))
