"""What the picture of a class shows of each step: of the plan and the pose library alone."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from enum import Enum
from itertools import pairwise
from typing import TypeVar

from guide.figures.figure import Figure
from guide.plan.advice.facts import poses
from guide.plan.advice.grounds import grounds
from guide.plan.advice.view import ClassView
from guide.plan.timeline import Chapter, Ring, RingRole, Span
from guide.sequence.poses.class_figures import class_figures
from guide.sequence.poses.pose import Base, Does, Pose, Strength
from guide.sequence.steps import Side, StepKind


class Lane(Enum):
    """What carries people, from what stands highest to what lies lowest."""

    INVERTED = "inverted"
    ON_HANDS = "arm balance"
    STANDING = "standing"
    ALL_FOURS = "hands and knees"
    KNEELING = "kneeling"
    SEATED = "seated"
    LYING = "lying"


_LANES = {
    Base.INVERTED: Lane.INVERTED,
    Base.ARM_BALANCE: Lane.ON_HANDS,
    Base.STANDING: Lane.STANDING,
    Base.ALL_FOURS: Lane.ALL_FOURS,
    Base.KNEELING: Lane.KNEELING,
    Base.SEATED: Lane.SEATED,
    Base.SUPINE: Lane.LYING,
    Base.PRONE: Lane.LYING,
}

#: How much is asked of people, from nothing on.
LEVELS = ("rest", *(strength.value for strength in Strength))

#: Bells that are shown; the chimes of breaths are as many as those.
BELLS = (RingRole.CLASS, RingRole.SECTION, RingRole.STEP, RingRole.INTERVAL)

#: What leads out of a pose belongs to it for so long, where words do not say that it is over.
SHORT_MS = 30_000

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class StepSeen:
    """A step from `start_ms` to `end_ms`, its hold from `hold_ms` to `held_ms`.

    - `lane` and `level`, a place in `LEVELS`, are None where poses and words do not tell.
    - `breath_ms` is how long one breath lasts, None where nobody is told how to breathe.
    - `pose` names the pose in the library, None where there is none.
    """

    kind: StepKind
    title: str
    side: Side | None
    start_ms: int
    hold_ms: int
    held_ms: int
    end_ms: int
    lane: Lane | None
    level: int | None
    breath_ms: float | None
    pose: str | None


@dataclass(frozen=True, slots=True)
class ClassSeen:
    """A class as its picture shows it; `steps` follow each other without gaps from 0 to `length_ms`.

    `said` are the times in which words are said, each from a start to an end; `figures` are those of poses by their
    names.
    """

    title: str
    by: str
    length_ms: int
    steps: tuple[StepSeen, ...]
    sections: tuple[Chapter, ...]
    said: tuple[tuple[int, int], ...]
    bells: tuple[Ring, ...]
    figures: Mapping[str, Figure] = field(repr=False)


def seen(view: ClassView) -> ClassSeen:
    """What there is to see of a class. Bells between two steps belong to the step after them.

    Raises:
        FaultyFile: no body does what the file says of one of its own poses.
    """
    timeline, spans = view.timeline, view.timeline.spans
    found = poses(view)
    lanes = _kept(spans, [_lane(ground.base, pose) for ground, pose in zip([*grounds(view)][1:], found, strict=True)])
    levels = _kept(spans, [_level(span, pose) for span, pose in zip(spans, found, strict=True)])
    breaths = _between([_breath_ms(span) for span in spans])
    ends_ms = [0, *(span.end_ms for span in spans)]
    steps = [
        StepSeen(
            kind=span.kind,
            title=span.title,
            side=span.side,
            start_ms=ends_ms[number],
            hold_ms=span.hold_ms,
            held_ms=span.held_ms,
            end_ms=span.end_ms,
            lane=lanes[number],
            level=levels[number],
            breath_ms=breaths[number],
            pose=pose.name if pose else None,
        )
        for number, (span, pose) in enumerate(zip(spans, found, strict=True))
    ]
    if steps:
        steps[-1] = replace(steps[-1], end_ms=timeline.length_ms)
    return ClassSeen(
        title=timeline.title,
        by=timeline.by,
        length_ms=timeline.length_ms,
        steps=tuple(steps),
        sections=timeline.chapters,
        said=tuple((cue.start_ms, cue.end_ms) for cue in timeline.cues),
        bells=tuple(ring for ring in timeline.rings if ring.role in BELLS),
        figures=class_figures(view.class_file.poses),
    )


def runs(steps: Sequence[StepSeen], key: Callable[[StepSeen], T]) -> list[tuple[T, int, int]]:
    """Each run of steps that are alike in `key`, with when it begins and ends."""
    found: list[tuple[T, int, int]] = []
    for step in steps:
        value = key(step)
        if found and found[-1][0] == value:
            found[-1] = (value, found[-1][1], step.end_ms)
        else:
            found.append((value, step.start_ms, step.end_ms))
    return found


def _lane(base: Base | None, pose: Pose | None) -> Lane | None:
    """Where words do not tell, the base that a pose (or a breathing practice) usually has."""
    base = base or (pose.base if pose else None)
    return None if base is None else _LANES[base]


def _level(span: Span, pose: Pose | None) -> int | None:
    if span.kind in (StepKind.REST, StepKind.SILENCE) or (pose and Does.REST in pose.does):
        return 0
    return None if pose is None else LEVELS.index(pose.strength.value)


def _breath_ms(span: Span) -> float | None:
    if span.pace is None or span.kind not in (StepKind.POSE, StepKind.MOVE, StepKind.BREATHING):
        return None
    return float(span.pace.period_ms)


def _between(values: Sequence[T | None]) -> list[T | None]:
    """The values, where those that are not known are like what comes before and after them when both are alike."""
    known = [number for number, value in enumerate(values) if value is not None]
    filled = list(values)
    for before, after in pairwise(known):
        if values[before] == values[after]:
            filled[before:after] = [values[before]] * (after - before)
    return filled


def _kept(spans: Sequence[Span], values: Sequence[T | None]) -> list[T | None]:
    """The values, where those that are not known for a short while are like what comes before them."""
    filled = _between(values)
    known_ms = -SHORT_MS
    for number, span in enumerate(spans):
        if values[number] is not None:
            known_ms = span.end_ms
        elif filled[number] is None and span.end_ms - known_ms <= SHORT_MS:
            filled[number] = filled[number - 1]
    return filled
