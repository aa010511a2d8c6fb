"""The class as a table that a teacher reads: when, what, which side, for how long, what is said; then the notes.

Lines never end in spaces and never pass the width. There is no colour inside.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby, zip_longest
from pathlib import Path

from guide.drawing.text_width import cut, left, right, width, wrapped
from guide.export.captions.base import plain
from guide.plan.breath_counting import in_short
from guide.plan.timeline import MusicSpan, Span, Timeline
from guide.sequence.steps import CueKind, StepKind
from guide.units import clock, seconds_text, so_many, so_many_breaths

LEAST_COLUMNS = 60
GAP = "  "
RULE = "─"

HEADINGS = ("clock", "what", "side", "for", "what is said")

#: Said of numbers that would fill the table without telling anything.
COUNTED = "(counted aloud"

LEAST_WHAT, MOST_WHAT = 12, 26


@dataclass(frozen=True, slots=True)
class _Row:
    """One step, as texts; `said` has one text for each cue."""

    clock: str
    what: str
    side: str
    held: str
    said: tuple[str, ...]
    section: int | None


@dataclass(frozen=True, slots=True)
class _Columns:
    """The widths of the five columns; a column that holds nothing has 0 and is left out with its gap."""

    clock: int
    what: int
    side: int
    held: int
    said: int

    @property
    def total(self) -> int:
        return self.said_start + self.said

    @property
    def said_start(self) -> int:
        return sum(size + len(GAP) for size in (self.clock, self.what, self.side, self.held) if size)


def plan_table(timeline: Timeline, width_columns: int) -> str:
    """The class with one line for each step: the first words of what is said, cut with … at `width_columns`."""
    rows = _rows(timeline)
    columns = _columns(rows, width_columns)
    return _page(timeline, columns, [_section_and(row, [_short(row, columns)]) for row in rows])


def full_plan_table(timeline: Timeline, width_columns: int) -> str:
    """The class with all its words, each cue on lines of its own."""
    rows = _rows(timeline)
    columns = _columns(rows, width_columns)
    return _page(timeline, columns, [_section_and(row, _long(row, columns)) for row in rows])


def _section_and(row: _Row, lines: list[str]) -> tuple[int | None, list[str]]:
    return row.section, lines


def _rows(timeline: Timeline) -> list[_Row]:
    return [_row(span, words) for span, words in zip(timeline.spans, said_in_each(timeline), strict=True)]


def said_in_each(timeline: Timeline) -> list[tuple[str, ...]]:
    """All that is said in each step, a text for each cue; of numbers counted aloud there is one remark, at the end."""
    said: list[list[str]] = [[] for _ in timeline.spans]
    counted = _counted(timeline)
    for cue in timeline.cues:
        words = counted[cue.step] if cue.kind is CueKind.COUNT else plain(cue.words)
        if cue.kind is not CueKind.COUNT or words not in said[cue.step]:
            said[cue.step].append(words)
    return [tuple(sorted(words, key=lambda one: one.startswith(COUNTED))) for words in said]


def _counted(timeline: Timeline) -> list[str]:
    """What is said of the numbers of each step, and which of them are not."""
    missing: list[list[str]] = [[] for _ in timeline.spans]
    for dropped in timeline.dropped:
        if dropped.kind is CueKind.COUNT:
            missing[dropped.step].append(dropped.words)
    return [f"{COUNTED}, but for {in_short(numbers)})" if numbers else f"{COUNTED})" for numbers in missing]


def _row(span: Span, said: tuple[str, ...]) -> _Row:
    title = plain(span.title)
    return _Row(
        clock=clock(span.start_ms),
        what=title[:1].upper() + title[1:],
        side=span.side.value if span.side else "",
        held=how_long(span),
        said=said,
        section=span.section,
    )


def how_long(span: Span) -> str:
    """How long a step is held, in breaths or in time; of a move and of words alone how long they last."""
    if span.breaths:
        return so_many_breaths(span.breaths, span.and_a_half)
    end_ms = span.end_ms if span.kind in (StepKind.MOVE, StepKind.TALK) else span.held_ms
    start_ms = span.start_ms if span.kind is StepKind.TALK else span.hold_ms
    return seconds_text(end_ms - start_ms)


def _columns(rows: list[_Row], width_columns: int) -> _Columns:
    whole = max(width_columns, LEAST_COLUMNS)
    sides = max((width(row.side) for row in rows), default=0)
    sized = _Columns(
        clock=max([len(HEADINGS[0]), *(len(row.clock) for row in rows)]) + 1,
        what=min(max([LEAST_WHAT, *(width(row.what) for row in rows)]), MOST_WHAT),
        side=sides,
        held=max([len(HEADINGS[3]), *(len(row.held) for row in rows)]),
        said=0,
    )
    return _Columns(sized.clock, sized.what, sized.side, sized.held, whole - sized.said_start)


def _line(columns: _Columns, clock_text: str, what: str, side: str, held: str, said: str) -> str:
    cells = [right(clock_text, columns.clock), left(what, columns.what)]
    if columns.side:
        cells.append(left(side, columns.side))
    cells += [left(held, columns.held), said]
    return GAP.join(cells).rstrip()


def _short(row: _Row, columns: _Columns) -> str:
    said = cut(" ".join(row.said), columns.said)
    return _line(columns, row.clock, cut(row.what, columns.what), row.side, row.held, said)


def _long(row: _Row, columns: _Columns) -> list[str]:
    said = [line for words in row.said for line in wrapped(words, columns.said)] or [""]
    what = wrapped(row.what, columns.what)
    firsts = [(row.clock, row.side, row.held)]
    return [
        _line(columns, first[0], what_line, first[1], first[2], said_line)
        for first, what_line, said_line in _filled_up(firsts, what, said)
    ]


def _filled_up(
    firsts: list[tuple[str, str, str]], what: list[str], said: list[str]
) -> Iterator[tuple[tuple[str, str, str], str, str]]:
    for first, what_line, said_line in zip_longest(firsts, what, said):
        yield first or ("", "", ""), what_line or "", said_line or ""


def _page(timeline: Timeline, columns: _Columns, steps: list[tuple[int | None, list[str]]]) -> str:
    rule = RULE * columns.total
    lines = [_ends(plain(timeline.title), clock(timeline.length_ms), columns.total), rule]
    lines.append(_line(columns, *HEADINGS))
    section = None
    for number, step in steps:
        if number != section and number is not None:
            lines += ["", _heading(timeline, number, columns.total)]
            section = number
        lines += step
    lines += [rule, right(clock(timeline.length_ms), columns.clock) + GAP + _sum(timeline)]
    for title, entries in _after(timeline):
        lines += ["", title, *(line for entry in entries for line in _hanging(entry, columns.total))]
    return "\n".join(lines) + "\n"


def _heading(timeline: Timeline, number: int, columns: int) -> str:
    """`── Arriving ─────────── 1:52`: the section's title and length; without a chapter for it, only a rule."""
    if number >= len(timeline.chapters):
        return RULE * columns
    chapter = timeline.chapters[number]
    length = f" {clock(chapter.end_ms - chapter.start_ms)}"
    title = f"{RULE * 2} {cut(plain(chapter.title), columns - len(length) - 6)} "
    return title + RULE * (columns - width(title) - len(length)) + length


