"""How likely everything is of which a reading is made: each thing to be in, where it begins and ends, and how long."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from guide.draft.reading.all_poses import all_poses
from guide.draft.reading.signs import Signs
from guide.draft.reading.weights import PARTS, Weights, length_number

#: A stay is no longer than this.
LONGEST_MS = 420_000
MOST_PHRASES = 70
#: So likely a phrase has nothing to do with the pose in which it is said.
BY_THE_WAY = 0.15
#: The words of the second phrase of a stay lead in so much less than those of the first.
SECOND = 0.7
#: So many poses, those for which most is said, are thought of anyway.
MOST_POSES = 50


class WorthTable(Protocol):
    """What each of some signs is worth, row by row."""

    def __getitem__(self, rows: np.ndarray) -> np.ndarray:
        """The worth of the signs in some rows."""
        ...


class Choice(Protocol):
    """The signs of some phrases, as rows of tables."""

    def sums(self, table: WorthTable) -> np.ndarray:
        """For each phrase what its signs come to."""
        ...


@dataclass(frozen=True, slots=True)
class Chosen:
    """The rows of the signs of each phrase."""

    rows: tuple[np.ndarray, ...]

    def sums(self, table: WorthTable) -> np.ndarray:
        """For each phrase what its signs come to; a sign is looked up once."""
        once, place = np.unique(np.concatenate(self.rows), return_inverse=True)
        worth, edges = table[once], np.cumsum([len(each) for each in self.rows])[:-1]
        return np.array([worth[each].sum(axis=0) for each in np.split(place, edges)])


def chosen(signs: Sequence[Iterable[str]], row_of: Mapping[str, int]) -> Chosen:
    """The rows of the signs of each phrase; a sign that was never learned has none."""
    return Chosen(tuple(np.array([row_of[sign] for sign in each if sign in row_of], dtype=int) for each in signs))


@dataclass(frozen=True, slots=True)
class Scores:
    """Logarithms for N phrases and the K things to be in that are thought of, whose numbers are in `states`.

    - `sums` (N + 1 by K) are how much is said for each before each phrase; `starts` (N by K), `ends` (N + 1) and
      `outside` (N) how likely a stay begins with a phrase, ended before it, and does not have it;
    - `after` (K + 1 by K, the last row for none before) and `again` (N by K, the same anew at each phrase) are how
      likely each follows each; `last` (K) is the end of the class;
    - `lengths` (lengths by K) by `length_of`, which has for each phrase the lengths of all stays that begin there.
    """

    states: np.ndarray
    sums: np.ndarray
    starts: np.ndarray
    ends: np.ndarray
    outside: np.ndarray
    after: np.ndarray
    again: np.ndarray
    last: np.ndarray
    lengths: np.ndarray
    length_of: tuple[np.ndarray, ...]


def telling_of(told: np.ndarray, looked_on: np.ndarray) -> np.ndarray:
    """For each phrase and pose, how much its words say for the pose; some of what is said has nothing to do with it."""
    likely = np.exp(told - told.max(axis=1, keepdims=True))
    likely /= likely.sum(axis=1, keepdims=True)
    found: np.ndarray = np.log(BY_THE_WAY + (1 - BY_THE_WAY) * likely.shape[1] * likely)
    found[looked_on] = 0
    return found


def scores(signs: Signs, weights: Weights, words: Choice, around: Choice, besides: Iterable[int] = ()) -> Scores:
    """How likely all is; `words` and `around` are the rows of the signs, `besides` poses that are thought of anyway."""
    poses = len(all_poses())
    led = words.sums(weights.leads)
    told = words.sums(weights.told)
    said = telling_of(told, signs.looked_on) + weights.named * signs.named
    most_said = np.argsort(-said.max(axis=0), kind="stable")[:MOST_POSES]
    thought_of = np.array(sorted({*most_said.tolist(), *besides}))
    states = np.append(thought_of, [poses, poses + 1])
    of_signs = (weights.begins, weights.ends, weights.outside, weights.moves, weights.salutation)
    begins, ends, outside, moves, salutation = (around.sums(each) for each in of_signs)
    within = np.column_stack([said[:, thought_of], moves, salutation])
    part = np.minimum((PARTS * signs.starts_ms[:-1] / signs.starts_ms[-1]).astype(int), PARTS - 1)
    within += weights.parts[part][:, states]
    leads = led + weights.named_first * signs.named
    leads[:-1] += SECOND * led[1:]
    starts = np.column_stack([leads[:, thought_of], np.zeros((len(part), 2))]) + begins[:, None]
    sided = np.array([*(all_poses()[number].sides for number in thought_of), False, False])
    return Scores(
        states,
        np.vstack([np.zeros((1, len(states))), np.cumsum(within, axis=0)]),
        starts,
        np.append(ends, 0.0),
        outside,
        weights.follows[np.append(states, len(weights.follows) - 1)][:, states],
        weights.again + weights.other_side * np.outer(signs.other_side, sided),
        weights.last[states],
        weights.lengths[states].T.copy(),
        length_of(signs.starts_ms),
    )


def length_of(starts_ms: np.ndarray, edges: Sequence[int] = ()) -> tuple[np.ndarray, ...]:
    """For each phrase the numbers of the lengths of all stays that begin with it, and go across none of the edges."""
    count = len(starts_ms) - 1
    lasts = np.minimum(np.searchsorted(starts_ms, starts_ms[:-1] + LONGEST_MS), np.arange(count) + MOST_PHRASES)
    next_edge = np.array([*sorted(edges), count])
    edge = next_edge[np.searchsorted(next_edge, np.arange(count), side="right")] if count else lasts
    lasts = np.maximum(np.minimum(np.minimum(lasts, count), edge), np.arange(count) + 1)
    return tuple(length_number(starts_ms[at + 1 : last + 1] - starts_ms[at]) for at, last in enumerate(lasts.tolist()))
