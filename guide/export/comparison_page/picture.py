"""The picture of a comparison: planned and real as two bands over one time axis."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from guide.drawing.text_size import width_px
from guide.export.comparison_page.bands import BAND_PX, LETTERS_PX, WIDE_PX, bands
from guide.export.comparison_page.picture_parts import Bands
from guide.export.comparison_page.templates import filled
from guide.review import report_phrases
from guide.review.comparison import Comparison
from guide.units import clock

if TYPE_CHECKING:
    from markupsafe import Markup

#: Heights of what stands one below the other.
TOP_PX, JOINS_PX, CALLOUT_PX, AXIS_PX, LINE_PX = 50.0, 46.0, 32.0, 32.0, 22.0

#: A sample of some looks in the legend, and the room after its words.
SAMPLE_PX, AFTER_PX = 26.0, 20.0

#: What looks mean, in the order of the legend.
MEANINGS = {
    "held": "step as planned",
    "move": "move of one breath",
    "over": "took longer",
    "under": "was shorter",
    "unsure": "start unsure",
    "open": "end not known",
    "gone": "not heard",
    "gap": "counts for no step",
}


@dataclass(frozen=True, slots=True)
class LegendItem:
    """A sample in the legend at `x_px`, in line `line`, with its words."""

    looks: str
    words: str
    x_px: float
    line: int


@dataclass(frozen=True, slots=True)
class Heights:
    """Where each part of the picture begins, from above, and how high the whole is."""

    planned: float
    joins: float
    real: float
    callouts: float
    axis: float
    legend: float
    whole: float

    @staticmethod
    def of(rows: int, lines: int) -> "Heights":
        """With so many rows of callouts, and lines of the legend."""
        joins = TOP_PX + BAND_PX
        real = joins + JOINS_PX
        callouts = real + BAND_PX
        axis = callouts + 8 + rows * CALLOUT_PX + (4 if rows else 0)
        legend = axis + AXIS_PX
        return Heights(TOP_PX, joins, real, callouts, axis, legend, legend + lines * LINE_PX + 6)


def picture(comparison: Comparison) -> str:
    """The picture as an SVG file of its own, on light or dark paper as whoever looks at it prefers."""
    return f"{_drawn(comparison, filled('picture.css.jinja', {}))}\n"


def inside(comparison: Comparison) -> "Markup":
    """The picture as an element of a page that has its styles."""
    return _drawn(comparison, "")


def _drawn(comparison: Comparison, style: str) -> "Markup":
    laid = bands(comparison)
    legend = tuple(_legend(comparison, laid))
    rows = max((callout.row + 1 for callout in laid.callouts), default=0)
    values = {
        "style": style,
        "title": f"{report_phrases.plain(comparison.title)}: planned and {comparison.how.value}",
        "description": _description(comparison),
        "laid": laid,
        "legend": legend,
        "y": Heights.of(rows, max(entry.line for entry in legend) + 1),
        "wide": WIDE_PX,
        "band_high": BAND_PX,
        "sample": SAMPLE_PX,
        "callout_high": CALLOUT_PX,
        "line": LINE_PX,
        "how": comparison.how.value,
        "planned": clock(report_phrases.whole(comparison.planned_ms)),
        "real": report_phrases.UNKNOWN
        if comparison.real_ms is None
        else clock(report_phrases.whole(comparison.real_ms)),
        "slot": None if comparison.slot_ms is None else clock(report_phrases.whole(comparison.slot_ms)),
        "nothing": None if laid.real else _nothing(comparison),
    }
    return filled("bands.svg.jinja", values)


def _nothing(comparison: Comparison) -> str:
    return "another class, it seems" if comparison.is_another else "nothing is known of the steps"


def _description(comparison: Comparison) -> str:
    """The picture in words, for those who do not see it."""
    if comparison.is_another:
        return report_phrases.another(comparison)
    over = "; ".join(
        f"{report_phrases.named(step)} {report_phrases.over_words(step)}"
        for step in report_phrases.most_over(comparison)
    )
    sentences = [
        "Two bands over one time axis: the steps as planned above, as they were below.",
        f"{report_phrases.would_take(comparison)}."
        if report_phrases.is_known(comparison)
        else "Nothing is known of the steps.",
        f"Ran over most: {over}." if over else "",
    ]
    return " ".join(filter(None, sentences))


def _legend(comparison: Comparison, laid: Bands) -> Iterator[LegendItem]:
    """What the looks mean that there are, in as many lines as that takes."""
    used = {look for block in (*laid.planned, *laid.real) for look in block.looks.split()}
    gone = {report_phrases.rests_on(comparison, step): 0 for step in comparison.steps if step.real_start_ms is None}
    meanings = MEANINGS | {"gone": " or ".join(gone)}
    x_px, line = laid.axis.left_px, 0
    for looks, words in meanings.items():
        if looks != "held" and looks not in used:
            continue
        wide_px = SAMPLE_PX + 6 + width_px(words, LETTERS_PX) + AFTER_PX
        if x_px + wide_px - AFTER_PX > laid.axis.right_px:
            x_px, line = laid.axis.left_px, line + 1
        yield LegendItem(looks, words, round(x_px, 2), line)
        x_px += wide_px