def _ends(start: str, end: str, columns: int) -> str:
    start = cut(start, columns - len(end) - 1)
    return start + right(end, columns - width(start))


def _sum(timeline: Timeline) -> str:
    fitted = "" if timeline.ease is None else f", ease {timeline.ease:+.2f}"
    return f"end: {so_many(len(timeline.spans), 'step')}, {so_many(len(timeline.cues), 'cue')}{fitted}"


def _after(timeline: Timeline) -> Iterator[tuple[str, list[str]]]:
    """What plays, and what the plan owes the teacher a word about, under a heading each."""
    if timeline.music:
        yield "Music", [_music(span) for span in timeline.music]
    if timeline.notes:
        yield "Notes", [str(note) for note in timeline.notes]
    if timeline.dropped:
        yield "Left out for want of room", list(_left_out(timeline))
    if timeline.left_out:
        yield "Left out as asked", [f"{clock(cue.start_ms)} {cue.words}" for cue in timeline.left_out]


def _music(span: MusicSpan) -> str:
    when = f"{clock(span.start_ms)} to {clock(span.end_ms)}"
    return f"{when}: {Path(span.source).name}, {span.below_db:g} dB under the words"


def _left_out(timeline: Timeline) -> Iterator[str]:
    """Each cue that is left out, and the numbers of each step together."""
    for (place, _, kind), group in groupby(timeline.dropped, lambda one: (one.place, one.step, one.kind)):
        words = [dropped.words for dropped in group]
        yield from [f"{place}: {in_short(words)}"] if kind is CueKind.COUNT else [f"{place}: {each}" for each in words]


def _hanging(text: str, columns: int) -> list[str]:
    first, *rest = wrapped(plain(text), columns - 4)
    return [f"  {first}", *(f"    {line}" for line in rest)]
