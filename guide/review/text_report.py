"""A comparison as a table that a teacher reads: each step as planned and as taught, both sides, the words, the slips.

Lines never end in spaces and never pass the width. There is no colour inside.
"""

import re
from collections.abc import Iterator, Sequence

from guide.drawing.text_width import cut, left, right, width, wrapped
from guide.review import report_phrases
from guide.review.comparison import Comparison, StepTaken
from guide.review.report_phrases import UNKNOWN, length, more, plain, title_of, whole
from guide.units import clock

LEAST_COLUMNS, MOST_COLUMNS = 72, 100
GAP = "  "
RULE = "─"
INDENT = "  "
NO_BREAK = "\u00a0"

HEADINGS = ("clock", "what", "side", "planned", "took", "more", "sure", "rests on")


def text_report(comparison: Comparison, width_columns: int) -> str:
    """The whole comparison in lines of at most `width_columns`, taken as between 72 and 100."""
    columns = min(max(width_columns, LEAST_COLUMNS), MOST_COLUMNS)
    lines = [*_headed(comparison, columns), RULE * columns]
    if comparison.is_another:
        lines += wrapped_entry(report_phrases.another(comparison), columns, "")
    else:
        foot = f"sure: {report_phrases.sure_means(comparison)}"
        lines += [*_steps(comparison, columns), RULE * columns, *wrapped_entry(foot, columns, "")]
    for title, entries in _after(comparison):
        lines += ["", title, *(line for entry in entries for line in wrapped_entry(entry, columns, "  "))]
    return "\n".join(lines) + "\n"


def _headed(comparison: Comparison, columns: int) -> list[str]:
    """The title and the lengths on one line; of a title that is too long, the beginning."""
    totals = f": {_totals(comparison)}"
    return [cut(plain(comparison.title), columns - width(totals)) + totals]


def _totals(comparison: Comparison) -> str:
    of_plan = report_phrases.of_plan(comparison)
    planned = f"planned {clock(whole(comparison.planned_ms))}{f' {of_plan}' if of_plan else ''}"
    if comparison.real_ms is None:
        least_ms = report_phrases.at_least_ms(comparison)
        least = f"{comparison.how.value} at least {clock(least_ms)}"
        return f"{planned}; {least if least_ms else 'how long it took cannot be told'}"
    took = f"{comparison.how.value} {clock(whole(comparison.real_ms))}"
    return f"{planned}, {took} ({more(comparison.planned_ms, comparison.real_ms)})"


def _steps(comparison: Comparison, columns: int) -> Iterator[str]:
    """The table: a line for each step, and one for each section."""
    rows = [_cells(comparison, step) for step in comparison.steps]
    sizes = [max(map(width, cells)) for cells in zip(HEADINGS, *rows, strict=True)]
    sizes[1] -= max(sum(sizes) + len(GAP) * (len(sizes) - 1) - columns, 0)
    yield _row(HEADINGS, sizes)
    section = None
    for step, cells in zip(comparison.steps, rows, strict=True):
        if step.section is not None and step.section != section:
            section = step.section
            title = f"{RULE * 2} {cut(plain(comparison.sections[section]), columns - 6)} "
            yield ""
            yield title + RULE * (columns - width(title))
        yield _row(cells, sizes)


def _cells(comparison: Comparison, step: StepTaken) -> tuple[str, ...]:
    return (
        UNKNOWN if step.real_start_ms is None else clock(step.real_start_ms),
        title_of(step),
        step.side.value if step.side else "",
        length(step.planned_ms),
        UNKNOWN if step.real_ms is None else length(step.real_ms),
        UNKNOWN if step.real_ms is None else more(step.planned_ms, step.real_ms),
        UNKNOWN if step.real_start_ms is None else f"{round(100 * step.sure)} %",
        report_phrases.rests_on(comparison, step),
    )


def _row(cells: Sequence[str], sizes: Sequence[int]) -> str:
    """Numbers stand to the right, words to the left."""
    made = []
    for number, (cell, size) in enumerate(zip(cells, sizes, strict=True)):
        made.append((left if number in (1, 2, 7) else right)(cut(cell, size), size))
    return GAP.join(made).rstrip()


def _after(comparison: Comparison) -> Iterator[tuple[str, list[str]]]:
    """What is told below the table, under a heading each; nothing of what is not known."""
    told = {
        "The whole": list(_whole_class(comparison)),
        "Ran over most": list(_most_over(comparison)),
        "Both sides": list(_sides(comparison)),
        "Words": list(report_phrases.words_said(comparison)),
        "Left and right exchanged": list(_slips(comparison)),
    }
    yield from ((title, entries) for title, entries in told.items() if entries)


def _whole_class(comparison: Comparison) -> Iterator[str]:
    if report_phrases.is_known(comparison):
        yield report_phrases.would_take(comparison)
    kept_out = report_phrases.kept_out(comparison)
    if kept_out is not None:
        yield kept_out


def _most_over(comparison: Comparison) -> Iterator[str]:
    for step in report_phrases.most_over(comparison) if not comparison.is_another else ():
        at = "" if step.real_start_ms is None else f"{clock(step.real_start_ms)} "
        over = f"{report_phrases.over_words(step)}, {report_phrases.in_place_of(step)}"
        yield f"{at}{report_phrases.named(step)}: {over}{report_phrases.doubt(step)}"


def _sides(comparison: Comparison) -> Iterator[str]:
    """The holds of both sides beside each other, and all that has two sides together."""
    for first, second in report_phrases.held_pairs(comparison):
        yield f"{title_of(first)}: {report_phrases.beside(first)}, {report_phrases.beside(second)}"
    sums = report_phrases.both_sums(comparison)
    if sums is not None:
        yield sums


def _slips(comparison: Comparison) -> Iterator[str]:
    for slip in comparison.slips:
        yield f"{clock(slip.at_ms)} {slip.place}: planned “{plain(slip.planned)}”, heard “{plain(slip.heard)}”"


def wrapped_entry(words: str, columns: int, indent: str) -> list[str]:
    """`words` in lines of at most `columns`, broken at spaces, the later ones indented; a long word is broken.

    A number stays with its unit.
    """
    room = columns - len(indent)
    kept = re.sub(r"(?<=\d) (?=[s%])", NO_BREAK, plain(words))
    first, *later = (line.replace(NO_BREAK, " ") for line in wrapped(kept, room, room - len(INDENT)))
    return [indent + first, *(indent + INDENT + line for line in later)]
