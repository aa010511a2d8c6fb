"""A comparison as a table that a teacher reads: each step as planned and as taught, both sides, the words, the slips.

Lines never end in spaces and never pass the width. There is no colour inside.
"""

import unicodedata
from collections.abc import Iterator, Sequence
from textwrap import wrap

from guide.rehearse.comparison import Comparison, StepTaken
from guide.rehearse.surety import Rests
from guide.sequence.steps import StepKind
from guide.units import clock, seconds_text, so_many

LEAST_COLUMNS, MOST_COLUMNS = 72, 100
GAP = "  "
RULE = "─"
UNKNOWN = "–"

HEADINGS = ("clock", "what", "side", "planned", "took", "more", "sure", "rests on")

RESTS_ON = {
    Rests.OPENING: "its first words",
    Rests.LATER: "words in it",
    Rests.AROUND: "steps around it",
    Rests.VOICE: "a voice",
    Rests.PRESSED: "your key",
    Rests.SHARED: "keys around it",
    Rests.LED: "as it was led",
    Rests.NOTHING: "not heard",
}

FOOT = (
    "sure: the chance that the start is right to within two seconds. The clock is that of the recording; the lengths "
    "at the top run from the start of the first step to the end of the last."
)

#: Sides that differ by less are alike.
ALIKE_MS = 2000


def text(comparison: Comparison, width_columns: int) -> str:
    """The whole comparison in lines of at most `width_columns`, taken as between 72 and 100."""
    columns = min(max(width_columns, LEAST_COLUMNS), MOST_COLUMNS)
    lines = [_shortened(f"{_plain(comparison.title)}: {_totals(comparison)}", columns), RULE * columns]
    if comparison.is_another:
        lines += _wrapped(_another(comparison), columns, "")
    else:
        lines += [*_steps(comparison, columns), RULE * columns, *_wrapped(FOOT, columns, "")]
    for title, entries in _after(comparison):
        lines += ["", title, *(line for entry in entries for line in _wrapped(entry, columns, "  "))]
    return "\n".join(lines) + "\n"


def _totals(comparison: Comparison) -> str:
    planned = f"planned {clock(_whole(comparison.planned_ms))}"
    if comparison.real_ms is None:
        return f"{planned}; how long it took cannot be told"
    return f"{planned}, taught {clock(_whole(comparison.real_ms))} ({_more(comparison.planned_ms, comparison.real_ms)})"


def _another(comparison: Comparison) -> str:
    return (
        f"Of the plan's {so_many(comparison.cues, 'cue')} {comparison.heard} could be found in {comparison.recording}: "
        "too few to be the same class, so nothing is told of its steps (name the captions of this class)."
    )


def _steps(comparison: Comparison, columns: int) -> Iterator[str]:
    """The table: a line for each step, and one for each section."""
    rows = [_cells(step) for step in comparison.steps]
    sizes = [max(map(_width, cells)) for cells in zip(HEADINGS, *rows, strict=True)]
    sizes[1] -= max(sum(sizes) + len(GAP) * (len(sizes) - 1) - columns, 0)
    yield _row(HEADINGS, sizes)
    section = None
    for step, cells in zip(comparison.steps, rows, strict=True):
        if step.section is not None and step.section != section:
            section = step.section
            title = f"{RULE * 2} {_shortened(_plain(comparison.sections[section]), columns - 6)} "
            yield ""
            yield title + RULE * (columns - _width(title))
        yield _row(cells, sizes)


def _cells(step: StepTaken) -> tuple[str, ...]:
    title, known = _plain(step.title), step.real_start_ms is not None
    return (
        UNKNOWN if step.real_start_ms is None else clock(step.real_start_ms),
        title[:1].upper() + title[1:],
        step.side.value if step.side else "",
        _length(step.planned_ms),
        UNKNOWN if step.real_ms is None else _length(step.real_ms),
        UNKNOWN if step.real_ms is None else _more(step.planned_ms, step.real_ms),
        f"{round(100 * step.sure)} %" if known else UNKNOWN,
        RESTS_ON[step.rests_on],
    )


