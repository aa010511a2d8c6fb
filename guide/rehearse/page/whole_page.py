"""A comparison as one HTML page that needs nothing else: no script, no network, its styles and pictures inside."""

from collections.abc import Iterator

from guide.rehearse import telling
from guide.rehearse.comparison import Comparison
from guide.rehearse.page.pairs import pairs
from guide.rehearse.page.picture import inside
from guide.rehearse.page.rows import rows
from guide.rehearse.page.templates import filled
from guide.units import clock

Fact = tuple[str, str, str]


def page(comparison: Comparison, made_on: str) -> str:
    """The whole page; `made_on` is the day as it shall be shown.

    Source: WHATWG HTML; W3C WCAG 2.2 for contrast, names of pictures and headers of tables.
    """
    values = {
        "title": telling.plain(comparison.title),
        "how": comparison.how.value,
        "recording": telling.plain(comparison.recording),
        "made_on": telling.plain(made_on),
        "facts": tuple(_facts(comparison)),
        "another": telling.another(comparison) if comparison.is_another else None,
        "told": telling.would_take(comparison) if telling.is_known(comparison) else None,
        "picture": inside(comparison),
        "pairs": tuple(pairs(comparison)),
        "sums": telling.both_sums(comparison),
        "over": tuple(_over(comparison)),
        "sections": tuple(rows(comparison)),
        "words": tuple(telling.words_said(comparison)),
        "slips": tuple(_slips(comparison)),
        "sure": telling.sure_means(comparison),
    }
    return f"{filled('page.html.jinja', values)}\n"


def _facts(comparison: Comparison) -> Iterator[Fact]:
    """The first things to see: what each is, how much, and a word about it."""
    planned_ms, real_ms = telling.whole(comparison.planned_ms), comparison.real_ms
    yield "Planned", clock(planned_ms), ""
    took = "" if real_ms is None else telling.more(planned_ms, real_ms)
    yield comparison.how.value.capitalize(), "not known" if real_ms is None else clock(telling.whole(real_ms)), took
    if comparison.slot_ms is not None:
        differ_ms = telling.whole(comparison.would_take_ms) - telling.whole(comparison.slot_ms)
        against = telling.over_or_short(differ_ms) if telling.is_known(comparison) else ""
        yield "Slot", clock(telling.whole(comparison.slot_ms)), against
    if telling.kept_out(comparison) is not None:
        yield "Kept out", telling.length(comparison.kept_out_ms), "pauses and going back"
    if comparison.speech is not None:
        yield "Spoken", f"{round(100 * comparison.speech.share)} %", "of the time"
        if comparison.speech.words_a_minute is not None:
            yield "Words a minute", f"{round(comparison.speech.words_a_minute)}", "while speaking"


def _over(comparison: Comparison) -> Iterator[tuple[str, str, str, str]]:
    """What ran over, its side and when, by how much, and what it took; only the name may run from right to left."""
    for step in telling.most_over(comparison) if not comparison.is_another else ():
        side = f", {step.side.value}" if step.side else ""
        at = "" if step.real_start_ms is None else f", at {clock(step.real_start_ms)}"
        yield telling.title_of(step), side + at, telling.over_words(step), telling.in_place_of(step)


def _slips(comparison: Comparison) -> Iterator[tuple[str, str, str, str]]:
    """When, where in the class file, what was planned and what was heard."""
    for slip in comparison.slips:
        place = telling.plain(str(slip.place))
        yield clock(slip.at_ms), place, telling.plain(slip.planned), telling.plain(slip.heard)
