"""Where each part of a plan began in a talk: of all ways to lay the parts, in order, over the phrases of the talk, each
as likely as what is told there makes it, the share in which a part begins with a phrase.

A semi-Markov chain, as drafts have it, but of the parts of the plan alone: forwards and backwards the likelihoods of
all ways are summed. A way is judged by

- what the phrases tell of being in a part, of it beginning and having ended (`told_talk`), and how much readier the
  part's own words explain theirs than those of the whole talk do;
- how long each part lasts, beside the plan;
- what is said between two parts, be it talk or anything else that people do;
- parts that were *left out*.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from guide.review.aligning.told_talk import ToldTalk
from guide.review.own_words.planned_parts import SECOND_SIDE, PlannedPart, spelt

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Numbers = NDArray[np.float64]

#: How much counts what phrases tell of being in a part, of its beginning, of its end and of nothing being done; and how
#: much less likely it is that between two parts anything else is done.
WITHIN, STARTS, ENDS, OUTSIDE, ANYTHING = 1.69, 0.95, 0.36, 0.47, -3.0
#: A part of which nothing is told (a rest without a pose) is as likely as talk, and so much less.
UNTOLD = -0.3

#: Of the words in a part so many are its own, and of the rest all the talk's; a talk's words hang together, so that
#: each tells less than it would alone.
OWN, HANG = 0.25, 0.22

#: How many words of a talk stand for the whole before they are counted, so that none is impossible.
SMOOTH = 0.5

#: The spread of how long a part lasts, beside the plan, as a logarithm; with seconds for short ones, how readily
#: something far off is believed, and how much this counts.
SPREAD, SPREAD_MS, TAIL, LENGTHS = 0.63, 6_000, 3.0, 0.7

#: A part that is left out, and each further one after it; and so many in a row at most.
LEFT_OUT, FURTHER, MOST_LEFT_OUT = -6.5, -2.5, 6

#: No part lasts longer than so many times its length and so much more.
LONGEST, LONGEST_MS = 3.0, 90_000

#: No part begins further from where it lies in the plan, drawn to the length of the talk, than so long and such a share
#: of the talk.
REACH_MS, REACH = 900_000, 0.1

#: How much slower or quicker than planned a whole class may be, and how far the time from the first word to the last
#: tells it: there is talk before and after.
LEAST_TEMPO, MOST_TEMPO, TOLD_BY_WHOLE = 0.5, 1.7, 0.7

NEVER = -1e30


@dataclass(frozen=True, slots=True)
class Reading:
    """`begins[part, phrase]` is the share of all ways in which a part begins with a phrase; `told[part, phrase]` how
    much all before it tells of the part, beside talk (with the end, one more); `likely` the logarithm of the likelihood
    of all ways together."""

    begins: "Numbers"
    told: "Numbers"
    likely: float


def reading(parts: Sequence[PlannedPart], talk: ToldTalk) -> Reading:
    """Where each part began; there is at least one part and one phrase."""
    import numpy as np

    ways, talked = _laid(parts, talk)
    begun, over = _forwards(ways, talked)
    likely = _whole(over)
    begins = np.exp(np.minimum(np.array(begun) + np.array(_backwards(ways, talked)) - likely, 0))
    return Reading(begins, np.array([way.told - talked for way in ways]), likely)


def how_likely(parts: Sequence[PlannedPart], talk: ToldTalk) -> float:
    """The logarithm of the likelihood of all ways together, in half the time of a whole reading."""
    return _whole(_forwards(*_laid(parts, talk))[1])


def _laid(parts: Sequence[PlannedPart], talk: ToldTalk) -> "tuple[Sequence[_Way], Numbers]":
    """The parts as they may be done, and how much all before each phrase tells of nothing being done (N + 1)."""
    import numpy as np

    outside = np.logaddexp(OUTSIDE * talk.outside, talk.anything + ANYTHING)
    return [*_ways(parts, talk, outside)], np.concatenate([[0.0], np.cumsum(outside)])


@dataclass(frozen=True, slots=True)
class _Way:
    """A part as it may be done, from the phrase `low` on: `starts` (M) with each phrase, and `stays` (M by far) up to
    before each phrase that follows; `told` (N + 1) is how much all before each phrase of the talk says for it."""

    low: int
    starts: "Numbers"
    stays: "NDArray[np.float32]"
    told: "Numbers"

    @property
    def here(self) -> slice:
        """The phrases with which it may begin."""
        return slice(self.low, self.low + len(self.starts))

    def after(self, count: int) -> "NDArray[np.int64]":
        """The phrases before which its stays are over, of `count` (M by far)."""
        import numpy as np

        last = self.low + np.arange(len(self.starts))[:, None] + np.arange(1, self.stays.shape[1] + 1)
        return np.minimum(last, count)


def _ways(parts: Sequence[PlannedPart], talk: ToldTalk, outside: "Numbers") -> "Iterator[_Way]":
    import numpy as np

    at_ms, count = talk.starts_ms, len(talk.words)
    planned_ms = np.array([part.planned_ms for part in parts], np.float64)
    tempo = (at_ms[-1] - at_ms[0]) / max(planned_ms.sum(), 1)
    likely_ms = at_ms[0] + tempo * (np.cumsum(planned_ms) - planned_ms)
    reach_ms = REACH_MS + REACH * (at_ms[-1] - at_ms[0])
    planned_ms = np.maximum(planned_ms * min(max(tempo, LEAST_TEMPO), MOST_TEMPO) ** TOLD_BY_WHOLE, 1000)
    owns = _own_words(parts, talk.words)
    for part, own, length_ms, near_ms in zip(parts, owns, planned_ms.tolist(), likely_ms.tolist(), strict=True):
        name = "" if part.is_moved else part.pose
        is_told = part.is_moved or bool(part.pose)
        within = WITHIN * talk.within[name] if is_told else outside + UNTOLD
        told = np.concatenate([[0.0], np.cumsum(within + own)])
        longest_ms = LONGEST * length_ms + LONGEST_MS
        low, high = np.searchsorted(at_ms[:-1], [near_ms - reach_ms, near_ms + reach_ms]).tolist()
        low = min(low, count - 1)
        begin = np.arange(low, max(high, low + 1))
        far = int((np.searchsorted(at_ms, at_ms[begin] + longest_ms) - begin).max())
        until = begin[:, None] + np.arange(1, far + 1)
        inside = np.minimum(until, count)
        lasts_ms = (at_ms[inside] - at_ms[begin, None]).astype(np.float32)
        stays = (told + ENDS * talk.ends)[inside] - told[begin, None] + _lasting(lasts_ms, length_ms)
        stays[(until > count) | (lasts_ms > longest_ms)] = NEVER
        starts = STARTS * talk.starts[name][begin] if is_told else np.zeros(len(begin))
        yield _Way(low, starts, stays.astype(np.float32), told)


def _lasting(lasts_ms: "NDArray[np.float32]", planned_ms: float) -> "NDArray[np.float32]":
    """That a part lasts so long: Student's distribution of the logarithm, which believes what is far off."""
    import numpy as np

    spread = np.float32(np.hypot(SPREAD, SPREAD_MS / planned_ms))
    off = np.log(np.maximum(lasts_ms, 1) / np.float32(planned_ms)) / spread
    found: NDArray[np.float32] = -LENGTHS * ((TAIL + 1) / 2 * np.log(1 + off * off / TAIL) + np.log(spread))
    return found