def _row(cells: Sequence[str], sizes: Sequence[int]) -> str:
    """Numbers stand to the right, words to the left."""
    made = []
    for number, (cell, size) in enumerate(zip(cells, sizes, strict=True)):
        short = _shortened(cell, size)
        blank = " " * (size - _width(short))
        made.append(short + blank if number in (1, 2, 7) else blank + short)
    return GAP.join(made).rstrip()


def _after(comparison: Comparison) -> Iterator[tuple[str, list[str]]]:
    """What is told below the table, under a heading each."""
    sides = [] if comparison.is_another else list(_sides(comparison))
    if sides:
        yield "Both sides", sides
    words = list(_words(comparison))
    if words:
        yield "Words", words
    if comparison.slips:
        yield "Left and right exchanged", list(_slips(comparison))


def _sides(comparison: Comparison) -> Iterator[str]:
    """The holds of both sides beside each other, and all that has two sides together."""
    sums = [0, 0]
    for pair in comparison.both_sides:
        first, second = comparison.steps[pair.first], comparison.steps[pair.second]
        if first.real_ms is None or second.real_ms is None:
            continue
        sums = [sums[0] + first.real_ms, sums[1] + second.real_ms]
        if first.kind is not StepKind.MOVE:
            title = _plain(first.title)
            yield f"{title[:1].upper() + title[1:]}: {_beside(first, first.real_ms)}, {_beside(second, second.real_ms)}"
    if any(sums):
        differ = _alike(sums[1] - sums[0])
        yield f"All that has two sides: first side {_length(sums[0])}, second side {_length(sums[1])}; {differ}"


def _beside(step: StepTaken, real_ms: int) -> str:
    side = step.side.value if step.side else "no side"
    return f"{side} {_length(real_ms)} (planned {_length(step.planned_ms)})"


def _alike(differ_ms: int) -> str:
    if abs(differ_ms) < ALIKE_MS:
        return "they are alike"
    return f"the second is {_length(abs(differ_ms))} {'longer' if differ_ms > 0 else 'shorter'}"


def _words(comparison: Comparison) -> Iterator[str]:
    speech = comparison.speech
    if comparison.heard is not None:
        yield f"{comparison.heard} of the plan's {so_many(comparison.cues, 'cue')} were heard"
    if speech is None:
        return
    share = round(100 * speech.share)
    yield f"About {share} % of the time was spoken ({clock(speech.spoken_ms)} of {clock(speech.over_ms)})"
    if speech.words_a_minute is not None:
        measured = "" if speech.is_measured else ", taken as usual: the captions are too long to measure it"
        yield f"About {round(speech.words_a_minute)} words a minute while speaking{measured}"


def _slips(comparison: Comparison) -> Iterator[str]:
    for slip in comparison.slips:
        yield f"{clock(slip.at_ms)} {slip.place}: planned “{_plain(slip.planned)}”, heard “{slip.heard}”"


def _length(ms: int) -> str:
    """A length in whole seconds, as near as starts are known: `4 s`, `1:30`."""
    return seconds_text(_whole(ms))


def _more(planned_ms: int, real_ms: int) -> str:
    """How much more or less than planned, of the lengths as they are shown: `+4 s`, `−1:10`, `0 s`."""
    differ_ms = _whole(real_ms) - _whole(planned_ms)
    sign = "+" if differ_ms > 0 else "−" if differ_ms < 0 else ""
    return sign + seconds_text(abs(differ_ms))


def _whole(ms: int) -> int:
    return (ms + 500) // 1000 * 1000


def _plain(words: str) -> str:
    """`words` on one line, without control characters."""
    return " ".join("".join(" " if unicodedata.category(char) == "Cc" else char for char in words).split())


def _width(words: str) -> int:
    """The columns that `words` take on a terminal (Source: Unicode Standard Annex 11)."""
    return sum(
        0
        if unicodedata.category(char) in ("Mn", "Me", "Cf")
        else 2
        if unicodedata.east_asian_width(char) in "WF"
        else 1
        for char in words
    )


def _shortened(words: str, columns: int) -> str:
    """`words` if they fit, else their beginning and an ellipsis."""
    if _width(words) <= columns:
        return words
    while words and _width(words) > columns - 1:
        words = words[:-1]
    return words.rstrip() + "…"


def _wrapped(words: str, columns: int, indent: str) -> list[str]:
    return wrap(_plain(words), columns, initial_indent=indent, subsequent_indent=indent + "  ") or [""]
