"""A strong pose with no easier way offered."""

from collections import defaultdict
from collections.abc import Iterator

from guide.plan.advice.facts import cues_of_steps, poses, quoted, sentence, sided
from guide.plan.advice.view import Advice, ClassView
from guide.sequence.poses.pose import Pose, Strength
from guide.sequence.steps import CueKind, Step, StepKind

NAME = "no easier way"

REASON = (
    "In every class somebody cannot do the strong pose today. An easier way that is offered aloud spares them hurting "
    "themselves or feeling left out."
)


def advise(view: ClassView) -> Iterator[Advice]:
    known, cues = poses(view), cues_of_steps(view)
    held: dict[str, list[int]] = defaultdict(list)
    offered: set[str] = set()
    for number, pose in enumerate(known):
        # A move has no time to offer anything.
        if pose is None or pose.strength is not Strength.STRONG or view.step(number).kind is not StepKind.POSE:
            continue
        held[pose.name].append(number)
        before = cues[number - 1] if number and view.step(number - 1).kind is StepKind.TALK else []
        if any(cue.kind is CueKind.OFFER for cue in (*before, *cues[number])):
            offered.add(pose.name)
    for name, numbers in held.items():
        wanted = [number for number in numbers if NAME not in view.step(number).let_be]
        if name not in offered and wanted:
            step, found = view.step(wanted[0]), known[wanted[0]]
            what = f"{quoted(step)} is strong, and no easier way is offered"
            yield Advice(step.place, NAME, what, _fix(found, step), (wanted[0],))


def _fix(pose: Pose | None, step: Step) -> str:
    if pose is None or pose.easier is None:
        return "add a line with `offer:`"
    return f"the library's: {sentence(sided(pose.easier.say, step))}"