def _forwards(ways: Sequence[_Way], talked: "Numbers") -> "tuple[list[Numbers], list[Numbers]]":
    """The sums over all ways up to each part beginning with a phrase (N), and up to it being over before one (N + 1),
    whatever was said since."""
    import numpy as np

    begun, over = list["Numbers"](), list["Numbers"]()
    for number, way in enumerate(ways):
        left = range(min(number, MOST_LEFT_OUT + 1))
        into = [talked + left_out(number), *(over[number - 1 - count] + left_out(count) for count in left)]
        begun.append(np.full(len(talked) - 1, NEVER))
        begun[-1][way.here] = np.logaddexp.reduce([sums[way.here] for sums in into]) + way.starts
        stayed = _summed(_by_end(begun[-1][way.here][:, None] + way.stays))
        ended = np.full(len(talked), NEVER)
        ended[way.low + 1 :][: len(stayed)] = stayed[: len(talked) - way.low - 1]
        over.append(np.logaddexp.accumulate(ended - talked) + talked)
    return begun, over


def _by_end(scores: "Numbers") -> "Numbers":
    """What is known of stays by where they begin and how far they go (M by far), by where they end instead (one row
    for each place after the first, M + far - 1)."""
    import numpy as np

    count, far = scores.shape
    padded = np.full((count + 2 * (far - 1), far), NEVER)
    padded[far - 1 : far - 1 + count] = scores
    row, column = padded.strides
    return np.lib.stride_tricks.as_strided(padded[far - 1 :], (count + far - 1, far), (row, column - row))


