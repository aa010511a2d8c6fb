"""Several performances of a class as one HTML page: each step's lengths as columns beside the plan, and in words."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING

from guide.export.comparison_page.templates import filled
from guide.review import report_phrases
from guide.review.history import history_phrases
from guide.review.history.performances import History, HowSeen, Lengths, OneTime, StepLengths
from guide.units import clock

if TYPE_CHECKING:
    from markupsafe import Markup

#: A column for each performance, so far apart; half the picture's height is the planned length, all of it twice that.
COLUMN_PX, EACH_PX, PLANNED_PX = 11.0, 16.0, 18.0

#: The least of a column that can be seen.
LEAST_PX = 1.5


@dataclass(frozen=True, slots=True)
class TimeColumn:
    """One time that something was done: where its column stands, how high it is and how it looks."""

    left_px: float
    top_px: float
    high_px: float
    looks: str


@dataclass(frozen=True, slots=True)
class HistoryRow:
    """A step in words, and its lengths as columns."""

    planned_at: str
    name: str
    side: str
    planned: str
    usual: str
    spread: str
    drawn: "Markup"
    each: str


@dataclass(frozen=True, slots=True)
class HistoryTable:
    """A section, what is told of it, and its steps; `title` is None where steps belong to none."""

    title: str | None
    told: str
    rows: tuple[HistoryRow, ...]


def history_page(history: History, made_on: str) -> str:
    """The whole page; `made_on` is the day as it shall be shown.

    Source: WHATWG HTML; W3C WCAG 2.2 for names of pictures and headers of tables.
    """
    values = {
        "title": report_phrases.plain(history.title),
        "totals": history_phrases.totals(history),
        "made_on": report_phrases.plain(made_on),
        "performances": tuple(_performances(history)),
        "told": tuple(history_phrases.told(history)),
        "sections": tuple(_tables(history)),
        "feet": tuple(history_phrases.feet(history)),
    }
    return f"{filled('history.html.jinja', values)}\n"


def _performances(history: History) -> Iterator[tuple[str, ...]]:
    for number, one in enumerate(history.performances, start=1):
        yield str(number), history_phrases.name_of(one), one.on, *history_phrases.measures(history, number)


def _tables(history: History) -> Iterator[HistoryTable]:
    titles = {one.number: one for one in history.sections}
    sections = history.performances[0].comparison.sections
    for section, run in groupby(history.steps, key=lambda one: one.step.section):
        title = None if section is None else report_phrases.plain(sections[section])
        told = history_phrases.usually(titles[section].lengths) if section in titles else ""
        yield HistoryTable(title, told, tuple(map(_row, run)))


def _row(one: StepLengths) -> HistoryRow:
    _, least_ms, most_ms = history_phrases.spread_ms(one.lengths)
    least, most = map(history_phrases.length_or_unknown, (least_ms, most_ms))
    return HistoryRow(
        planned_at=clock(one.step.planned_start_ms),
        name=report_phrases.title_of(one.step),
        side=one.step.side.value if one.step.side else "",
        planned=report_phrases.length(one.lengths.planned_ms),
        usual=history_phrases.length_or_unknown(one.lengths.usual_ms),
        spread=least if least == most else f"{least} to {most}",
        drawn=_columns(one.lengths),
        each=", ".join(map(history_phrases.time_words, one.lengths.times)),
    )


def _columns(lengths: Lengths) -> "Markup":
    columns = tuple(_column(number, one, lengths.planned_ms) for number, one in enumerate(lengths.times))
    each = ", ".join(map(history_phrases.time_words, lengths.times))
    values = {
        "columns": columns,
        "words": f"{each}; planned {report_phrases.length(lengths.planned_ms)}",
        "wide": EACH_PX * len(columns) + 4,
        "high": 2 * PLANNED_PX,
        "planned": PLANNED_PX,
        "column": COLUMN_PX,
    }
    return filled("columns.svg.jinja", values)


def _column(number: int, one: OneTime, planned_ms: int) -> TimeColumn:
    share = min((one.length_ms or 0) / max(planned_ms, 1), 2.0)
    high_px = 0.0 if one.length_ms is None else max(round(share * PLANNED_PX, 2), LEAST_PX)
    over_ms = report_phrases.whole(one.length_ms or 0) - report_phrases.whole(planned_ms)
    looks = "held" if abs(over_ms) < report_phrases.ALIKE_MS else "over" if over_ms > 0 else "under"
    left_px = 2 + number * EACH_PX + (EACH_PX - COLUMN_PX) / 2
    top_px = round(2 * PLANNED_PX - high_px, 2)
    return TimeColumn(left_px, top_px, high_px, "open" if one.seen is HowSeen.UNSURE else looks)
