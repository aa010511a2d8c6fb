"""Repeated sides, found by their words alone: what is said again at once, with left and right exchanged."""

from bisect import bisect_left, bisect_right
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from guide.draft.phrases import Phrase, Token, side_of
from guide.draft.self_alignment import aligned, scores, turns_of
from guide.sequence.steps import Side

#: Three hours of fast talk; in more no sides are looked for.
MOST_TOKENS = 40_000

#: A phrase that began so few words before is no other phrase.
FEW_WORDS = 3

#: A phrase that begins where the second pass does brings so much; more where full stops show where phrases begin.
BEGUN = 800
BEGUN_SURELY = 2000

#: Where less than so much of two passes agrees, they count for less.
DENSE = 0.4
#: Of all that could agree so much does, in two passes that are the same.
LEAST_SHARE = 0.02
LEAST_SCORE = 2_600

#: One that scores so much less than another that it overlaps is none.
WEAK = 0.4

#: Of a pass, so much at its outer end may be no part of it.
LOOSE = 0.3


@dataclass(frozen=True, slots=True)
class RepeatedSides:
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


def repeated_sides(
    phrases: Sequence[Phrase], new: Collection[int], names: Mapping[int, str]
) -> tuple[RepeatedSides, ...]:
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
    found: Sequence[RepeatedSides], tokens: Sequence[Token], edges: Sequence[int], new: Collection[int]
) -> Iterator[RepeatedSides]:
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
) -> Iterator[RepeatedSides]:
    """The best two passes around every turn at which a phrase begins."""
    table, numbers, weights = scores(tokens, sides)
    turns = turns_of(table, numbers, sides)
    begins = dict.fromkeys(starts, BEGUN_SURELY if pointed else BEGUN)
    for turn, (score, start, end) in zip(turns, aligned(turns, table, numbers, weights), strict=True):
        if score < LEAST_SCORE:
            continue
        score += begins.get(turn, 0)
        turn = _begun(turn, start, starts)
        start, end = _edges(start, turn, end, starts, len(tokens))
        could = min(int(weights[start:turn].sum()), int(weights[turn:end].sum()))
        share = score / could if could else 0.0
        first = _first([side for side in sides[start:turn] if side], [side for side in sides[turn:end] if side])
        if first and share >= LEAST_SHARE:
            worth = score * min(1.0, share / DENSE)
            yield RepeatedSides(start, turn, end, first, round(worth))


def _begun(turn: int, start: int, starts: Sequence[int]) -> int:
    """The turn, or the beginning of its phrase where that is a few words before: a name may have been misheard.

    Something of the first pass, which begins at `start`, is always left: it may be in the same phrase.
    """
    begun = starts[bisect_right(starts, turn) - 1]
    return begun if start < begun and turn - begun <= FEW_WORDS else turn


def _first(one: Sequence[Side], other: Sequence[Side]) -> Side | None:
    """The side of the first pass, where the second names the opposite sides more than the same ones, or begins so."""
    from rapidfuzz.distance import LCSseq

    opposite = LCSseq.similarity(one, [side.other for side in other])
    same = LCSseq.similarity(one, other)
    begun = bool(one and other) and one[0] is not other[0]
    return one[0] if opposite > same or (opposite == same and begun) else None


def _edges(start: int, turn: int, end: int, starts: Sequence[int], count: int) -> tuple[int, int]:
    """The edges of the passes at the beginnings of phrases that are nearest to where the alignment has them."""
    edges = [*starts, count]
    before = [edge for edge in edges[max(bisect_right(edges, start) - 1, 0) :][:2] if edge < turn]
    after = [edge for edge in edges[max(bisect_right(edges, end) - 1, 0) :][:2] if edge > turn]
    return (
        min(before, key=lambda edge: abs(edge - start)),
        min(after, key=lambda edge: abs(edge - end), default=count),
    )


def _best(found: Sequence[RepeatedSides]) -> list[RepeatedSides]:
    """Those of all that together score most; where two overlap a little, they are parted in the middle."""
    by_end = sorted(found, key=lambda one: one.core_end)
    ends = [one.core_end for one in by_end]
    best: list[tuple[int, tuple[RepeatedSides, ...]]] = [(0, ())]
    for number, one in enumerate(by_end):
        before = best[bisect_right(ends, one.core_start, hi=number)]
        taken = (before[0] + one.score, (*before[1], one))
        best.append(max(best[-1], taken, key=lambda each: each[0]))
    return list(_apart(best[-1][1]))


def _apart(found: Sequence[RepeatedSides]) -> Iterator[RepeatedSides]:
    """Echoes that do not overlap: a weak one that does is left out, others are parted where they meet."""
    kept: list[RepeatedSides] = []
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