def _whole(over: "Sequence[Numbers]") -> float:
    """The sum over all ways."""
    import numpy as np

    return float(np.logaddexp.reduce([sums[-1] + left_out(rest) for rest, sums in enumerate(reversed(over))]))


def _backwards(ways: Sequence[_Way], talked: "Numbers") -> "list[Numbers]":
    """The sums over all ways from each part having begun with a phrase on (N)."""
    import numpy as np

    count = len(talked) - 1
    onward = list["Numbers"]()
    for number in reversed(range(len(ways))):
        after = np.full(count + 1, NEVER)
        after[-1] = left_out(len(ways) - 1 - number)
        for left, sums in enumerate(onward[: -2 - MOST_LEFT_OUT : -1]):
            next_ = ways[number + 1 + left]
            after[next_.here] = np.logaddexp(after[next_.here], sums[next_.here] + next_.starts + left_out(left))
        rest = np.logaddexp.accumulate((after + talked)[::-1])[::-1] - talked
        onward.append(np.full(count, NEVER))
        onward[-1][ways[number].here] = _summed(ways[number].stays + rest[ways[number].after(count)])
    return onward[::-1]


def _own_words(parts: Sequence[PlannedPart], said: Sequence[Sequence[str]]) -> "Iterator[Numbers]":
    """How much the words of each phrase tell of each part, beside those of the whole talk."""
    import numpy as np

    spelled = [spelt(word) for words in said for word in words]
    of_phrase = np.repeat(np.arange(len(said)), [*map(len, said)])
    kinds = {word: number for number, word in enumerate(sorted(set(spelled)))}
    every = Counter(spelled)
    for part in parts:
        every.update({word: count / 4 for word, count in part.words.items()})
    whole = sum(every.values())
    common = np.array([(every[word] + SMOOTH) / whole for word in kinds])
    spelled_as = np.array([kinds[word] for word in spelled])
    for part in parts:
        own = dict(part.words)
        if part.is_second:
            for word in map(spelt, SECOND_SIDE):
                own[word] = own.get(word, 0) + 1
        ready = np.array([own.get(word, 0.0) for word in kinds]) / (sum(own.values()) or 1)
        gain = HANG * np.log1p(OWN / (1 - OWN) * ready / common)
        told: Numbers = np.bincount(of_phrase, gain[spelled_as], minlength=len(said)).astype(np.float64)
        yield told


def left_out(parts: int) -> float:
    """That so many parts in a row were left out."""
    return LEFT_OUT + FURTHER * (parts - 1) if parts else 0.0


def _summed(values: "Numbers") -> "Numbers":
    """The logarithm of the sum of what each row has the logarithms of."""
    import numpy as np

    most = values.max(axis=1)
    found: Numbers = most + np.log(np.exp(values - most[:, None]).sum(axis=1))
    return found
