"""Second sides, found by their words alone: what is said again at once, with left and right exchanged."""

from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import log
from typing import TYPE_CHECKING

from guide.rehearse.drafting.phrases import Phrase, Token, side_of
from guide.rehearse.likeness import sounded
from guide.sequence.steps import Side

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Numbers = NDArray[np.int64]

#: One side has at most so many words.
MOST_WORDS = 320

#: Three hours of fast talk; in more no sides are looked for. The rarest words of very many are like no other.
MOST_TOKENS = 40_000
MOST_DIFFERENT = 3_000

#: A phrase that began so few words before is no other phrase.
FEW_WORDS = 3

#: All scores are whole numbers: a word that is said once in a class, heard the same again, counts so much.
FULL = 1000

#: Words less alike than this are different words.
LEAST_ALIKE = 0.6

#: A gap costs so much besides its words.
OPENED = 600

#: A second pass that does not begin as the first did costs so much; a phrase that begins where it does brings so much.
LATE = 800
BEGUN = 800
#: The same where full stops show where phrases begin.
BEGUN_SURELY = 2000

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

#: Where less than so much of two passes agrees, they count for less.
DENSE = 0.4
#: Of all that could agree so much does, in two passes that are the same.
LEAST_SHARE = 0.02
LEAST_SCORE = 2_600

#: One that scores so much less than another that it overlaps is none.
WEAK = 0.4

#: Of a pass, so much at its outer end may be no part of it.
LOOSE = 0.3

#: The place where an alignment began is kept in so many of the low bits of its score.
PLACES = 1 << 10


@dataclass(frozen=True, slots=True)
class Echo:
    """Two passes of the same thing, by numbers of tokens: from `start` to before `turn`, and on to before `end`."""

    start: int
    turn: int
    end: int
    first: Side
    score: int

    @property
    def core_start(self) -> int:
        """A part of the first pass may be what came before it."""
        return self.start + int((self.turn - self.start) * LOOSE)

    @property
    def core_end(self) -> int:
        """A part of the second pass may be what came after it."""
        return self.end - int((self.end - self.turn) * LOOSE)


def echoes(phrases: Sequence[Phrase], new: Collection[int], names: Mapping[int, str]) -> tuple[Echo, ...]:
    """All things done on both sides, in order; none overlaps another.

    The phrases whose numbers are in `new` say something new, and are no part of what was said before them; `names`
    are the tokens that name a pose, by number, with what they are compared by.
    """
    tokens = [token for phrase in phrases for token in phrase.tokens]
    tokens = [replace(token, text=names.get(number, token.text)) for number, token in enumerate(tokens)]
    starts, place = [], 0
    for phrase in phrases:
        starts.append(place)
        place += len(phrase.tokens)
    sides = [side_of(token.text) for token in tokens]
    if Side.RIGHT not in sides or Side.LEFT not in sides or len(tokens) > MOST_TOKENS:
        return ()
    edges = [*starts, len(tokens)]
    return tuple(_evened(_best(list(_found(tokens, sides, starts, phrases[0].pointed))), tokens, edges, new))


def _evened(
    found: Sequence[Echo], tokens: Sequence[Token], edges: Sequence[int], new: Collection[int]
) -> Iterator[Echo]:
    """Passes that last about as long: a shorter one takes in what was said before the first, or after the second."""
    before = 0
    for one, following in zip(found, [*(each.start for each in found[1:]), len(tokens)], strict=False):
        turn_ms = tokens[one.turn].start_ms
        start, end = one.start, one.end
        number = bisect_left(edges, end)
        while (
            number < len(edges) - 1
            and edges[number + 1] <= following
            and number not in new
            and tokens[edges[number + 1] - 1].end_ms - turn_ms <= turn_ms - tokens[start].start_ms
        ):
            number += 1
            end = edges[number]
        last_ms = tokens[end].start_ms if end < len(tokens) else tokens[-1].end_ms
        number = bisect_left(edges, start)
        while (
            number > 0
            and edges[number - 1] >= before
            and turn_ms - tokens[edges[number - 1]].start_ms <= last_ms - turn_ms
        ):
            number -= 1
            start = edges[number]
            if number in new:
                break
        before = end
        yield replace(one, start=start, end=end)


def _found(
    tokens: Sequence[Token], sides: Sequence[Side | None], starts: Sequence[int], pointed: bool
) -> Iterator[Echo]:
    """The best two passes around every turn at which a phrase begins."""
    table, numbers, weights = _scores(tokens, sides)
    turns = _turns(table, numbers, sides)
    begins = dict.fromkeys(starts, BEGUN_SURELY if pointed else BEGUN)
    for batch in range(0, len(turns), 64):
        for turn, (score, start, end) in zip(
            turns[batch : batch + 64], _aligned(turns[batch : batch + 64], table, numbers, weights), strict=True
        ):
            if score < LEAST_SCORE:
                continue
            score += begins.get(turn, 0)
            turn = _begun(turn, starts)
            start, end = _edges(start, turn, end, starts, len(tokens))
            could = min(int(weights[start:turn].sum()), int(weights[turn:end].sum()))
            share = score / could if could else 0.0
            first = _first([side for side in sides[start:turn] if side], [side for side in sides[turn:end] if side])
            if first and share >= LEAST_SHARE:
                worth = score * min(1.0, share / DENSE)
                yield Echo(start, turn, end, first, round(worth))


