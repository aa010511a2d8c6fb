"""A strong pose with no easier way offered."""

import re
from collections import defaultdict
from collections.abc import Iterator

from guide.plan.advice.cautions import allowed_way
from guide.plan.advice.facts import cues_of_steps, poses, quoted, sentence, sided
from guide.plan.advice.props import announced
from guide.plan.advice.said import own_words
from guide.plan.advice.view import Advice, ClassView
from guide.plan.timeline import Cue
from guide.sequence.poses.pose import Pose, Strength
from guide.sequence.steps import CueKind, Step, StepKind

NAME = "no easier way"

REASON = (
    "In every class somebody cannot do the strong pose today. An easier way that is offered aloud spares them hurting "
    "themselves or feeling left out."
)

#: Words that speak to some of the room only.
_FOR_SOME = re.compile(r"\b(?:if (?:you|your|it|that|this)|whoever|those who|or (?:stay|keep|rest|take|leave))\b", re.I)


def advise(view: ClassView) -> Iterator[Advice]:
    known, cues = poses(view), cues_of_steps(view)
    held: dict[str, list[int]] = defaultdict(list)
    offered: set[str] = set()
    for number, pose in enumerate(known):
        # A move has no time to offer anything.
        if pose is None or pose.strength is not Strength.STRONG or view.step(number).kind is not StepKind.POSE:
            continue
        held[pose.name].append(number)
        if any(map(_offers, (*_before(view, cues, number), *cues[number]))) or _is_propped(view, number, pose):
            offered.add(pose.name)
    for name, numbers in held.items():
        wanted = [number for number in numbers if NAME not in view.step(number).let_be]
        if name not in offered and wanted:
            step, found = view.step(wanted[0]), known[wanted[0]]
            what = f"{quoted(step)} is strong, and no easier way is offered"
            yield Advice(step.place, NAME, what, _fix(view, found, step), (wanted[0],))


def _offers(cue: Cue) -> bool:
    """Whether words offer another way: as such, or to those who want or need it."""
    return cue.kind is CueKind.OFFER or bool(_FOR_SOME.search(cue.words))


def _is_propped(view: ClassView, number: int, pose: Pose) -> bool:
    """Whether the words of the file name the prop by which the library eases a pose."""
    said = " ".join(words.text for words in own_words(view, number))
    return pose.easier is not None and bool(announced(pose.easier.say) & announced(said))


def _before(view: ClassView, cues: list[list[Cue]], number: int) -> list[Cue]:
    """What is said in the talks right before a step, with rests between them."""
    first = number
    while first and view.step(first - 1).kind in (StepKind.TALK, StepKind.REST) and view.step(first - 1).known is None:
        first -= 1
    return [cue for each in cues[first:number] for cue in each]


def _fix(view: ClassView, pose: Pose | None, step: Step) -> str:
    way = None if pose is None else allowed_way(view.library, pose.easier, view.class_file.avoid)
    if way is None:
        return "add a line with `offer:`"
    return f"the library's: {sentence(sided(way.say, step))}"
