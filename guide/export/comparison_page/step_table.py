"""The table of steps: a row for each, under the section it belongs to."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from guide.review import report_phrases
from guide.review.comparison import Comparison, StepTaken
from guide.units import clock


@dataclass(frozen=True, slots=True)
class StepRow:
    """A step in words; `looks` is how its difference is marked."""

    name: str
    side: str
    planned: str
    took: str
    more: str
    looks: str
    sure: str
    rests_on: str
    began: str


@dataclass(frozen=True, slots=True)
class StepTable:
    """A section and its rows; `title` is None where steps belong to none."""

    title: str | None
    rows: tuple[StepRow, ...]


def step_table(comparison: Comparison) -> Iterator[StepTable]:
    """Every step of the plan in order, under the title of its section."""
    for section, run in groupby(comparison.steps, key=lambda step: step.section):
        title = None if section is None else report_phrases.plain(comparison.sections[section])
        yield StepTable(title, tuple(_row(comparison, step) for step in run))


def _row(comparison: Comparison, step: StepTaken) -> StepRow:
    over_ms = report_phrases.over_ms(step)
    return StepRow(
        name=report_phrases.title_of(step),
        side=step.side.value if step.side else "",
        planned=report_phrases.length(step.planned_ms),
        took=report_phrases.UNKNOWN if step.real_ms is None else report_phrases.length(step.real_ms),
        more=report_phrases.UNKNOWN if step.real_ms is None else report_phrases.more(step.planned_ms, step.real_ms),
        looks="" if abs(over_ms) < report_phrases.ALIKE_MS else "over" if over_ms > 0 else "under",
        sure=report_phrases.UNKNOWN if step.real_start_ms is None else f"{round(100 * step.sure)} %",
        rests_on=report_phrases.rests_on(comparison, step),
        began=report_phrases.UNKNOWN if step.real_start_ms is None else clock(step.real_start_ms),
    )