def _begun(turn: int, starts: Sequence[int]) -> int:
    """The turn, or the beginning of its phrase where that is a few words before: a name may have been misheard."""
    begun = starts[bisect_right(starts, turn) - 1]
    return begun if 0 < turn - begun <= FEW_WORDS else turn


def _first(one: Sequence[Side], other: Sequence[Side]) -> Side | None:
    """The side of the first pass, where the second names the opposite sides more than the same ones, or begins so."""
    from rapidfuzz.distance import LCSseq

    opposite = LCSseq.similarity(one, [side.other for side in other])
    same = LCSseq.similarity(one, other)
    begun = bool(one and other) and one[0] is not other[0]
    return one[0] if opposite > same or (opposite == same and begun) else None


def _turns(table: "Numbers", numbers: "Numbers", sides: Sequence[Side | None]) -> list[int]:
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


def _edges(start: int, turn: int, end: int, starts: Sequence[int], count: int) -> tuple[int, int]:
    """The edges of the passes at the beginnings of phrases that are nearest to where the alignment has them."""
    edges = [*starts, count]
    before = [edge for edge in edges[max(bisect_right(edges, start) - 1, 0) :][:2] if edge < turn]
    after = [edge for edge in edges[max(bisect_right(edges, end) - 1, 0) :][:2] if edge > turn]
    return (
        min(before, key=lambda edge: abs(edge - start)),
        min(after, key=lambda edge: abs(edge - end), default=count),
    )


def _scores(tokens: Sequence[Token], sides: Sequence[Side | None]) -> tuple["Numbers", "Numbers", "Numbers"]:
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


def _aligned(
    turns: Sequence[int], table: "Numbers", numbers: "Numbers", weights: "Numbers"
) -> Iterator[tuple[int, int, int]]:
    """For each turn the score of the best two passes that meet there, where the first begins, and the second ends."""
    import numpy as np

    width = min(MOST_WORDS, len(numbers))
    padded = np.concatenate([np.full(width, -1), numbers, np.full(width, -1)])
    costs = np.concatenate([np.zeros(width), np.rint(weights * ALONE), np.zeros(width)]).astype(np.int64) * PLACES
    at = np.array(turns)[:, None] + width
    later = padded[at + np.arange(width)]
    skipped = np.cumsum(costs[at + np.arange(width)], axis=1)
    skipped = np.concatenate([np.zeros((len(turns), 1), np.int64), skipped], axis=1)
    row = np.full((len(turns), width + 1), -FULL * FULL * PLACES)
    row[:, 0] = 0
    left_out = row - FULL * FULL * PLACES
    opened = OPENED * PLACES
    ended = row.copy()
    for back in range(width, 0, -1):
        place = at[:, 0] - back
        earlier, cost = padded[place], costs[place]
        gained = table[earlier[:, None], later] * PLACES
        gained[(later < 0) | (earlier[:, None] < 0)] = -FULL * FULL * PLACES // 8
        left_out = np.maximum(row - opened, left_out) - cost[:, None]
        new = left_out.copy()
        new[:, 1:] = np.maximum(new[:, 1:], row[:, :-1] + gained)
        new[:, 0] = width - back + 1
        beside = new + skipped - opened
        beside[:, 0] -= LATE * PLACES
        row = np.maximum(new, np.maximum.accumulate(beside, axis=1) - skipped)
        ended = np.maximum(ended - (cost * AFTER).astype(np.int64)[:, None] // PLACES * PLACES, row)
    ends = ended.argmax(axis=1)
    for number, turn in enumerate(turns):
        score, start = divmod(int(ended[number, ends[number]]), PLACES)
        yield score, turn - width + start, turn + int(ends[number])


def _best(found: Sequence[Echo]) -> list[Echo]:
    """Those of all that together score most; where two overlap a little, they are parted in the middle."""
    by_end = sorted(found, key=lambda one: one.core_end)
    ends = [one.core_end for one in by_end]
    best: list[tuple[int, tuple[Echo, ...]]] = [(0, ())]
    for number, one in enumerate(by_end):
        before = best[bisect_right(ends, one.core_start, hi=number)]
        taken = (before[0] + one.score, (*before[1], one))
        best.append(max(best[-1], taken, key=lambda each: each[0]))
    return list(_apart(best[-1][1]))


def _apart(found: Sequence[Echo]) -> Iterator[Echo]:
    """Echoes that do not overlap: a weak one that does is left out, others are parted where they meet."""
    kept: list[Echo] = []
    for one in found:
        while kept and kept[-1].end > one.start and kept[-1].score < WEAK * one.score:
            kept.pop()
        if kept and kept[-1].end > one.start:
            if one.score < WEAK * kept[-1].score:
                continue
            edge = max(kept[-1].core_end, min(kept[-1].end, one.start))
            kept[-1] = replace(kept[-1], end=edge)
            one = replace(one, start=edge)
        kept.append(one)
    yield from kept
