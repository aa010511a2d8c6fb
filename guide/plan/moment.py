"""What is under way at a moment of a class: of the timeline alone, for everything that shows a class or tells of it."""

from bisect import bisect_right
from dataclasses import dataclass
from enum import Enum

from guide.plan.grid import Grid
from guide.plan.timeline import Cue, Span, Timeline
from guide.sequence.steps import Breath, StepKind


class Phase(Enum):
    """Which part of a breath it is."""

    IN = "in"
    FULL = "full"
    OUT = "out"
    EMPTY = "empty"


@dataclass(frozen=True, slots=True)
class Moment:
    """A moment of a class; texts are empty, and `breath` is 0, where there is nothing of the kind.

    - `step` is an index into `Timeline.spans`; `side` is `left` or `right`, and `next_side` that of the step after it.
    - `breath` counts the breaths of a hold from 1; `breaths` is how many there will be, 0 for a hold by the clock.
    - `fullness` is how full the lungs are, from 0 to 1. Where nobody is told how to breathe they count as empty.
    - `words` are those being said.
    - `hold_left_ms` is how long it is until the hold ends, `left_ms` until the class does; `at_ms` is the moment.
    """

    step: int
    title: str
    side: str
    section: str
    breath: int
    breaths: int
    phase: Phase
    fullness: float
    words: str
    hold_left_ms: int
    next_title: str
    next_side: str
    at_ms: int
    left_ms: int


#: The parts of a breath in their order, each with how full the lungs are at its beginning and at its end.
_PARTS = ((Phase.IN, 0, 1), (Phase.FULL, 1, 1), (Phase.OUT, 1, 0), (Phase.EMPTY, 0, 0))


def moment(timeline: Timeline, ms: int) -> Moment:
    """What is under way `ms` after the class began; before it the first step counts, and after it the last.

    Raises:
        ValueError: the timeline has no steps.
    """
    number = step_at(timeline, ms)
    span, following = timeline.spans[number], timeline.spans[number + 1 : number + 2]
    inside_ms = ms - span.hold_ms
    is_held = span.kind not in (StepKind.MOVE, StepKind.TALK) and 0 <= inside_ms < span.held_ms - span.hold_ms
    phase, fullness = _breathed(span, inside_ms)
    cue = _cue_at(timeline, ms)
    return Moment(
        step=number,
        title=span.title,
        side=_side(span),
        section="" if span.section is None else timeline.chapters[span.section].title,
        breath=Grid(span.pace).breath_at(inside_ms) + 1 if is_held and span.pace is not None else 0,
        breaths=span.breaths,
        phase=phase,
        fullness=fullness,
        words=cue.words if cue else "",
        hold_left_ms=span.held_ms - max(ms, span.hold_ms) if ms < span.held_ms else 0,
        next_title=following[0].title if following else "",
        next_side=_side(following[0]) if following else "",
        at_ms=ms,
        left_ms=max(0, timeline.length_ms - ms),
    )


def step_at(timeline: Timeline, ms: int) -> int:
    """The number of the step under way; while a bell of the class or a section rings, that of the step after it.

    Raises:
        ValueError: the timeline has no steps.
    """
    if not timeline.spans:
        raise ValueError("a timeline without steps has no moments")
    return min(bisect_right(timeline.spans, ms, key=lambda span: span.end_ms), len(timeline.spans) - 1)


def _cue_at(timeline: Timeline, ms: int) -> Cue | None:
    cue = bisect_right(timeline.cues, ms, key=lambda cue: cue.start_ms) - 1
    return timeline.cues[cue] if cue >= 0 and ms < timeline.cues[cue].end_ms else None


def _side(span: Span) -> str:
    return span.side.value if span.side else ""


def _breathed(span: Span, inside_ms: int) -> tuple[Phase, float]:
    """The part of the breath, and how full the lungs are, so long after a hold (or a move) began."""
    if inside_ms < 0 or span.kind is StepKind.TALK or span.pace is None:
        return Phase.EMPTY, 0.0
    grid = Grid(span.pace)
    number = 0 if span.kind is StepKind.MOVE else grid.breath_at(inside_ms)
    first, after = {Breath.INHALE: (0, 2), Breath.EXHALE: (2, 4), None: (0, 4)}[span.breath]
    into_ms = inside_ms + grid.part_ms(0, first)
    for part in range(first, after):
        start_ms, end_ms = grid.part_ms(number, part), grid.part_ms(number, part + 1)
        if into_ms < end_ms:
            phase, full, then = _PARTS[part]
            return phase, full + (then - full) * (into_ms - start_ms) / (end_ms - start_ms)
    # A move that lasts longer than its breath, for its words.
    phase, _, fullness = _PARTS[after - 1]
    return phase, float(fullness)
