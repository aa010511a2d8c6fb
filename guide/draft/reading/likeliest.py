"""The likeliest reading of a class: a row of stays in poses with talk and moves between them.

A reading's likelihood is a sum of terms, each in a file of its own: `named`, `done`, `follows`, `lengths`, `begins`,
`beside` and `turning`. They weigh as much as leaves the fewest edits in drafts of the talked classes, each read with
what was learned from the other teachers. Of all readings the best is found by dynamic programming over the phrases (a
semi-Markov chain).
"""

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from guide.draft.phrases import Phrase
from guide.draft.pose_naming import Naming
from guide.draft.reading.begins import begins
from guide.draft.reading.beside import beside, unexplained
from guide.draft.reading.done import all_poses, done
from guide.draft.reading.follows import follows
from guide.draft.reading.lengths import length_rows, length_table, usual_ms
from guide.draft.reading.named import named
from guide.draft.reading.turning import other_sides

#: A stay is no longer than this.
LONGEST_MS = 420_000
MOST_PHRASES = 120

#: Nobody stays for less before the other side of it.
MOMENT_MS = 4_000

#: A stay has to be so likely before it is one.
STAY = -3.5
#: It begins where something is said for it.
ENTERS = 0.5
#: A pose without as much as this said for it is none that could be meant.
LEAST_SAID = 1.5
#: A pose that nobody named is one where so much is told to do, and about as much as for the next best.
LEAST_NAMED = 2.0
LEAST_DONE = 2.4
MARGIN = -1.1
#: What followed in this class once follows again.
AS_BEFORE = 0.64
#: What was done so shortly before is likely where the sides change, by so much of how surely they do.
LENT_MS = 150_000
LENT = 0.1
#: Where it is none, so few phrases go on with the stay before.
FEW = 6


@dataclass(frozen=True, slots=True)
class Stay:
    """A stay in a pose, by numbers of phrases; `named` and `done` are how much was said for it, `next_best` for the
    pose that is as likely but for it."""

    start: int
    end: int
    pose: str
    named: float
    done: float
    next_best: float


def likeliest(phrases: Sequence[Phrase], end_ms: int, naming: Naming, fresh: frozenset[int]) -> tuple[Stay, ...]:
    """The stays of the likeliest reading, in order."""
    if not phrases:
        return ()
    by_name, by_doing = named(phrases, naming), done(phrases)
    said = by_name + by_doing
    numbers = np.flatnonzero(said.max(axis=0) >= LEAST_SAID)
    if not len(numbers):
        return ()
    starts_ms = np.array([*(phrase.start_ms for phrase in phrases), max(end_ms, phrases[-1].end_ms)])
    within = said[:, numbers] + beside(phrases)[:, None]
    other, sided = other_sides(phrases), np.array([all_poses()[number].sides for number in numbers])
    terms = _Terms(
        starts_ms=starts_ms,
        sums=_summed(within),
        after=follows()[np.append(numbers, len(follows()) - 1)][:, numbers],
        usual=length_table(usual_ms(numbers)),
        opens=begins(phrases, fresh) + STAY,
        enters=ENTERS * np.clip(within, 0, 1.5),
        again=np.where(sided[None, :], other[:, None], 0.0),
        outside=unexplained(phrases, starts_ms),
        edges=[*sorted(fresh), len(phrases)],
    )
    path = terms.path()
    # Once more, with what the class itself has told: what came after what, and what was done on the other side.
    within = within + _on_the_other_side(path, other, starts_ms, sided)
    path = replace(terms, after=terms.after + _before(path, len(numbers)), sums=_summed(within)).path()
    stays = [_stay(start, end, place, numbers, by_name, by_doing) for start, end, place in path]
    return tuple(_in_one(_without_doubtful(stays, fresh), starts_ms))


def _summed(within: np.ndarray) -> np.ndarray:
    """How much speaks for each pose before each phrase."""
    return np.vstack([np.zeros((1, within.shape[1])), np.cumsum(within, axis=0)])


def _without_doubtful(stays: Sequence[Stay], fresh: frozenset[int]) -> list[Stay]:
    """The stays that are sure enough; the one before goes on where the next is none."""
    found: list[Stay] = []
    for stay in stays:
        other_side = bool(found) and found[-1].pose == stay.pose
        told = stay.done >= max(LEAST_DONE, stay.next_best + MARGIN)
        if stay.named >= LEAST_NAMED or other_side or told:
            found.append(stay)
        elif found and found[-1].end == stay.start and stay.start not in fresh and stay.end - stay.start <= FEW:
            found[-1] = replace(found[-1], end=stay.end)
    return found


