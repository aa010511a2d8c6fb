"""The best path through planned and heard words, both in order: dynamic programming with near and far jumps.

A pair of words scores by how alike they are and how much the planned word tells. Going on with the very next words is
free. Leaving out a few words on either side costs a little for each. Going on anywhere further in both costs a fixed
sum, however far, and more the further that is from where the class is expected to be; so a line that is repeated, an
aside or a part left out is paid once and pulls nothing along, and a word or two that agree by chance pay more than they
bring.

Source: affine gaps as in Gotoh 1982 (An improved algorithm for matching biological sequences), from memory; the far
jump is ours.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from guide.review.aligning.word_likeness import Likeness

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Scores = NDArray[np.int64]
    Choices = NDArray[np.uint8]

#: Costs in the unit of scores, of which a word that is said once brings 1000. Found by trying on taught classes.
HEARD_SKIPPED = 40
PLANNED_SKIPPED = 30
FAR_A_SECOND = 15
FAR_FREE_MS = 10_000
FAR_MOST = 1500

_NEVER = -(10**9)

_MATCH_FAR = 1
_NEAR_LEFT, _NEAR_UP = 2, 4
_FAR_LEFT, _FAR_UP = 8, 16


@dataclass(frozen=True, slots=True)
class AlignmentTask:
    """What the path is looked for in.

    `weight` is what each planned word tells; `far` what it costs to go on there after a far jump; `likely_ms` when it
    is expected; `first` and `end` between which heard words it is looked for, neither ever falling; `heard_ms` when
    each heard word begins.
    """

    alike: Likeness
    weight: "NDArray[np.float64]"
    far: "NDArray[np.int64]"
    likely_ms: "NDArray[np.float64]"
    first: "NDArray[np.int64]"
    end: "NDArray[np.int64]"
    heard_ms: "NDArray[np.float64]"


@dataclass(frozen=True, slots=True)
class _Row:
    """The best scores up to a planned word, by heard word from `first`: near the last match, and anywhere."""

    first: int
    near: "Scores"
    far: "Scores"

    def shifted(self, first: int, end: int) -> "tuple[Scores, Scores]":
        """The scores of the heard words before each from `first` to before `end`."""
        return self._taken(first - 1, end - 1)

    def same(self, first: int, end: int) -> "tuple[Scores, Scores]":
        return self._taken(first, end)

    def _taken(self, first: int, end: int) -> "tuple[Scores, Scores]":
        import numpy as np

        near, far = np.full(end - first, _NEVER, np.int64), np.full(end - first, _NEVER, np.int64)
        own_end = self.first + len(self.near)
        low, high = max(first, self.first), min(end, own_end)
        if low < high:
            near[low - first : high - first] = self.near[low - self.first : high - self.first]
            far[low - first : high - first] = self.far[low - self.first : high - self.first]
        # Beyond the row nothing better is known than at its end; before all words nothing has been matched yet.
        far[max(own_end - first, 0) :] = self.far[-1]
        if first < 0:
            far[0] = 0
        return near, far


def best_path(field: AlignmentTask) -> list[tuple[int, int]]:
    """The numbers of planned and heard words that belong together, both rising."""
    import numpy as np

    row = _Row(int(field.first[0]), *_start(int(field.end[0] - field.first[0])))
    kept: list[Choices] = []
    for number in range(len(field.weight)):
        row, choices = _next(field, number, row)
        kept.append(choices)
    return _back(field, kept) if kept and np.any(row.far > 0) else []


def _start(size: int) -> "tuple[Scores, Scores]":
    import numpy as np

    return np.full(size, _NEVER, np.int64), np.zeros(size, np.int64)


def _next(field: AlignmentTask, number: int, before: _Row) -> "tuple[_Row, Choices]":
    """The row of the next planned word, and how each of its scores was come by."""
    import numpy as np

    first, end = int(field.first[number]), int(field.end[number])
    weight = float(field.weight[number])
    near_before, far_before = before.shifted(first, end)
    near_above, far_above = before.same(first, end)
    far_entry = far_before - _far_cost(field, number, first, end)
    score = _score(field.alike.row(number, first, end), weight)
    match = score + np.maximum(near_before, far_entry)
    near_up = near_above - PLANNED_SKIPPED - int(150 * weight)
    near, near_left = _spread(np.maximum(match, near_up), HEARD_SKIPPED)
    far, far_left = _spread(np.maximum(match, far_above), 0)
    choices = (
        (far_entry > near_before) * _MATCH_FAR
        + near_left * _NEAR_LEFT
        + (near_up > match) * _NEAR_UP
        + far_left * _FAR_LEFT
        + (far_above >= match) * _FAR_UP
    )
    return _Row(first, near, far), choices.astype(np.uint8)


def _far_cost(field: AlignmentTask, number: int, first: int, end: int) -> "Scores":
    import numpy as np

    off_ms = np.abs(field.heard_ms[first:end] - field.likely_ms[number]) - FAR_FREE_MS
    cost: Scores = (field.far[number] + np.clip(off_ms * FAR_A_SECOND / 1000, 0, FAR_MOST)).astype(np.int64)
    return cost


def _score(alike: "NDArray[np.int32]", weight: float) -> "Scores":
    import numpy as np

    score: Scores = np.where(alike > 0, (alike * weight).astype(np.int64), _NEVER)
    return score


def _spread(scores: "Scores", cost: int) -> "tuple[Scores, NDArray[np.bool_]]":
    """Each score, or that of an earlier heard word less `cost` a word between; and where the earlier one is as good."""
    import numpy as np

    slope = np.arange(len(scores), dtype=np.int64) * cost
    highest = np.maximum.accumulate(scores + slope)
    from_left = np.zeros(len(scores), bool)
    from_left[1:] = highest[1:] == highest[:-1]
    return highest - slope, from_left


def _back(field: AlignmentTask, kept: "list[Choices]") -> list[tuple[int, int]]:
    """The path back from the end along the choices."""
    pairs: list[tuple[int, int]] = []
    number, heard, is_near = len(kept) - 1, int(field.end[-1]) - 1, False
    while number >= 0 and heard >= 0:
        first = int(field.first[number])
        if heard < first:
            break
        heard = min(heard, first + len(kept[number]) - 1)
        choice = int(kept[number][heard - first])
        left, up = (_NEAR_LEFT, _NEAR_UP) if is_near else (_FAR_LEFT, _FAR_UP)
        if choice & left:
            heard -= 1
        elif choice & up:
            number -= 1
        else:
            pairs.append((number, heard))
            is_near = not choice & _MATCH_FAR
            number, heard = number - 1, heard - 1
    return pairs[::-1]
