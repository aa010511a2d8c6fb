"""What a class needs: things to lay ready, and whom to have an eye on."""

import re
from collections.abc import Iterator, Sequence

from guide.plan.advice.props import needed_in
from guide.plan.timeline import Timeline
from guide.sequence.poses.library import Library
from guide.sequence.poses.pose import Condition, Pose
from guide.sequence.steps import Steps
from guide.visible import visible_in_line

#: Things by how words name them, in the order in which they are listed.
_THINGS = {
    "mat": r"mats?",
    "chair": r"chairs?|stools?",
    "wall": r"wall",
    "blanket": r"blankets?",
    "cushion": r"cushions?|pillows?",
    "bolster": r"bolsters?",
    "block": r"blocks?|bricks?",
    "strap": r"straps?|belts?",
}


#: Where a class has no more poses, each is named.
_FEW_POSES = 4


def props_of(steps: Steps, timeline: Timeline, library: Library) -> tuple[tuple[str, str], ...]:
    """What the class needs, and what its words name beside that, such as for an easier way."""
    needs: set[str] = set()
    for step in steps.steps:
        needs |= needed_in(step, library.find(step.known) if step.known else None)
    words = " ".join(cue.words for cue in timeline.cues)
    named = {thing for thing, said in _THINGS.items() if re.search(rf"\b(?:{said})\b", words, re.IGNORECASE)}
    # Whoever speaks of a mat has everybody on one.
    needs |= named & {"mat"}
    listed = (("Lay ready", needs), ("Mentioned", named - needs))
    return tuple(
        (label, ", ".join(thing for thing in _THINGS if thing in things)) for label, things in listed if things
    )


def poses_of(timeline: Timeline, library: Library) -> tuple[Pose, ...]:
    """The poses of the class that the library knows, each once, as they come."""
    names = dict.fromkeys(span.pose for span in timeline.spans if span.pose)
    return tuple(pose for name in names if (pose := library.find(name)) is not None)


def cautions_of(poses: Sequence[Pose], avoid: Sequence[Condition]) -> Iterator[tuple[str, str]]:
    """Conditions with what to know of them: first those that the class is to spare, with all that is said of them, then
    others with the poses that have a caution for it, and those for which more than half of the poses do.
    """
    careful = {condition: [pose for pose in poses if condition in pose.cautions] for condition in Condition}
    for condition in avoid:
        said = " ".join(f"{_capital(pose.name)}: {pose.cautions[condition]}" for pose in careful[condition])
        if said:
            yield _capital(condition.value), visible_in_line(said)
    others = {condition: found for condition, found in careful.items() if condition not in avoid}
    most = [condition.value for condition, found in others.items() if 2 * len(found) > len(poses) > _FEW_POSES]
    for condition, found in others.items():
        if found and condition.value not in most:
            yield _capital(condition.value), visible_in_line(", ".join(pose.name for pose in found))
    if most:
        yield _capital(", ".join(most)), "most poses"


def _capital(name: str) -> str:
    return name[:1].upper() + name[1:]
