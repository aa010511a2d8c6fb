"""What is under way at a moment of a class: of the timeline alone, for everything that shows a class or tells of it."""

import re
from bisect import bisect_left, bisect_right
from dataclasses import dataclass
from enum import Enum

from guide.pauses import shown
from guide.plan.grid import Grid
from guide.plan.timeline import Cue, Span, Timeline
from guide.sequence.steps import OUT_OF, Breath, CueKind, StepKind


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
    - `action` is what to do, in short: the title, or what a move or words alone ask for.
    - `breath` counts the breaths of a hold from 1; `breaths` is how many there will be, 0 for a hold by the clock.
    - `fullness` is how full the lungs are, from 0 to 1. Where nobody is told how to breathe they count as empty.
    - `words` are those being said, and `words_said` which share of them, from 0 to 1; `next_words` begin in
      `next_words_ms`. Numbers counted aloud are not waited for.
    - `next_pose` is what comes after this that has a name of its own, past moves and talks that have none, and
      `next_pose_side` its side.
    - `begins_ms` is how long it is until the hold begins, or the breath of a move; 0 once it has.
    - `hold_ms` is how long the hold (or the move) lasts, `hold_left_ms` how long it is until it ends, `step_left_ms`
      until the step does, its closing bell included, `section_left_ms` until the section does, of its `section_ms`,
      and `left_ms` until the class does; `at_ms` is the moment.
    """

    step: int
    title: str
    action: str
    side: str
    section: str
    breath: int
    breaths: int
    phase: Phase
    fullness: float
    words: str
    words_said: float
    next_words: str
    next_words_ms: int
    begins_ms: int
    hold_ms: int
    hold_left_ms: int
    step_left_ms: int
    next_title: str
    next_side: str
    next_pose: str
    next_pose_side: str
    section_ms: int
    section_left_ms: int
    at_ms: int
    left_ms: int

    @property
    def breaths_left(self) -> int:
        """How many breaths of the hold there are yet, the one under way included; 0 where none are counted."""
        return max(0, self.breaths - max(1, self.breath) + 1)


#: What a move is called that has no name of its own.
_BREATHS = frozenset(breath.value for breath in Breath)

#: The words with which a move tells its breath; what comes after them is what to do.
_BREATHED = re.compile(r"(inhale|exhale|breathe (in|out))\b\W*", re.IGNORECASE)

#: The same where the breath comes last.
_BREATHED_LAST = re.compile(r",\s*(inhale|exhale)\s*$", re.IGNORECASE)

#: The parts of a breath in their order, each with how full the lungs are at its beginning and at its end.
_PARTS = ((Phase.IN, 0, 1), (Phase.FULL, 1, 1), (Phase.OUT, 1, 0), (Phase.EMPTY, 0, 0))


def moment(timeline: Timeline, ms: int) -> Moment:
    """What is under way `ms` after the class began; before it the first step counts, and after it the last.

    Raises:
        ValueError: the timeline has no steps.
    """
    number = step_at(timeline, ms)
    span, following = timeline.spans[number], timeline.spans[number + 1 : number + 2]
    chapter = None if span.section is None else timeline.chapters[span.section]
    inside_ms = ms - span.hold_ms
    is_held = span.kind not in (StepKind.MOVE, StepKind.TALK) and 0 <= inside_ms < span.held_ms - span.hold_ms
    phase, fullness = _breathed(span, inside_ms)
    cue, later = _cue_at(timeline, ms), _cue_after(timeline, ms)
    pose = next(filter(_has_name, timeline.spans[number + 1 :]), None)
    return Moment(
        step=number,
        title=span.title,
        action=action(timeline, number),
        side=_side(span),
        section=chapter.title if chapter else "",
        breath=Grid(span.pace).breath_at(inside_ms) + 1 if is_held and span.pace is not None else 0,
        breaths=span.breaths,
        phase=phase,
        fullness=fullness,
        words=shown(cue.words) if cue else "",
        words_said=(ms - cue.start_ms) / cue.length_ms if cue else 0.0,
        next_words=shown(later.words) if later else "",
        next_words_ms=later.start_ms - ms if later else 0,
        begins_ms=max(0, -inside_ms) if span.kind is not StepKind.TALK else 0,
        hold_ms=span.held_ms - span.hold_ms,
        hold_left_ms=span.held_ms - max(ms, span.hold_ms) if ms < span.held_ms else 0,
        step_left_ms=max(0, span.end_ms - ms),
        next_title=following[0].title if following else "",
        next_side=_side(following[0]) if following else "",
        next_pose=pose.title if pose else "",
        next_pose_side=_side(pose) if pose else "",
        section_ms=chapter.end_ms - chapter.start_ms if chapter else 0,
        section_left_ms=max(0, chapter.end_ms - max(ms, chapter.start_ms)) if chapter else 0,
        at_ms=ms,
        left_ms=max(0, timeline.length_ms - ms),
    )


def named(title: str, side: str) -> str:
    """A step by its title and its side, where it has one."""
    return f"{title}, {side}" if side else title


def step_at(timeline: Timeline, ms: int) -> int:
    """The number of the step under way; while a bell of the class or a section rings, that of the step after it.

    Raises:
        ValueError: the timeline has no steps.
    """
    if not timeline.spans:
        raise ValueError("a timeline without steps has no moments")
    return min(bisect_right(timeline.spans, ms, key=lambda span: span.end_ms), len(timeline.spans) - 1)


def begins_ms(timeline: Timeline, number: int) -> int:
    """When a step begins to be heard: where it is under way, or where the words begin that lead it."""
    start_ms, cues = timeline.spans[number].start_ms, timeline.cues
    first = bisect_left(cues, number, key=lambda cue: cue.step)
    return min(start_ms, cues[first].start_ms) if first < len(cues) and cues[first].step == number else start_ms


def _cue_at(timeline: Timeline, ms: int) -> Cue | None:
    cue = bisect_right(timeline.cues, ms, key=lambda cue: cue.start_ms) - 1
    return timeline.cues[cue] if cue >= 0 and ms < timeline.cues[cue].end_ms else None


def _cue_after(timeline: Timeline, ms: int) -> Cue | None:
    """The words that are said next; numbers are said by themselves."""
    after = bisect_right(timeline.cues, ms, key=lambda cue: cue.start_ms)
    return next((cue for cue in timeline.cues[after:] if cue.kind is not CueKind.COUNT), None)


def _has_name(span: Span) -> bool:
    """Whether a step is called after what is done in it, and not after its breath, or after words."""
    return span.kind is not StepKind.TALK and not (span.kind is StepKind.MOVE and span.title in _BREATHS)


def action(timeline: Timeline, number: int) -> str:
    """What to do in a step, in short: of a move and of words alone, what their first sentence asks for."""
    span, cues = timeline.spans[number], timeline.cues
    if span.kind not in (StepKind.MOVE, StepKind.TALK) or span.title.startswith(OUT_OF):
        return span.title
    first = bisect_left(cues, number, key=lambda cue: cue.step)
    words = shown(cues[first].words) if first < len(cues) and cues[first].step == number else ""
    breath = _BREATHED.match(words)
    asked = words[breath.end() :] if breath else words
    return _BREATHED_LAST.sub("", re.split(r"[.!?](?:\s|$)", asked)[0]).strip() or span.title


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
