"""The words of a class as a script that goes by while it is rehearsed."""

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from itertools import pairwise

from guide.live.scene import LineKind, ScriptLine
from guide.pauses import shown
from guide.plan.timeline import Cue, Span, Timeline
from guide.sequence.steps import CueKind, StepKind
from guide.units import clock, so_many_breaths

#: Words are marked as those to say so long before the plan says them.
AHEAD_MS = 3000

#: So many lines before the one that is marked can be shown, and after it.
BEFORE, AFTER = 12, 40


def script_lines(timeline: Timeline) -> tuple[ScriptLine, ...]:
    """Every line of the script, in order."""
    cues: dict[int, list[Cue]] = {}
    for cue in timeline.cues:
        if cue.kind is not CueKind.COUNT:
            cues.setdefault(cue.step, []).append(cue)
    return tuple(
        line for number, span in enumerate(timeline.spans) for line in _of_step(number, span, cues.get(number, []))
    )


def _of_step(number: int, span: Span, cues: Sequence[Cue]) -> Iterator[ScriptLine]:
    # The words of a move, and those of a talk, need no heading.
    if span.kind not in (StepKind.MOVE, StepKind.TALK) or not cues:
        yield ScriptLine(LineKind.STEP, heading(span), number, span.start_ms)
    for cue in cues:
        yield ScriptLine(LineKind.WORDS, shown(cue.words), number, cue.start_ms)


def heading(span: Span) -> str:
    """A step in one line: what it is, on which side, and how long it is kept."""
    breaths = so_many_breaths(span.breaths, span.and_a_half)
    return f"{named(span)} · {breaths if span.breaths else clock((span.held_ms - span.hold_ms) // 1000 * 1000)}"


def named(span: Span) -> str:
    """A step by its name and side."""
    name = span.title[:1].upper() + span.title[1:]
    return f"{name}, {span.side.value}" if span.side else name


def marks(lines: Sequence[ScriptLine]) -> tuple[int, ...]:
    """When each line comes to be said: `AHEAD_MS` before its time, or half-way from the line before it."""
    starts_ms = [line.start_ms for line in lines]
    halves_ms = ((before_ms + start_ms) // 2 for before_ms, start_ms in pairwise(starts_ms))
    return (0, *(max(start_ms - AHEAD_MS, half_ms) for start_ms, half_ms in zip(starts_ms[1:], halves_ms, strict=True)))


def marked_line(lines: Sequence[ScriptLine], marks_ms: Sequence[int], script_ms: int, last_step: int) -> int:
    """The line that is to be said now: the last that has come by then, and is of no step after `last_step`.

    Headings are not said, so a heading with words below it gives way to the first of them.
    """
    at = bisect_right(marks_ms, script_ms) - 1
    while at > 0 and lines[at].step > last_step:
        at -= 1
    at = max(0, at)
    has_words = at + 1 < len(lines) and lines[at + 1].step == lines[at].step
    return at + 1 if lines[at].kind is LineKind.STEP and has_words else at


def around(lines: Sequence[ScriptLine], marked: int) -> tuple[int, int]:
    """Which lines are shown around the one that is marked: from the first of these numbers to before the second."""
    return max(0, marked - BEFORE), min(len(lines), marked + AFTER)
