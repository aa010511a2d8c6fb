"""Where each part of a plan began in a talk: of all ways to lay the parts, in order, over the places of the talk, each
as likely as its words, its length and its beginnings make it, the share in which a part begins at a place.

A hidden semi-Markov model: forwards and backwards the likelihoods of all ways are summed. A way is judged by

- the *beginnings*: how like the beginning of something new each place is (`openings`, and as drafts learned it), and of
  the part's own pose (`beginnings`);
- the *words* from there on: how much readier a part's own words explain them than those of the whole talk do;
- the *length* from one part to the next, beside the plan;
- parts that were *left out*, and talk before the class.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from guide.review.own_words.beginnings import Beginnings
from guide.review.own_words.openings import opening
from guide.review.own_words.planned_parts import SECOND_SIDE, PlannedPart, spelt
from guide.review.own_words.talk_places import Said

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Numbers = NDArray[np.float64]

#: Of the words in a part so many are its own, and of the rest all the talk's; a talk's words hang together, so that
#: each tells less than it would alone.
OWN, HANG = 0.25, 0.6

#: How many words of a talk stand for the whole before they are counted, so that none is impossible.
SMOOTH = 0.5

#: So much of the beginnings is as drafts learned it; a chance is told apart from these on.
LEARNED, LEAST_CHANCE = 0.6, 0.01
#: A beginning of the part's own pose counts so much of a logarithm, beside so much of a chance that it has anywhere.
OWN_POSE, ITS_CHANCE = 0.8, 0.02

#: The spread of the time from one part to the next, beside the plan, as a logarithm; with seconds for short ones, and
#: how readily something far off is believed.
SPREAD, SPREAD_MS, TAIL = 0.45, 6_000, 3.0

#: A part that is left out, and each further one after it; and so many in a row at most.
LEFT_OUT, FURTHER, MOST_LEFT_OUT = -3.5, -1.5, 6

#: No part lasts longer than so many times its length and so much more.
LONGEST, LONGEST_MS = 3.0, 180_000

#: How much slower or quicker than planned a whole class may be, and how far the time from the first word to the last
#: tells it: there is talk before and after.
LEAST_TEMPO, MOST_TEMPO, TOLD_BY_WHOLE = 0.5, 1.7, 0.7

#: Beyond any class.
FAR_MS = 1e12

NEVER = -1e30


@dataclass(frozen=True, slots=True)
class Reading:
    """`begins[part, place]` is the share of all ways in which a part begins at a place; `places_ms` when those are, off
    by about `loose_ms`; `told[part, place]` how much the words up to there tell of it (with the end, one more); and
    `likely` the logarithm of the likelihood of all ways together."""

    begins: "Numbers"
    places_ms: "Numbers"
    loose_ms: "Numbers"
    told: "Numbers"
    likely: float


def reading(parts: Sequence[PlannedPart], words: Sequence[Said], beginnings: Beginnings | None) -> Reading:
    """Where each part began; there is at least one part and one word."""
    import numpy as np

    places = [number for number, word in enumerate(words) if word.opens]
    at_ms = np.array([words[number].at_ms for number in places], np.float64)
    planned_ms = np.array([part.planned_ms for part in parts], np.float64)
    over = (words[-1].at_ms - words[0].at_ms) / max(planned_ms.sum(), 1)
    tempo = min(max(over, LEAST_TEMPO), MOST_TEMPO) ** TOLD_BY_WHOLE
    opens = _opens(parts, words, places, beginnings)
    told = _told(parts, words, places)
    task = _Task(at_ms, opens, told, planned_ms * tempo)
    forwards, backwards = task.forwards(), task.backwards()
    likely = float(_summed((forwards + task.ends()).ravel(), axis=0))
    begins = np.exp(np.minimum(forwards + backwards - likely, 0))
    loose_ms = np.array([words[number].loose_ms for number in places], np.float64)
    return Reading(begins, at_ms, loose_ms, told, likely)


def _opens(
    parts: Sequence[PlannedPart], words: Sequence[Said], places: Sequence[int], beginnings: Beginnings | None
) -> "Numbers":
    """How like a beginning of each part each place is: shape (parts, places)."""
    import numpy as np

    signs = np.array([opening(words, number) for number in places])
    if beginnings is None:
        return np.tile(signs, (len(parts), 1))
    here = np.array(places)
    something = np.clip(beginnings.something(here), LEAST_CHANCE, 1 - LEAST_CHANCE)
    new = (1 - LEARNED) * signs + LEARNED * np.log(something / (1 - something))
    own = {part.pose: OWN_POSE * np.log1p(beginnings.of(part.pose, here) / ITS_CHANCE) for part in parts if part.pose}
    return np.array([new + own.get(part.pose, 0.0) for part in parts])


def _told(parts: Sequence[PlannedPart], words: Sequence[Said], places: Sequence[int]) -> "Numbers":
    """How much the words up to each place, and to the end, tell of each part: shape (parts, places + 1)."""
    import numpy as np

    spelled = [spelt(word.text) for word in words]
    kinds = {word: number for number, word in enumerate(sorted(set(spelled)))}
    every = Counter(spelled)
    for part in parts:
        every.update({word: count / 4 for word, count in part.words.items()})
    whole = sum(every.values())
    common = np.array([(every[word] + SMOOTH) / whole for word in kinds])
    spelled_as = np.array([kinds[word] for word in spelled])
    edges = [*places, len(words)]
    told = np.zeros((len(parts), len(edges)))
    for number, part in enumerate(parts):
        own = dict(part.words)
        if part.is_second:
            for word in map(spelt, SECOND_SIDE):
                own[word] = own.get(word, 0) + 1
        all_own = sum(own.values()) or 1
        ready = np.array([own.get(word, 0.0) / all_own for word in kinds])
        gain = HANG * np.log1p(OWN / (1 - OWN) * ready / common)
        told[number] = np.concatenate([[0.0], np.cumsum(gain[spelled_as])])[edges]
    return told


@dataclass(frozen=True, slots=True)
class _Task:
    """What the ways are made of: when the places are, how well each opens each part, what words tell up to each, and
    how long the parts are to be."""

    at_ms: "Numbers"
    opens: "Numbers"
    told: "Numbers"
    planned_ms: "Numbers"

    def forwards(self) -> "Numbers":
        """The logarithm of the sum over all ways up to a part's beginning at a place: shape (parts, places)."""
        import numpy as np

        sums, over = list["Numbers"](), list["Numbers"]()
        for part in range(len(self.planned_ms)):
            left = range(min(part, MOST_LEFT_OUT + 1))
            first = np.full(len(self.at_ms), left_out(part))
            incoming = [first, *(over[part - 1 - count] + left_out(count) for count in left)]
            sums.append(self.opens[part] + _summed(np.array(incoming), axis=0))
            before = self._earlier(part, sums[part], NEVER)
            lasts_ms = self.at_ms[:, None] - self._earlier(part, self.at_ms, -FAR_MS)
            told = self.told[part, :-1]
            over.append(
                _summed(before + self._lasting(part, lasts_ms, told[:, None] - self._earlier(part, told, 0)), 1)
            )
        return np.array(sums)

    def backwards(self) -> "Numbers":
        """The same for all ways from a part's beginning at a place on."""
        import numpy as np

        ends, sums = self.ends(), list["Numbers"]()
        for part in reversed(range(len(self.planned_ms))):
            after = sums[-1 : -2 - MOST_LEFT_OUT : -1]
            ways = [ends[part]]
            if after:
                begun = [one + left_out(count) + self.opens[part + 1 + count] for count, one in enumerate(after)]
                nexts = _summed(np.array(begun), axis=0)
                lasts_ms = self._later(part, self.at_ms, FAR_MS) - self.at_ms[:, None]
                told = self.told[part, :-1]
                lasting = self._lasting(part, lasts_ms, self._later(part, told, 0) - told[:, None])
                ways.append(_summed(lasting + self._later(part, nexts, NEVER), axis=1))
            sums.append(_summed(np.array(ways), axis=0))
        return np.array(sums[::-1])

    def ends(self) -> "Numbers":
        """That nothing of the class comes after a part that began at a place: shape (parts, places)."""
        import numpy as np

        parts = len(self.planned_ms)
        last = np.array([left_out(parts - 1 - part) for part in range(parts)])
        found: Numbers = self.told[:, -1:] - self.told[:, :-1] + last[:, None]
        return found

    def _earlier(self, part: int, values: "Numbers", none: float) -> "Numbers":
        """The values at the places before each, as far back as a part may last: shape (places, far)."""
        import numpy as np

        far = self._far(part)
        return np.lib.stride_tricks.sliding_window_view(np.concatenate([np.full(far, none), values[:-1]]), far)

    def _later(self, part: int, values: "Numbers", none: float) -> "Numbers":
        """The values at the places after each, as far on as a part may last: shape (places, far)."""
        import numpy as np

        far = self._far(part)
        return np.lib.stride_tricks.sliding_window_view(np.concatenate([values[1:], np.full(far, none)]), far)

    def _far(self, part: int) -> int:
        """How many places a part may last."""
        import numpy as np

        end = np.searchsorted(self.at_ms, self.at_ms + self._longest_ms(part))
        return max(int((end - np.arange(len(end))).max()), 1)

    def _longest_ms(self, part: int) -> float:
        return LONGEST * float(self.planned_ms[part]) + LONGEST_MS

    def _lasting(self, part: int, lasts_ms: "Numbers", words: "Numbers") -> "Numbers":
        """That a part lasts so long, with what is said in it."""
        import numpy as np

        planned_ms = max(float(self.planned_ms[part]), 1000.0)
        spread = np.hypot(SPREAD, SPREAD_MS / planned_ms)
        off = np.log(np.maximum(lasts_ms, 1.0) / planned_ms) / spread
        found: Numbers = words - (TAIL + 1) / 2 * np.log1p(off**2 / TAIL) - np.log(spread)
        found[(lasts_ms <= 0) | (lasts_ms > self._longest_ms(part))] = NEVER
        return found


def left_out(parts: int) -> float:
    """That so many parts in a row were left out."""
    return LEFT_OUT + FURTHER * (parts - 1) if parts else 0.0


def _summed(values: "Numbers", axis: int) -> "Numbers":
    """The logarithm of the sum of what `values` are the logarithms of."""
    import numpy as np

    most = np.max(values, axis=axis, keepdims=True)
    found: Numbers = np.squeeze(most, axis=axis) + np.log(np.sum(np.exp(values - most), axis=axis))
    return found
