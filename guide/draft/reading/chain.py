"""The chain of stays in a class (semi-Markov): the best of all, and how likely each part is over all of them.

A stay begins with a phrase and ends before another; what comes after it is how likely after what was before, whatever
was said in between that is in no stay. Sums over all chains are made from both ends at once (forward and backward).
Source: S. Sarawagi and W. W. Cohen, Semi-Markov conditional random fields for information extraction (2004), from
memory.
"""

from dataclasses import dataclass

import numpy as np

from guide.draft.reading.scores import Scores

#: No likelihood is below this, so that each has a logarithm.
LEAST = 1e-300


def best_path(scores: Scores) -> list[tuple[int, int, int]]:
    """The stays of the likeliest chain, each as its first phrase, the one after its last, and its place in `states`."""
    count, width = scores.starts.shape
    own = np.arange(width)
    best = np.full((count + 1, width + 1), -np.inf)
    best[0, width] = 0.0
    came = np.full((count + 1, width + 1), -1)
    before = np.zeros((count, width), dtype=int)
    for at in range(count):
        through = best[at] + scores.outside[at]
        better = through > best[at + 1]
        best[at + 1][better], came[at + 1][better] = through[better], -1
        table = best[at][:, None] + scores.after
        table[own, own] += scores.again[at]
        before[at] = table.argmax(axis=0)
        value = table[before[at], own] + scores.starts[at]
        ends, score = _stays(scores, at)
        score += value
        better = score > best[ends, :width]
        best[ends, :width][better] = score[better]
        came[ends, :width][better] = at
    best[count, :width] += scores.last
    return _traced(came, before, int(best[count].argmax()))


def _stays(scores: Scores, at: int) -> tuple[slice, np.ndarray]:
    """Where stays that begin with a phrase may end, and how likely each is for each thing to be in."""
    ends = slice(at + 1, at + 1 + len(scores.length_of[at]))
    score = scores.sums[ends] - scores.sums[at]
    score += scores.lengths[scores.length_of[at]]
    score += scores.ends[ends, None]
    return ends, score


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


@dataclass(frozen=True, slots=True)
class Chances:
    """How likely each part is, over all chains, for N phrases and K things to be in.

    - `whole` is the logarithm of the sum over all chains;
    - `within` and `starts` (N by K) are how likely each phrase is in each, and begins it; `ends` (N + 1) how likely a
      stay ended before a phrase; `last` (K) how likely each is the last;
    - `lengths` (lengths by K), `after` (K + 1 by K) and `again` (N by K) are how often each is expected.
    """

    whole: float
    within: np.ndarray
    starts: np.ndarray
    ends: np.ndarray
    lengths: np.ndarray
    after: np.ndarray
    again: np.ndarray
    last: np.ndarray


def chances(scores: Scores, *, lengths_too: bool = True) -> Chances:
    """How likely each part is; how often each length is expected takes a third of the time."""
    count, width = scores.starts.shape
    likely_after = np.exp(scores.after)
    same = np.diag(likely_after[:width]).copy()
    anew = np.exp(scores.again)
    forward, begun, whole = _forward(scores, likely_after, same, anew)
    backward = np.full((count + 1, width + 1), -np.inf)
    backward[count] = np.append(scores.last, 0.0)
    within, starts, ends = np.zeros((count + 1, width)), np.zeros((count, width)), np.zeros(count + 1)
    lengths, after, again = np.zeros_like(scores.lengths), np.zeros((width + 1, width)), np.zeros((count, width))
    for at in range(count - 1, -1, -1):
        span, score = _stays(scores, at)
        score += backward[span, :width]
        most = score.max(axis=0)
        share = np.exp(score - most)
        total = share.sum(axis=0)
        onward = np.log(total) + most
        follow = onward + scores.starts[at]
        highest = follow.max()
        likely = np.exp(follow - highest)
        stays = likely_after @ likely
        stays[:width] += same * (anew[at] - 1) * likely
        backward[at] = np.logaddexp(backward[at + 1] + scores.outside[at], np.log(np.maximum(stays, LEAST)) + highest)
        starts[at] = np.exp(begun[at] + onward - whole)
        share *= starts[at] / total
        within[at] += starts[at]
        within[span] -= share
        ends[span] += share.sum(axis=1)
        if lengths_too:
            # Longer stays come later, so that those of one length stand together.
            each, first = np.unique(scores.length_of[at], return_index=True)
            lengths[each] += np.add.reduceat(share, first)
        top = forward[at].max()
        came = np.exp(forward[at] - top)
        went = np.exp(follow + top - whole)
        after += came[:, None] * went
        once_more = came[:width] * went * same
        again[at] = once_more * anew[at]
        after[np.arange(width), np.arange(width)] += once_more * (anew[at] - 1) / same
    last = np.exp(forward[count, :width] + scores.last - whole)
    return Chances(whole, np.cumsum(within, axis=0)[:count], starts, ends, lengths, after * likely_after, again, last)


def _forward(
    scores: Scores, likely_after: np.ndarray, same: np.ndarray, anew: np.ndarray
) -> tuple[np.ndarray, np.ndarray, float]:
    """The sums over all that comes before each phrase, by what was last; those that begin a stay; and the whole."""
    count, width = scores.starts.shape
    forward = np.full((count + 1, width + 1), -np.inf)
    forward[0, width] = 0.0
    begun = np.empty((count, width))
    for at in range(count):
        top = forward[at].max()
        came = np.exp(forward[at] - top)
        into = came @ likely_after + came[:width] * same * (anew[at] - 1)
        begun[at] = np.log(np.maximum(into, LEAST)) + top + scores.starts[at]
        forward[at + 1] = np.logaddexp(forward[at + 1], forward[at] + scores.outside[at])
        ends, score = _stays(scores, at)
        score += begun[at]
        forward[ends, :width] = np.logaddexp(forward[ends, :width], score)
    at_end = forward[count] + np.append(scores.last, 0.0)
    top = float(at_end.max())
    return forward, begun, top + float(np.log(np.exp(at_end - top).sum()))
