"""What several rules ask of a class: its poses, what is said in each step, how long things are held."""

from collections.abc import Iterator

from guide.plan.advice.view import ClassView
from guide.plan.timeline import Cue, Span
from guide.sequence.poses.in_words import pose_said
from guide.sequence.poses.pose import Pose
from guide.sequence.steps import CueKind, Step, StepKind, Words
from guide.sequence.wording import put_side

#: Kinds of words that ask people to do something.
INSTRUCTIONS = (CueKind.HOW, CueKind.OFFER, CueKind.SAFETY)

#: Steps that people are in for a while, with a pose.
POSED = (StepKind.POSE, StepKind.REST)

MINUTE_MS = 60_000


def unsilenced(view: ClassView, rule: str) -> Iterator[int]:
    """The numbers of the steps that do not let the rule be."""
    return (number for number, step in enumerate(view.steps.steps) if rule not in step.let_be)


def poses(view: ClassView) -> list[Pose | None]:
    """What the library knows of the pose of each step."""
    known = {name: view.library.find(name) for name in {step.known for step in view.steps.steps} if name is not None}
    return [None if step.known is None else known[step.known] for step in view.steps.steps]


def poses_come_to(view: ClassView) -> list[Pose | None]:
    """The pose of each step, or the one that words in a time of their own lead to ("Come to hands and knees")."""
    known = poses(view)
    for number, step in enumerate(view.steps.steps):
        if step.kind is StepKind.TALK:
            said = (pose_said(words.text, view.library) for words in step.entry)
            known[number] = next((pose for pose in reversed(list(said)) if pose is not None), None)
    return known


def cues_of_steps(view: ClassView) -> list[list[Cue]]:
    """The cues of each step, in the order in which they are said."""
    cues: list[list[Cue]] = [[] for _ in view.steps.steps]
    for cue in view.timeline.cues:
        cues[cue.step].append(cue)
    return cues


def held_ms(span: Span) -> int:
    """How long a step is held (or its move lasts)."""
    return span.held_ms - span.hold_ms


def named(step: Step) -> str | None:
    """The pose that a step names, where it names one: a rest may, and goes by its title then."""
    if step.kind is StepKind.REST and step.title != StepKind.REST.value:
        return step.title
    return step.pose


def quoted(step: Step) -> str:
    """The name that a step goes by, in quotes."""
    in_words = step.known if step.kind is StepKind.MOVE else None
    return f"“{step.pose or in_words or step.title}”"


def is_own(words: Words) -> bool:
    """Whether words stand in the file, not in the library, and are more than a name."""
    return not words.from_library and words.kind is not CueKind.NAME


def sided(text: str, step: Step) -> str:
    """The library's words as they are said on the side of a step, where it has one."""
    return text if step.side is None else put_side(text, step.side)


def sentence(text: str) -> str:
    """Words in quotes, as they are said."""
    return f"“{text.strip()}”"
