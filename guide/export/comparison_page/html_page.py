"""A comparison as one HTML page that needs nothing else: no script, no network, its styles and pictures inside."""

from collections.abc import Iterator
from dataclasses import dataclass

from guide.export.comparison_page.pairs import pairs
from guide.export.comparison_page.picture import inside
from guide.export.comparison_page.step_table import step_table
from guide.export.comparison_page.templates import filled
from guide.review import report_phrases
from guide.review.comparison import Comparison
from guide.units import clock

Fact = tuple[str, str, str]


@dataclass(frozen=True, slots=True)
class PlannedPicture:
    """The picture of the class as planned: an address that holds it, and what it shows in words."""

    address: str
    words: str


def html_page(comparison: Comparison, made_on: str, planned: PlannedPicture | None = None) -> str:
    """The whole page; `made_on` is the day as it shall be shown, `planned` heads it where it is given.

    Source: WHATWG HTML; W3C WCAG 2.2 for contrast, names of pictures and headers of tables.
    """
    values = {
        "title": report_phrases.plain(comparison.title),
        "how": comparison.how.value,
        "recording": report_phrases.plain(comparison.recording),
        "planned": planned,
        "made_on": report_phrases.plain(made_on),
        "facts": tuple(_facts(comparison)),
        "another": report_phrases.another(comparison) if comparison.is_another else None,
        "told": report_phrases.would_take(comparison) if report_phrases.is_known(comparison) else None,
        "picture": inside(comparison),
        "pairs": tuple(pairs(comparison)),
        "sums": report_phrases.both_sums(comparison),
        "over": tuple(_over(comparison)),
        "sections": tuple(step_table(comparison)),
        "words": tuple(report_phrases.words_said(comparison)),
        "slips": tuple(_slips(comparison)),
        "sure": report_phrases.sure_means(comparison),
    }
    return f"{filled('page.html.jinja', values)}\n"


def _facts(comparison: Comparison) -> Iterator[Fact]:
    """The first things to see: what each is, how much, and a word about it."""
    planned_ms, real_ms = report_phrases.whole(comparison.planned_ms), comparison.real_ms
    yield "Planned", clock(planned_ms), report_phrases.of_plan(comparison)
    took = "" if real_ms is None else report_phrases.more(planned_ms, real_ms)
    least_ms = report_phrases.at_least_ms(comparison)
    least = f"at least {clock(least_ms)}" if least_ms else "not known"
    taught = least if real_ms is None else clock(report_phrases.whole(real_ms))
    yield comparison.how.value.capitalize(), taught, took
    if comparison.slot_ms is not None:
        differ_ms = report_phrases.whole(comparison.would_take_ms) - report_phrases.whole(comparison.slot_ms)
        against = report_phrases.over_or_short(differ_ms) if report_phrases.is_known(comparison) else ""
        yield "Slot", clock(report_phrases.whole(comparison.slot_ms)), against
    if report_phrases.kept_out(comparison) is not None:
        yield "Kept out", report_phrases.length(comparison.kept_out_ms), "pauses and going back"
    if comparison.speech is not None:
        yield "Spoken", f"{round(100 * comparison.speech.share)} %", "of the time"
        if comparison.speech.words_a_minute_in_all is not None:
            yield "Words a minute", f"{round(comparison.speech.words_a_minute_in_all)}", "quiet and all"


def _over(comparison: Comparison) -> Iterator[tuple[str, str, str, str]]:
    """What ran over, its side and when, by how much, and what it took; only the name may run from right to left."""
    for step in report_phrases.most_over(comparison) if not comparison.is_another else ():
        side = f", {step.side.value}" if step.side else ""
        at = "" if step.real_start_ms is None else f", at {clock(step.real_start_ms)}"
        yield (
            report_phrases.title_of(step),
            side + at,
            report_phrases.over_words(step),
            report_phrases.in_place_of(step) + report_phrases.doubt(step),
        )


def _slips(comparison: Comparison) -> Iterator[tuple[str, str, str, str]]:
    """When, where in the class file, what was planned and what was heard."""
    for slip in comparison.slips:
        place = report_phrases.plain(str(slip.place))
        yield clock(slip.at_ms), place, report_phrases.plain(slip.planned), report_phrases.plain(slip.heard)
