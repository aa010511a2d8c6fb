"""Second sides that are told and not said again: `other side`, a limb with the other side, and then fewer words.

A pair is where a first side begins, where it turns to the second, and where that ends. What speaks for one is added up
in one score: words that turn, limbs that are named first with one side and then with the other, what is said or named
in both, how long the sides are. Of all pairs those are taken that together score most.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from guide.draft.phrases import Phrase
from guide.draft.repeated_sides import MOST_TOKENS, RepeatedSides
from guide.draft.side_words import OPENING, SideWords, side_words
from guide.sequence.steps import Side

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Scores = NDArray[np.float64]

#: A first side lasts at least and at most so long; what is said again at once may last less.
LEAST_MS, MOST_MS = 12_000, 360_000
LEAST_SAID_AGAIN_MS = 5_000
#: It lasts so long by and large, and the second so much of that, as teachers say less then: how far off, in logarithms.
USUAL_MS, WIDELY = 65_000, 1.0
SHARE, CLOSELY = 0.68, 0.42

#: What turns is said so soon after the turn.
SOON_MS = 9_000

#: What a pair must come to, and so much more where no words turn.
LEAST, UNTOLD = 3.5, 1.0
#: Words that turn count at most so much, and against a pair where they are inside of it.
MOST_TOLD, INSIDE = 5.0, 1.0
#: A limb that is mirrored, of at most so many; less where no limb is named in so many words; more where one is at once.
MIRRORED, MOST_MIRRORED, LATE, LATER = 1.0, 3, 25, 0.4
AT_ONCE = 1.2
#: A first side that begins with a side, and a second that ends with something being over; each side that is named.
BEGUN, ENDED, EACH, MOST_EACH = 1.0, 0.6, 0.2, 6
#: Poses that are named again, and new ones in the second side; what is said again, and at the beginning.
NAMED, NEWLY_NAMED, MOST_NAMED = 1.0, 1.2, 2
AGAIN, MUCH, LEAST_WORDS = 2.0, 0.4, 4.0
ALIKE, MUCH_ALIKE = 1.5, 2.0

_HANDS = {Side.RIGHT: 1, Side.LEFT: -1}


def told_sides(
    phrases: Sequence[Phrase], new: Collection[int], names: Mapping[int, str], said: Sequence[RepeatedSides]
) -> tuple[RepeatedSides, ...]:
    """Everything done on both sides, in order: what was `said` again at once, and of the rest what is told.

    The phrases whose numbers are in `new` say something new; `names` are the tokens that name a pose.
    """
    words = side_words(phrases, new, names)
    if not words.tokens or len(words.tokens) > MOST_TOKENS:
        return tuple(said)
    kept = [one for one in said if words.at_ms(one.turn) - words.at_ms(one.start) >= LEAST_SAID_AGAIN_MS]
    found = [one for turn in _turns(words) for one in _pairs(words, turn)]
    free = [one for one in found if all(one.end <= each.start or one.start >= each.end for each in kept)]
    return tuple(sorted((*kept, *_likeliest(free)), key=lambda one: one.start))


def _turns(words: SideWords) -> list[int]:
    """Where a second side may begin: the clauses that say so, or that name a limb with the other side than before."""
    found = {words.clause_of(place) for place in words.turns}
    last: dict[tuple[str, Side], int] = {}
    for each in words.mentions:
        before = last.get((each.limb, each.side.other))
        if before is not None and words.at_ms(each.place) - words.at_ms(before) < MOST_MS:
            found.add(words.clause_of(each.place))
        last[each.limb, each.side] = each.place
    return sorted(found - {0})


def _pairs(words: SideWords, turn: int) -> Iterator[RepeatedSides]:
    """The pairs that may turn here: each beginning with its likeliest end, and the other way round."""
    turn_ms = words.at_ms(turn)
    edges = words.phrases if words.tokens and _pointed(words) else words.clauses
    starts = _said_between(words, words.clauses, turn_ms - MOST_MS, turn_ms - LEAST_MS)
    ends = _said_between(words, (*edges, len(words.tokens)), turn_ms + LEAST_MS // 2, turn_ms + MOST_MS)
    ends = [place for place in ends if place > turn]
    if not starts or not ends:
        return
    score = _scores(words, starts, turn, ends)
    likely = {(row, int(score[row].argmax())) for row in range(len(starts))}
    likely |= {(int(score[:, column].argmax()), column) for column in range(len(ends))}
    for row, column in sorted(likely):
        if score[row, column] > 0:
            first = _first(words, starts[row], turn, ends[column])
            yield RepeatedSides(starts[row], turn, ends[column], first, round(float(score[row, column]) * 1000))


def _said_between(words: SideWords, places: Sequence[int], from_ms: int, until_ms: int) -> list[int]:
    return list(places[bisect_left(places, from_ms, key=words.at_ms) : bisect_right(places, until_ms, key=words.at_ms)])


def _pointed(words: SideWords) -> bool:
    return any(token.ends for token in words.tokens)


def _first(words: SideWords, start: int, turn: int, end: int) -> Side:
    """The side that the first pass names first, or the other one than the second does; right where none is named."""
    sides = [each.side for each in words.mentions_in(start, turn)]
    sides += [each.side.other for each in words.mentions_in(turn, end)]
    return sides[0] if sides else Side.RIGHT


def _scores(words: SideWords, starts: Sequence[int], turn: int, ends: Sequence[int]) -> "Scores":
    """What speaks for every beginning, down, with every end, across."""
    import numpy as np

    turn_ms = words.at_ms(turn)
    told = sum(cue for place, cue in words.turns.items() if turn <= place and words.at_ms(place) - turn_ms < SOON_MS)
    firsts_ms = np.array([[turn_ms - words.at_ms(place)] for place in starts])
    seconds_ms = np.array([words.at_ms(place) - turn_ms for place in ends])
    begun = [
        BEGUN * words.begins(place)
        + EACH * min(words.mentioned(place, turn), MOST_EACH)
        + ALIKE * min(words.alike(place, turn) / MUCH_ALIKE, 1)
        - INSIDE * words.turning(place, turn)
        for place in starts
    ]
    ended = [
        ENDED * words.ends(place)
        + EACH * min(words.mentioned(turn, place), MOST_EACH)
        - INSIDE * max(words.turning(turn, place) - told, 0)
        for place in ends
    ]
    score = np.array(begun)[:, None] + np.array(ended) - LEAST
    score += min(told, MOST_TOLD) if told >= 1 else told - UNTOLD
    score -= (np.log(firsts_ms / USUAL_MS) / WIDELY) ** 2 / 2
    score -= (np.log(seconds_ms / firsts_ms / SHARE) / CLOSELY) ** 2 / 2
    whole: Scores = score + _mirrored(words, starts, turn, ends) + _again(words, starts, turn, ends)
    return whole


def _mirrored(words: SideWords, starts: Sequence[int], turn: int, ends: Sequence[int]) -> "Scores":
    """What limbs say that are named first with one side, and in the second pass first with the other."""
    import numpy as np

    mentions = words.mentions_in(starts[0], ends[-1])
    limbs = sorted({each.limb for each in mentions})
    one, other = np.zeros((len(starts), len(limbs))), np.zeros((len(ends), len(limbs)))
    at_once = np.zeros(len(limbs))
    for number, limb in enumerate(limbs):
        here = [each for each in mentions if each.limb == limb]
        for row, start in enumerate(starts):
            one[row, number] = next((_HANDS[each.side] for each in here if start <= each.place < turn), 0)
        place, hand = next(((each.place, _HANDS[each.side]) for each in here if each.place >= turn), (0, 0))
        other[:, number] = [hand * (place < end) for end in ends]
        at_once[number] = hand * (place < turn + OPENING)
    named = next((each.place for each in mentions if each.place >= turn), turn)
    worth = MIRRORED * (LATER if named - turn > LATE else 1)
    opposite = np.clip(-one @ other.T, -MOST_MIRRORED, MOST_MIRRORED)
    score: Scores = opposite * worth + AT_ONCE * np.any(one * at_once < 0, axis=1, keepdims=True)
    return score


def _again(words: SideWords, starts: Sequence[int], turn: int, ends: Sequence[int]) -> "Scores":
    """What poses and words say that are in both passes, and poses that are in the second alone."""
    import numpy as np

    named, names = _shared(words.names, {}, starts, turn, ends)
    said, telling = _shared(words.telling, words.rare, starts, turn, ends)
    score: Scores = NAMED * np.minimum(named, MOST_NAMED) - NEWLY_NAMED * np.minimum(names - named, MOST_NAMED)
    return score + AGAIN * np.minimum(said / np.maximum(telling, LEAST_WORDS) / MUCH, 1)


def _shared(
    said: Mapping[int, str], weights: Mapping[str, float], starts: Sequence[int], turn: int, ends: Sequence[int]
) -> tuple["Scores", "Scores"]:
    """How much of what is in the second pass is in the first too, and how much is in it at all."""
    import numpy as np

    last = {said[place]: place for place in range(starts[0], turn) if place in said}
    next_ = {said[place]: place for place in reversed(range(turn, ends[-1])) if place in said}
    both = sorted(next_)
    # Beginnings and ends are in order: each word counts for all beginnings up to its last place, and all ends after.
    rows = np.searchsorted(starts, [last.get(word, -1) for word in both], side="right")
    columns = np.searchsorted(ends, [next_[word] for word in both], side="right")
    found = np.zeros((len(starts) + 1, len(ends) + 1))
    np.add.at(found, (rows, columns), [weights.get(word, 1.0) for word in both])
    until = np.cumsum(found, axis=1)[:, :-1]
    return np.cumsum(until[::-1], axis=0)[::-1][1:], until.sum(axis=0)


def _likeliest(found: Sequence[RepeatedSides]) -> tuple[RepeatedSides, ...]:
    """Those that together score most, none of which overlaps another."""
    by_end = sorted(found, key=lambda one: one.end)
    ends = [one.end for one in by_end]
    best: list[tuple[int, tuple[RepeatedSides, ...]]] = [(0, ())]
    for number, one in enumerate(by_end):
        score, before = best[bisect_left(ends, one.start + 1, hi=number)]
        best.append(max(best[-1], (score + one.score, (*before, one)), key=lambda each: each[0]))
    return best[-1][1]
