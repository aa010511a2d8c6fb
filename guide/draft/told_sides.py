"""Second sides that are told and not said again: `other side`, a limb with the other side, and then fewer words.

A pair is where a first side begins, where it turns to the second, and where that ends. What speaks for one is added up
in one score, as `tests/draft/learn_sides.py` fitted it to the talked classes: the same row of poses twice, words that
turn, limbs that are named first with one side and then with the other, what is said or named in both, how long the
sides are. Of all pairs those are taken that together score most.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike

from guide.draft.phrases import Phrase
from guide.draft.reading.encoder import ToldPhrases
from guide.draft.repeated_sides import MOST_TOKENS, RepeatedSides
from guide.draft.side_words import OPENING, SideWords, side_words
from guide.sequence.steps import Side

#: A first side lasts at least and at most so long; what is said again at once may last less.
LEAST_MS, MOST_MS = 12_000, 420_000
LEAST_SAID_AGAIN_MS = 5_000
#: It lasts so long by and large, and the second so much of that, as teachers say less then.
USUAL_MS, SHARE = 65_000, 0.68

#: What turns is said so soon after the turn.
SOON_MS = 9_000
#: Words that turn count at most so much, and mirrored limbs; late ones less, if so many words come before.
MOST_TOLD, MOST_MIRRORED, LATE, LATER = 5.0, 3, 25, 0.4
#: No more sides, poses that are named, and poses in a row count than these; and as much alike is all alike.
MOST_EACH, MOST_NAMED, MOST_IN_A_ROW, MUCH_ALIKE = 6, 2, 6, 2.0
MUCH_AGAIN, LEAST_WORDS = 0.4, 4.0

#: A second side may begin where the network takes it for as likely; more log-odds than these are no surer.
LIKELY_TURN, MOST_ODDS = -1.5, 5.0

#: What each sign is worth.
WORTH = {
    "turns": 0.06,
    "turns plainly": -0.16,
    "a pose begins the second": -1.01,
    "read as the second": 0.19,
    "begins": 0.86,
    "sides in the first": -0.14,
    "alike beginnings": 0.83,
    "turning in the first": -0.18,
    "a pose begins the first": -0.05,
    "read as the first": 0.18,
    "ends": 0.10,
    "sides in the second": -0.42,
    "turning in the second": -0.17,
    "a pose begins after": -0.40,
    "a pose ends": -0.10,
    "read as over": 0.30,
    "unusual length": -0.46,
    "unlike lengths": -2.48,
    "mirrored": 0.33,
    "mirrored at once": 0.35,
    "named again": -0.02,
    "newly named": -0.08,
    "said again": 1.84,
    "the same pose": 1.08,
    "another pose": -0.32,
    "left out": -0.33,
    "a pose without sides": -1.35,
    "the same pose first": -0.15,
}
#: A pair is one where all its signs come to as much.
LEAST = -2.58

_HANDS = {Side.RIGHT: 1, Side.LEFT: -1}


@dataclass(frozen=True, slots=True)
class Kept:
    """A stay in a pose, by the numbers of its tokens; `sided` is whether the pose has two sides."""

    start: int
    end: int
    pose: str
    sided: bool


def told_sides(
    phrases: Sequence[Phrase],
    new: Collection[int],
    names: Mapping[int, str],
    stays: Sequence[Kept],
    told: ToldPhrases,
    said: Sequence[RepeatedSides],
) -> tuple[RepeatedSides, ...]:
    """Everything done on both sides, in order: what was `said` again at once, and of the rest what is told.

    The phrases whose numbers are in `new` say something new; `names` are the tokens that name a pose, `stays` the poses
    that people stay in, and `told` is what the network tells of the phrases.
    """
    words = side_words(phrases, new, names)
    if not words.tokens or len(words.tokens) > MOST_TOKENS:
        return tuple(said)
    kept = [one for one in said if words.at_ms(one.turn) - words.at_ms(one.start) >= LEAST_SAID_AGAIN_MS]
    found = [one for pairs in pairs_of(words, stays, told) for one in _likely(words, pairs)]
    free = [one for one in found if all(one.end <= each.start or one.start >= each.end for each in kept)]
    both = sorted((*kept, *_likeliest(free)), key=lambda one: one.start)
    edges = [0, *(edge for one in both for edge in (one.start, one.end)), len(words.tokens)]
    return tuple(
        _of_phrases(one, words, stays) if one in kept else of_whole_stays(one, stays, least, most)
        for one, least, most in zip(both, edges[:-2:2], edges[3::2], strict=True)
    )


def _of_phrases(one: RepeatedSides, words: SideWords, stays: Sequence[Kept]) -> RepeatedSides:
    """What is said again, which turns in the midst of no phrase: `the same on the left`."""
    return one if one.turn in words.phrases else replace(one, turn=_turn(one, one.start, stays))


def of_whole_stays(one: RepeatedSides, stays: Sequence[Kept], least: int, most: int) -> RepeatedSides:
    """The same, which begins and ends within no stay: it has all of a pose with two sides, and nothing of another if
    that leaves something. It stays between two tokens."""
    first, last = _around(one.start, stays), _around(one.end, stays)
    start, end = one.start, one.end
    if first:
        start = max(first.start if first.sided or first.end >= one.turn else first.end, least)
    turn = _turn(one, start, stays)
    if last:
        end = min(last.end if last.sided or last.start <= turn else last.start, most)
    return replace(one, start=start, turn=turn, end=end)


def _turn(one: RepeatedSides, start: int, stays: Sequence[Kept]) -> int:
    """Where it turns: within a pose that the first side has too, where that begins."""
    turned = _around(one.turn, stays)
    before = {stay.pose for stay in stays if turned and start <= stay.start < turned.start}
    return turned.start if turned and turned.pose in before else one.turn


def _around(place: int, stays: Sequence[Kept]) -> Kept | None:
    """The stay that begins before a token and ends after it."""
    return next((stay for stay in stays if stay.start < place < stay.end), None)


@dataclass(frozen=True)
class Pairs:
    """All pairs that may turn at one token: `signs` has for each what its beginnings, down, and ends, across, tell."""

    turn: int
    starts: Sequence[int]
    ends: Sequence[int]
    signs: Mapping[str, np.ndarray]

    @cached_property
    def score(self) -> np.ndarray:
        """What the signs come to."""
        total = np.full((len(self.starts), len(self.ends)), -LEAST)
        for name, worth in WORTH.items():
            total += worth * self.signs[name]
        return total


def pairs_of(words: SideWords, stays: Sequence[Kept], told: ToldPhrases) -> Iterator[Pairs]:
    """All pairs, by where they turn; none turns within a pose that has no sides."""
    begun, over = [one.start for one in stays], [one.end for one in stays]
    starts = sorted({*words.phrases, *begun})
    edges = sorted({*words.phrases, *begun, *over, len(words.tokens)})
    read = told.firsts[told.turns > LIKELY_TURN].tolist()
    opened = {place: words.begins(place) for place in starts}
    closed = {place: words.ends(place) for place in edges}
    mentions = np.array([each.place for each in words.mentions])
    for turn in sorted({*_turns(words), *begun, *read} - {0}):
        held = _around(turn, stays)
        if held and not held.sided:
            continue
        turn_ms = words.at_ms(turn)
        first = _said_between(words, starts, turn_ms - MOST_MS, turn_ms - LEAST_MS)
        last = _said_between(words, edges, turn_ms + LEAST_MS // 2, turn_ms + MOST_MS)
        last = [place for place in last if place > turn]
        if first and last:
            down: Mapping[str, ArrayLike] = {
                "begins": [opened[place] for place in first],
                "sides in the first": _many(mentions, first, [turn]),
            }
            across: Mapping[str, ArrayLike] = {
                "ends": [closed[place] for place in last],
                "sides in the second": _many(mentions, [turn], last),
            }
            yield Pairs(turn, first, last, _signs(words, stays, told, first, turn, last, down, across))


def _likely(words: SideWords, pairs: Pairs) -> Iterator[RepeatedSides]:
    """The pairs that are likely: each beginning with its likeliest end, and the other way round."""
    score = pairs.score
    likely = {(row, int(score[row].argmax())) for row in range(len(pairs.starts))}
    likely |= {(int(score[:, column].argmax()), column) for column in range(len(pairs.ends))}
    for row, column in sorted(likely):
        if score[row, column] > 0:
            start, end = pairs.starts[row], pairs.ends[column]
            first = _first(words, start, pairs.turn, end)
            yield RepeatedSides(start, pairs.turn, end, first, round(float(score[row, column]) * 1000))


def _many(mentions: np.ndarray, starts: Sequence[int], ends: Sequence[int]) -> np.ndarray:
    """How often a side is named between places."""
    found: np.ndarray = np.minimum(np.searchsorted(mentions, ends) - np.searchsorted(mentions, starts), MOST_EACH)
    return found


def _signs(
    words: SideWords,
    stays: Sequence[Kept],
    told: ToldPhrases,
    starts: Sequence[int],
    turn: int,
    ends: Sequence[int],
    of_starts: Mapping[str, ArrayLike],
    of_ends: Mapping[str, ArrayLike],
) -> Mapping[str, np.ndarray]:
    """What tells for and against every beginning with every end; `of_starts` and `of_ends` are known before."""
    turn_ms = words.at_ms(turn)
    cues = sum(cue for place, cue in words.turns.items() if turn <= place and words.at_ms(place) - turn_ms < SOON_MS)
    firsts_ms = np.array([[turn_ms - words.at_ms(place)] for place in starts])
    seconds_ms = np.array([[words.at_ms(place) - turn_ms for place in ends]])
    mirrored, at_once = _mirrored(words, starts, turn, ends)
    named, names = _shared(words.names, {}, starts, turn, ends)
    said, telling = _shared(words.telling, words.rare, starts, turn, ends)
    begun, over = {one.start for one in stays}, {one.end for one in stays}
    down = {
        **of_starts,
        "alike beginnings": [min(words.alike(place, turn) / MUCH_ALIKE, 1) for place in starts],
        "turning in the first": words.turning(starts, [turn]),
        "a pose begins the first": [place in begun for place in starts],
        "read as the first": _near(told, told.first, starts),
    }
    across = {
        **of_ends,
        "turning in the second": np.maximum(words.turning([turn], ends) - cues, 0),
        "a pose begins after": [place in begun for place in ends],
        "a pose ends": [place in over for place in ends],
        "read as over": _near(told, told.over, ends),
    }
    whole = np.ones((len(starts), len(ends)))
    return {
        "turns": whole * min(cues, MOST_TOLD),
        "turns plainly": whole * (cues >= 1),
        "a pose begins the second": whole * (turn in begun),
        "read as the second": whole * _near(told, told.turns, [turn])[0],
        **{name: np.array(each, dtype=float)[:, None] * whole for name, each in down.items()},
        **{name: np.array(each, dtype=float)[None, :] * whole for name, each in across.items()},
        "unusual length": np.log(firsts_ms / USUAL_MS) ** 2 * whole,
        "unlike lengths": np.log(seconds_ms / firsts_ms / SHARE) ** 2,
        "mirrored": mirrored,
        "mirrored at once": at_once * whole,
        "named again": np.minimum(named, MOST_NAMED),
        "newly named": np.minimum(names - named, MOST_NAMED),
        "said again": np.minimum(said / np.maximum(telling, LEAST_WORDS) / MUCH_AGAIN, 1),
        **_rows(stays, starts, turn, ends),
    }


def _near(told: ToldPhrases, odds: np.ndarray, places: Sequence[int]) -> np.ndarray:
    """The log-odds of the phrases in which some tokens are, or of the next ones."""
    row = np.minimum(np.searchsorted(told.firsts, places, side="right"), len(odds)) - 1
    near = np.maximum(odds[row], odds[np.minimum(row + 1, len(odds) - 1)])
    found: np.ndarray = np.clip(near, -MOST_ODDS, MOST_ODDS)
    return found


def _rows(stays: Sequence[Kept], starts: Sequence[int], turn: int, ends: Sequence[int]) -> Mapping[str, np.ndarray]:
    """How many poses of the first side are in the second too, and how many are in one of them alone."""
    near = [one for one in stays if starts[0] <= one.start < ends[-1]]
    places = np.array([one.start for one in near])
    row_of = {pose: row for row, pose in enumerate(dict.fromkeys(one.pose for one in near if one.sided))}
    poses = np.zeros((len(near), len(row_of) + 1), dtype=int)
    poses[range(len(near)), [row_of[one.pose] if one.sided else -1 for one in near]] = 1
    first = ((np.array(starts)[:, None] <= places) & (places < turn)) @ poses
    second = ((turn <= places) & (places < np.array(ends)[:, None])) @ poses
    both = np.minimum(first[:, None, :-1], second[None, :, :-1]).sum(axis=2)
    found = {
        "the same pose": both,
        "another pose": second[:, :-1].sum(axis=1) - both,
        "left out": first[:, :-1].sum(axis=1)[:, None] - both,
        "a pose without sides": first[:, None, -1] + second[None, :, -1],
    }
    first_pose = {start: next((one.pose for one in near if one.start >= start), "") for start in (*starts, turn)}
    alike = np.array([[first_pose[start] == first_pose[turn] != ""] for start in starts])
    found = {name: np.minimum(counts, MOST_IN_A_ROW).astype(float) for name, counts in found.items()}
    return {**found, "the same pose first": alike * np.ones((len(starts), len(ends)))}


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


def _said_between(words: SideWords, places: Sequence[int], from_ms: int, until_ms: int) -> list[int]:
    return list(places[bisect_left(places, from_ms, key=words.at_ms) : bisect_right(places, until_ms, key=words.at_ms)])


def _first(words: SideWords, start: int, turn: int, end: int) -> Side:
    """The side that the first pass names first, or the other one than the second does; right where none is named."""
    sides = [each.side for each in words.mentions_in(start, turn)]
    sides += [each.side.other for each in words.mentions_in(turn, end)]
    return sides[0] if sides else Side.RIGHT


def _mirrored(words: SideWords, starts: Sequence[int], turn: int, ends: Sequence[int]) -> tuple[np.ndarray, np.ndarray]:
    """How many limbs are named with one side first, and with the other in the second pass; whether one is at once."""
    mentions = words.mentions_in(starts[0], ends[-1])
    limbs = sorted({each.limb for each in mentions})
    one, other = np.zeros((len(starts), len(limbs))), np.zeros((len(ends), len(limbs)))
    at_once = np.zeros(len(limbs))
    for number, limb in enumerate(limbs):
        here = [(each.place, _HANDS[each.side]) for each in mentions if each.limb == limb]
        places, hands = np.array([*here, (ends[-1], 0)]).T
        at = np.searchsorted(places, [*starts, turn])
        first, hand = at[:-1], hands[at[-1]]
        one[:, number] = np.where(places[first] < turn, hands[first], 0)
        other[:, number] = hand * (places[at[-1]] < np.array(ends))
        at_once[number] = hand * (places[at[-1]] < turn + OPENING)
    named = next((each.place for each in mentions if each.place >= turn), turn)
    opposite = np.clip(-one @ other.T, -MOST_MIRRORED, MOST_MIRRORED) * (LATER if named - turn > LATE else 1)
    return opposite, np.any(one * at_once < 0, axis=1, keepdims=True)


def _shared(
    said: Mapping[int, str], weights: Mapping[str, float], starts: Sequence[int], turn: int, ends: Sequence[int]
) -> tuple[np.ndarray, np.ndarray]:
    """How much of what is in the second pass is in the first too, and how much is in it at all."""
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
