"""The steps that ran over most, named below the real band where there is room for them."""

from collections.abc import Sequence

from guide.drawing.text_size import fitting, width_px
from guide.export.comparison_page.picture_parts import Callout
from guide.export.time_axis import Axis
from guide.review import report_phrases
from guide.review.comparison import StepTaken

MOST_ROWS = 3
LETTERS_PX, MOST_WIDE_PX, BETWEEN_PX = 11.5, 150.0, 10.0

#: The left and the right end of room that is taken.
Taken = tuple[float, float]


def called_out(over: Sequence[tuple[float, StepTaken]], axis: Axis) -> tuple[Callout, ...]:
    """Those of `over`, steps with where they are, that have room: the furthest over first, in the first row it fits.

    Neither words nor the line up to the step cross any other words.
    """
    made: list[Callout] = []
    taken: list[list[Taken]] = [[] for _ in range(MOST_ROWS)]
    for at_px, step in over:
        name = fitting(report_phrases.named(step), MOST_WIDE_PX, LETTERS_PX, 3)
        half_px = max(width_px(name, LETTERS_PX), 50.0) / 2 + BETWEEN_PX / 2
        middle_px = min(max(at_px, axis.left_px + half_px), axis.right_px - half_px)
        row = _free_row(taken, at_px, (middle_px - half_px, middle_px + half_px))
        if row is None:
            continue
        taken[row].append((middle_px - half_px, middle_px + half_px))
        for above in taken[:row]:
            above.append((at_px - BETWEEN_PX / 2, at_px + BETWEEN_PX / 2))
        made.append(Callout(at_px, round(middle_px, 2), row, report_phrases.over_words(step), name))
    return tuple(made)


def _free_row(taken: Sequence[Sequence[Taken]], at_px: float, wanted: Taken) -> int | None:
    line = (at_px - BETWEEN_PX / 2, at_px + BETWEEN_PX / 2)
    for row, rows_taken in enumerate(taken):
        if not any(_cross(one, wanted) for one in rows_taken):
            return row
        if any(_cross(one, line) for one in rows_taken):
            return None
    return None


def _cross(one: Taken, other: Taken) -> bool:
    return one[0] < other[1] and other[0] < one[1]
