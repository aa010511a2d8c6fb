"""Several performances of a class as a table that a teacher reads, and below it what keeps coming.

Lines never end in spaces and never pass the width.
"""

from collections.abc import Iterator, Sequence

from guide.drawing.text_width import cut, left, right, width
from guide.review.history import history_phrases
from guide.review.history.performances import History, Lengths, SectionLengths, StepLengths
from guide.review.report_phrases import plain, title_of
from guide.review.text_report import GAP, LEAST_COLUMNS, MOST_COLUMNS, RULE, wrapped_entry
from guide.units import clock

PERFORMANCES = ("", "performance", "on", "how", "took", "more", "known surely")
STEPS = ("clock", "what", "side", "planned", "usual", "least", "most", "each time")

#: How many columns the names of files may take, and the times of a step: as many of the last ones as fit.
MOST_NAME, LEAST_TIMES = 30, 18

#: So much is left at least of the second column of a table.
LEAST_SECOND = 6

#: A title that would have less room than this beside the totals has a line of its own.
LEAST_TITLE = 12


def history_text(history: History, width_columns: int) -> str:
    """All of it in lines of at most `width_columns`, taken as between 72 and 100."""
    columns = min(max(width_columns, LEAST_COLUMNS), MOST_COLUMNS)
    title, totals = plain(history.title), history_phrases.totals(history)
    room = columns - width(f": {totals}")
    if room >= min(width(title), LEAST_TITLE):
        lines = [f"{cut(title, room)}: {totals}"]
    else:
        lines = [cut(title, columns), *wrapped_entry(totals, columns, "")]
    lines += [RULE * columns]
    lines += [*_performances(history, columns), RULE * columns, *_steps(history, columns), RULE * columns]
    lines += [line for foot in history_phrases.feet(history) for line in wrapped_entry(foot, columns, "")]
    for title, entries in history_phrases.told(history):
        lines += ["", title, *(line for entry in entries for line in wrapped_entry(entry, columns, "  "))]
    return "\n".join(lines) + "\n"


def _performances(history: History, columns: int) -> Iterator[str]:
    rows = [
        (str(number), cut(history_phrases.name_of(one), MOST_NAME), one.on, *history_phrases.measures(history, number))
        for number, one in enumerate(history.performances, start=1)
    ]
    has_days = any(one.on for one in history.performances)
    yield from _table([head if head != "on" or has_days else "" for head in PERFORMANCES], rows, columns, (1, 2, 3, 6))


def _steps(history: History, columns: int) -> Iterator[str]:
    """The table: a line for each step, and one for each section, which has lengths of its own."""
    titles = {one.number: one for one in history.sections}
    cells = [_cells(one) for one in history.steps]
    taken = sum(max(map(width, column)) + len(GAP) for column in zip(STEPS[:-1], *cells, strict=True))
    room = max(columns - taken, LEAST_TIMES)
    rows = [(*row, history_phrases.each_time(one.lengths, room)) for row, one in zip(cells, history.steps, strict=True)]
    head, *lines = _table(STEPS, rows, columns, (1, 2, 7))
    yield head
    section = None
    for one, line in zip(history.steps, lines, strict=True):
        if one.step.section is not None and one.step.section != section:
            section = one.step.section
            yield ""
            yield _section_line(titles[section], columns) if section in titles else RULE * columns
        yield line


def _section_line(section: SectionLengths, columns: int) -> str:
    """`── Moving: planned 1:39, usually 1:50 (1:42 to 2:01) ───`."""
    told = f": {history_phrases.usually(section.lengths)} "
    title = f"{RULE * 2} {cut(plain(section.title), columns - width(told) - 6)}{told}"
    return title + RULE * (columns - width(title))


def _cells(one: StepLengths) -> tuple[str, ...]:
    step, lengths = one.step, one.lengths
    side = step.side.value if step.side else ""
    return clock(step.planned_start_ms), title_of(step), side, *_measured(lengths)


def _measured(lengths: Lengths) -> tuple[str, ...]:
    return tuple(map(history_phrases.length_or_unknown, (lengths.planned_ms, *history_phrases.spread_ms(lengths))))


def _table(headings: Sequence[str], rows: Sequence[Sequence[str]], columns: int, words: Sequence[int]) -> Iterator[str]:
    """Lines of cells under their headings: those in `words` to the left, and the second as narrow as it must be; where
    nearly nothing would be left of that, the last one too."""
    sizes = [max(map(width, cells)) for cells in zip(headings, *rows, strict=True)]
    over = max(sum(sizes) + len(GAP) * (len(sizes) - 1) - columns, 0)
    of_second = min(over, max(sizes[1] - LEAST_SECOND, 0))
    sizes[1] -= of_second
    sizes[-1] -= over - of_second
    for row in (headings, *rows):
        placed = [
            (left if number in words else right)(cut(cell, size), size)
            for number, (cell, size) in enumerate(zip(row, sizes, strict=True))
            if size
        ]
        yield GAP.join(placed).rstrip()
