"""Words aligned with themselves: what two words count, and the best alignment of two passes with sides exchanged.

The alignment is a dynamic program over two passes that meet at a turn: the first ends, and the second begins, there.
Source of its gaps: O. Gotoh, "An improved algorithm for matching biological sequences" (1982), from memory.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from math import log
from typing import TYPE_CHECKING

from guide.draft.phrases import Token
from guide.review.aligning.word_likeness import sounded
from guide.sequence.steps import Side

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Numbers = NDArray[np.int64]
    Small = NDArray[np.int32]

#: One side has at most so many words.
MOST_WORDS = 320

#: The rarest words of more than so many are like no other.
MOST_DIFFERENT = 3_000

#: All scores are whole numbers: a word that is said once in a class, heard the same again, counts so much.
FULL = 1000

#: Words less alike than this are different words.
LEAST_ALIKE = 0.6

#: A gap costs so much besides its words.
OPENED = 600

#: A second pass that does not begin as the first did costs so much.
LATE = 800

#: A second pass begins with words whose sides come so many words later, with so many more or fewer between.
SOON = 40
DRIFT = 4
_HANDS = {Side.RIGHT: 1, Side.LEFT: -1, None: 0}

#: Left where right was, and the same side once more.
EXCHANGED = 1200
SAME_SIDE = -1500

#: A side that has no partner costs so much.
SIDE_ALONE = 100

#: A word that has no partner costs so much of its weight, and two different words in one place so much of theirs.
ALONE = 0.2
#: Of that, what is said at the end of the first pass alone costs so much.
AFTER = 0.6
DIFFERENT = 0.35

#: The place where an alignment began is kept in so many of the low bits of its score.
PLACES = 1 << 10

#: Less than any score.
NEVER = -FULL * FULL * PLACES // 2

#: So many turns are aligned together.
BATCH = 64


def scores(tokens: Sequence[Token], sides: Sequence[Side | None]) -> tuple["Numbers", "Numbers", "Numbers"]:
    """What two words in one place count, by their numbers; the number of every token; and its weight."""
    import numpy as np
    from rapidfuzz.distance import Indel
    from rapidfuzz.process import cdist

    texts = [side.value if side else token.text for token, side in zip(tokens, sides, strict=True)]
    counts = Counter(texts)
    unique = [*sorted(text for text, _ in counts.most_common(MOST_DIFFERENT)), ""]
    number = {text: place for place, text in enumerate(unique)}
    spoken = [sounded(text) for text in unique]
    alike = np.maximum(
        cdist(unique, unique, scorer=Indel.normalized_similarity, score_cutoff=LEAST_ALIKE),
        cdist(spoken, spoken, scorer=Indel.normalized_similarity, score_cutoff=LEAST_ALIKE),
    )
    alike[-1], alike[:, -1] = 0, 0
    whole = log(max(len(tokens), 8))
    weight = np.array([max(0.15, 1 - log(max(counts[text] / 2, 1)) / whole) for text in unique])
    both = np.minimum(weight[:, None], weight[None, :])
    table = np.where(alike > 0, both * (2 * alike - 1), -DIFFERENT * both) * FULL
    for one in Side:
        for other in Side:
            if one.value in number and other.value in number:
                table[number[one.value], number[other.value]] = SAME_SIDE if one is other else EXCHANGED
    numbers = np.array([number.get(text, len(unique) - 1) for text in texts])
    weights = np.rint(weight[numbers] * FULL).astype(np.int64)
    weights[[place for place, side in enumerate(sides) if side]] = round(SIDE_ALONE / ALONE)
    return np.rint(table).astype(np.int64), numbers, weights


def turns_of(table: "Numbers", numbers: "Numbers", sides: Sequence[Side | None]) -> list[int]:
    """Where words begin that were said some words before, with the other side soon after both."""
    import numpy as np

    reach = min(MOST_WORDS, len(numbers) - 1)
    padded = np.concatenate([np.full(reach, -1), numbers, np.full(SOON + 2, -1)])
    hands = np.concatenate([np.zeros(reach), [_HANDS[side] for side in sides], np.zeros(SOON + 2)]).astype(np.int8)
    count = len(numbers)
    found = np.zeros(count, bool)
    here = np.arange(reach, reach + count)
    agree = np.zeros((reach + 1, count + 1), bool)
    opposite = np.zeros((reach + 1, count + SOON + 1), np.int32)
    ahead = np.arange(reach, reach + count + SOON)
    for lag in range(1, reach + 1):
        agree[lag, :count] = (table[padded[here], padded[here - lag]] > 0) & (padded[here - lag] >= 0)
        opposite[lag, 1:] = np.cumsum(hands[ahead] * hands[ahead - lag] < 0)
    for lag in range(1, reach + 1):
        near = opposite[max(lag - DRIFT, 1) : lag + DRIFT + 1]
        soon = (near[:, SOON : SOON + count] > near[:, :count]).any(axis=0)
        found |= agree[lag, :count] & (agree[lag, 1:] | (hands[here] * hands[here - lag] < 0)) & soon
    return [int(place) for place in np.flatnonzero(found)]


def aligned(
    turns: Sequence[int], table: "Numbers", numbers: "Numbers", weights: "Numbers"
) -> Iterator[tuple[int, int, int]]:
    """For each turn the score of the best two passes that meet there, where the first begins, and the second ends."""
    import numpy as np

    width = min(MOST_WORDS, len(numbers))
    gains = np.pad(table * PLACES, (0, 1), constant_values=-FULL * FULL * PLACES // 8).astype(np.int32)
    padded = np.concatenate([np.full(width, -1), numbers, np.full(width, -1)]) % len(gains)
    costs = np.concatenate([np.zeros(width), np.rint(weights * ALONE), np.zeros(width)]).astype(np.int32) * PLACES
    for batch in range(0, len(turns), BATCH):
        some = turns[batch : batch + BATCH]
        ended = _ended(np.array(some) + width, width, gains, padded, costs)
        for turn, scored, end in zip(some, ended, ended.argmax(axis=1), strict=True):
            score, start = divmod(int(scored[end]), PLACES)
            yield score, turn - width + start, turn + int(end)


def _ended(at: "Numbers", width: int, gains: "Small", padded: "Numbers", costs: "Small") -> "Small":
    """The best score for each turn by where the second pass ends, with where the first begins in its low bits.

    In 32 bits, which take half the time: no score is further from nought than `EXCHANGED * MOST_WORDS * PLACES`.
    """
    import numpy as np

    ahead = at[:, None] + np.arange(width)
    later = padded[ahead]
    skipped = np.zeros((len(at), width + 1), np.int32)
    np.cumsum(costs[ahead], axis=1, out=skipped[:, 1:])
    paid = skipped + OPENED * PLACES
    after = (costs * AFTER).astype(np.int32) // PLACES * PLACES
    row = np.full_like(skipped, NEVER)
    row[:, 0] = 0
    left_out, ended = row + NEVER, row.copy()
    for back in range(width, 0, -1):
        place = at - back
        np.maximum(left_out, row - OPENED * PLACES, out=left_out)
        left_out -= costs[place][:, None]
        new = left_out.copy()
        gained = gains.take(padded[place][:, None] * len(gains) + later)
        np.maximum(new[:, 1:], row[:, :-1] + gained, out=new[:, 1:])
        new[:, 0] = width - back + 1
        beside = new + skipped
        beside[:, 0] -= LATE * PLACES
        row = np.maximum(new, np.maximum.accumulate(beside, axis=1) - paid)
        ended -= after[place][:, None]
        np.maximum(ended, row, out=ended)
    return ended
