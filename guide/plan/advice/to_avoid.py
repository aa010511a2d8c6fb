"""Poses with a caution for what the class is to avoid."""

import re
from collections.abc import Iterator, Sequence

from guide.plan.advice.cautions import allowed_way, forbids
from guide.plan.advice.facts import poses, quoted, sentence, sided, unsilenced
from guide.plan.advice.props import announced
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


_WORD = re.compile(r"[^\W\d_]{3,}")
_PADDING = re.compile(r"\b(?:blanket|pillow|towel|bolster)\b")
_SMALL = {
    word[:3]
    for word in _WORD.findall(
        "and the your keep with from stay have that for this over into only never hands knees foot feet hips head back "
        "arms legs one come lift"
    )
}

#: So many words in common say the same (common practice, no source).
SAME_WORDS = 2


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
    """Whether a pose that the caution only changes is asked for with care: in the words of the caution, or, where it is
    gentle, with any words that ease it there, right before, or at the beginning of the class."""
    if pose.strength is Strength.STRONG or forbids(pose, condition):
        return False
    before = number
    while before and view.step(before - 1).kind is StepKind.TALK:
        before -= 1
    here = [words for each in range(before, number + 1) for words in own_words(view, each)]
    if _says(" ".join(words.text for words in here), pose.cautions[condition]):
        return True
    first = next((n for n, step in enumerate(view.steps.steps) if step.kind is not StepKind.TALK), 0)
    said = [*here, *(words for each in range(first) for words in own_words(view, each))]
    eased = any(words.kind is CueKind.OFFER or _WITH_CARE.search(words.text) for words in said)
    return eased and pose.strength is Strength.GENTLE


def _says(text: str, caution: str) -> bool:
    """Whether a text has what a caution asks for: its prop, or two of its words, by how they begin."""
    plain = [_PADDING.sub("cushion", each.lower()) for each in (text, caution)]
    begins = [{word[:3] for word in _WORD.findall(each)} - _SMALL for each in plain]
    return bool(announced(text) & announced(caution)) or len(begins[0] & begins[1]) >= SAME_WORDS


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
