"""Both sides as pairs of bars, each with a mark where it was planned to end."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from guide.export.comparison_page.templates import filled
from guide.review import report_phrases
from guide.review.comparison import Comparison, StepTaken
from guide.units import clock

if TYPE_CHECKING:
    from markupsafe import Markup

WIDE_PX, LEFT_PX, BARS_PX = 380.0, 58.0, 236.0
BAR_PX, EACH_PX = 22.0, 34.0


@dataclass(frozen=True, slots=True)
class Bar:
    """One side: its words, how long it was drawn to be and planned, and what it took."""

    side: str
    wide_px: float
    planned_px: float
    looks: str
    took: str
    words_px: float
    y_px: float


@dataclass(frozen=True, slots=True)
class Pair:
    """Two sides of one thing: what it is, when it began, how they differ, and their picture."""

    title: str
    began: str
    differ: str
    drawn: "Markup"


def pairs(comparison: Comparison) -> Iterator[Pair]:
    """Everything held on both sides whose lengths are known, all on one scale."""
    found = list(report_phrases.held_pairs(comparison))
    longest_ms = max((max(one.real_ms or 0, one.planned_ms) for pair in found for one in pair), default=0)
    for first, second in found:
        bars = tuple(_bar(step, number, longest_ms) for number, step in enumerate((first, second)))
        title, differ = report_phrases.title_of(first), report_phrases.differ(first, second)
        values = {
            "bars": bars,
            "words": f"{title}: {report_phrases.beside(first)}, {report_phrases.beside(second)}; {differ}",
            "left": LEFT_PX,
            "wide": WIDE_PX,
            "bar": BAR_PX,
            "high": 2 * EACH_PX,
        }
        began = "" if first.real_start_ms is None else clock(first.real_start_ms)
        yield Pair(title, began, differ, filled("pair.svg.jinja", values))


def _bar(step: StepTaken, number: int, longest_ms: int) -> Bar:
    px_per_ms = BARS_PX / max(longest_ms, 1)
    wide_px, planned_px = round((step.real_ms or 0) * px_per_ms, 2), round(step.planned_ms * px_per_ms, 2)
    over_ms = report_phrases.over_ms(step)
    return Bar(
        side=step.side.value if step.side else "no side",
        wide_px=wide_px,
        planned_px=round(LEFT_PX + planned_px, 2),
        looks="held" if abs(over_ms) < report_phrases.ALIKE_MS else "over" if over_ms > 0 else "under",
        took=report_phrases.length(step.real_ms or 0),
        words_px=round(LEFT_PX + max(wide_px, planned_px) + 8, 2),
        y_px=number * EACH_PX + (EACH_PX - BAR_PX) / 2,
    )