def _in_one(stays: Sequence[Stay], starts_ms: np.ndarray) -> Iterator[Stay]:
    """The stays; a moment in a pose that goes on, such as `other side`, is one with the rest of it."""
    begun: Stay | None = None
    for stay in stays:
        if begun is None:
            begun = stay
        elif _goes_on(begun, stay) and starts_ms[begun.end] - starts_ms[begun.start] < MOMENT_MS:
            begun = replace(stay, start=begun.start, named=begun.named + stay.named, done=begun.done + stay.done)
        else:
            yield begun
            begun = stay
    if begun is not None:
        yield begun


def _goes_on(one: Stay, other: Stay) -> bool:
    return one.pose == other.pose and one.end == other.start


def _stay(start: int, end: int, place: int, numbers: np.ndarray, by_name: np.ndarray, by_doing: np.ndarray) -> Stay:
    number = int(numbers[place])
    name_sum, doing_sum = by_name[start:end].sum(axis=0), by_doing[start:end].sum(axis=0)
    others = name_sum + doing_sum
    others[number] = -np.inf
    return Stay(
        start,
        end,
        all_poses()[number].name,
        float(np.maximum(by_name[start:end, number], 0).sum()),
        float(doing_sum[number]),
        float(others.max()),
    )


def _on_the_other_side(
    path: Sequence[tuple[int, int, int]], other: np.ndarray, starts_ms: np.ndarray, sided: np.ndarray
) -> np.ndarray:
    """For each phrase that goes over to the other side, what was done not long before it and has sides."""
    lent = np.zeros((len(other), len(sided)))
    for number in np.flatnonzero(other > 0):
        for start, end, place in path:
            if sided[place] and start < number and starts_ms[number] - starts_ms[end] < LENT_MS:
                lent[number, place] = LENT * other[number]
    return lent


def _before(path: Sequence[tuple[int, int, int]], count: int) -> np.ndarray:
    """What follows what in the class itself: what came so once is likelier to come so again."""
    table = np.zeros((count + 1, count))
    for (_, _, one), (_, _, other) in pairwise(path):
        if one != other:
            table[one, other] = AS_BEFORE
    return table


@dataclass(frozen=True, slots=True)
class _Terms:
    """What a path is made of, for phrases and poses.

    - `sums[phrase]` is how much speaks for each pose before a phrase; `after` how usual each pose is after each, the
      last row for none before; `usual` how
      usual each length is in each.
    - `opens` and `enters` are how likely a stay begins with a phrase, at all and in each pose; `again` how likely the
      pose before begins anew there; `outside` what it costs to leave the phrase out.
    - No stay goes across the phrases in `edges`.
    """

    starts_ms: np.ndarray
    sums: np.ndarray
    after: np.ndarray
    usual: np.ndarray
    opens: np.ndarray
    enters: np.ndarray
    again: np.ndarray
    outside: np.ndarray
    edges: Sequence[int]

    def last_end(self, start: int) -> int:
        """Where a stay that begins with a phrase is over at the latest."""
        longest = int(np.searchsorted(self.starts_ms, self.starts_ms[start] + LONGEST_MS))
        fresh = self.edges[bisect_right(self.edges, start)]
        return max(min(longest, start + MOST_PHRASES, len(self.outside), fresh), start + 1)

    def path(self) -> list[tuple[int, int, int]]:
        """The stays of the best path, each as its first phrase, the one after its last, and the place of its pose."""
        count, poses = self.enters.shape
        own = np.arange(poses)
        best = np.full((count + 1, poses + 1), -np.inf)
        best[0, poses] = 0.0
        came = np.full((count + 1, poses + 1), -1)
        before = np.zeros((count, poses), dtype=int)
        for start in range(count):
            through = best[start] + self.outside[start]
            better = through > best[start + 1]
            best[start + 1][better], came[start + 1][better] = through[better], -1
            table = best[start][:, None] + self.after
            table[own, own] += self.again[start]
            before[start] = table.argmax(axis=0)
            value = table[before[start], own] + self.opens[start] + self.enters[start]
            ends = slice(start + 1, self.last_end(start) + 1)
            rows = length_rows(self.starts_ms[ends] - self.starts_ms[start])
            score = self.usual[rows]
            score += self.sums[ends]
            score += value - self.sums[start]
            better = score > best[ends, :poses]
            best[ends, :poses][better] = score[better]
            came[ends, :poses][better] = start
        return _traced(came, before, int(best[count].argmax()))


def _traced(came: np.ndarray, before: np.ndarray, state: int) -> list[tuple[int, int, int]]:
    """The path that ends in a state, from its beginning: `came` is where the last stay of each began, or -1."""
    found: list[tuple[int, int, int]] = []
    end = len(before)
    while end > 0:
        start = int(came[end, state])
        if start < 0:
            end -= 1
            continue
        found.append((start, end, state))
        end, state = start, int(before[start, state])
    return found[::-1]
