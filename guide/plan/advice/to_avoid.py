"""Poses with a caution for what the class is to avoid."""

import re
from collections.abc import Iterator, Sequence

from guide.plan.advice.cautions import allowed_way, forbids
from guide.plan.advice.facts import poses, quoted, sentence, sided, unsilenced
from guide.plan.advice.said import own_words
from guide.plan.advice.view import Advice, ClassView
from guide.sequence.poses.pose import Condition, Pose, Strength
from guide.sequence.steps import CueKind, Step, StepKind

NAME = "to avoid"

REASON = (
    "The class says under `for: avoid:` whom it is for, and the library has a caution of the trade for this pose. A "
    "qualified teacher or a doctor who knows the person goes before it."
)

#: Who should not hold the breath, of the conditions that a class can name (trade handbooks, from memory).
NO_PAUSES = (
    Condition.PREGNANCY,
    Condition.BLOOD_PRESSURE,
    Condition.GLAUCOMA,
    Condition.HEART,
    Condition.EPILEPSY,
    Condition.SURGERY,
)

#: Words that leave the size of a thing to the people, or ease it.
_WITH_CARE = re.compile(
    r"\b(?:small|little|soft\w*|gentl\w+|low as|as you like|only|no further|not far|easy|kind\w*|less|"
    r"cushions?|blocks?|"
    r"comfortabl\w+|hurts?|hands? on (?:the|your) (?:chair|wall))\b",
    re.IGNORECASE,
)


def advise(view: ClassView) -> Iterator[Advice]:
    known = poses(view) if view.class_file.avoid else []
    seen: set[tuple[str, Condition]] = set()
    for number in unsilenced(view, NAME) if known else ():
        step, pose = view.step(number), known[number]
        if step.kind is StepKind.BREATHING:
            yield from _pauses(step, number, view.class_file.avoid)
        for condition in view.class_file.avoid if pose else ():
            if (
                pose
                and condition in pose.cautions
                and (pose.name, condition) not in seen
                and not (_is_met(view, number, pose, condition))
            ):
                seen.add((pose.name, condition))
                what = f"{quoted(step)}, {condition.value}: {pose.cautions[condition].rstrip('.')}"
                yield Advice(step.place, NAME, what, _fix(view, pose, step, condition), (number,))


def _is_met(view: ClassView, number: int, pose: Pose, condition: Condition) -> bool:
    """Whether a gentle pose that the caution only changes is asked for with care: by the words of the file there, or by
    the first words of the class."""
    if pose.strength is not Strength.GENTLE or forbids(pose, condition):
        return False
    first = next((n for n, step in enumerate(view.steps.steps) if step.kind is not StepKind.TALK), 0)
    said = [words for each in {*range(first), number} for words in own_words(view, each)]
    return any(words.kind is CueKind.OFFER or _WITH_CARE.search(words.text) for words in said)


def _fix(view: ClassView, pose: Pose, step: Step, condition: Condition) -> str:
    way = allowed_way(view.library, pose.easier, (condition,))
    if way is None:
        return "or leave it out"
    return f"the library's easier way: {sentence(sided(way.say, step))}"


def _pauses(step: Step, number: int, avoid: Sequence[Condition]) -> Iterator[Advice]:
    if max(step.pace.full_ms, step.pace.empty_ms):
        for condition in NO_PAUSES:
            if condition in avoid:
                what = f"{quoted(step)}, {condition.value}: do not hold the breath"
                yield Advice(step.place, NAME, what, "breathe the pattern without its pauses", (number,))
