"""The table of steps: a row for each, under the section it belongs to."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from guide.rehearse import telling
from guide.rehearse.comparison import Comparison, StepTaken
from guide.units import clock


@dataclass(frozen=True, slots=True)
class Row:
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
class Rows:
    """A section and its rows; `title` is None where steps belong to none."""

    title: str | None
    rows: tuple[Row, ...]


def rows(comparison: Comparison) -> Iterator[Rows]:
    """Every step of the plan in order, under the title of its section."""
    for section, run in groupby(comparison.steps, key=lambda step: step.section):
        title = None if section is None else telling.plain(comparison.sections[section])
        yield Rows(title, tuple(_row(comparison, step) for step in run))


def _row(comparison: Comparison, step: StepTaken) -> Row:
    over_ms = telling.over_ms(step)
    return Row(
        name=telling.title_of(step),
        side=step.side.value if step.side else "",
        planned=telling.length(step.planned_ms),
        took=telling.UNKNOWN if step.real_ms is None else telling.length(step.real_ms),
        more=telling.UNKNOWN if step.real_ms is None else telling.more(step.planned_ms, step.real_ms),
        looks="" if abs(over_ms) < telling.ALIKE_MS else "over" if over_ms > 0 else "under",
        sure=telling.UNKNOWN if step.real_start_ms is None else f"{round(100 * step.sure)} %",
        rests_on=telling.rests_on(comparison, step),
        began=telling.UNKNOWN if step.real_start_ms is None else clock(step.real_start_ms),
    )
