"""What words and poses need of walls, chairs, blocks, straps and bolsters: for the rules about them."""

import re

from guide.plan.advice.facts import named
from guide.plan.advice.view import ClassView
from guide.sequence.poses.pose import Pose
from guide.sequence.steps import CueKind, Step, StepKind

_OWNED = r"(?:a|an|the|your|that|this|its|one|two|both|some|another|each|his|her|my|on|under|with|fetch|grab|use|take)"
_KIND = r"(?:(?:steady|firm|sturdy|yoga|same|foam|cork|two|three|own|second|other|little|long|rolled|tall|low|free) )*"

#: How words name each prop. A wall counts where people touch it or go there; the pose is no chair to sit on.
_SAID = {
    "wall": re.compile(
        r"\b(?:against|at|up|on|near|close to|beside|along|into|away from|touch(?:es|ing)?|from|to|by|facing|of) "
        r"(?:the|a|your|that) (?:free |nearest )?wall\b(?! (?:behind|in front|opposite|ahead|across|before) )",
        re.IGNORECASE,
    ),
    "chair": re.compile(rf"\b{_OWNED} {_KIND}(?:chair|stool)s?\b(?! (?:pose|shape|legs))", re.IGNORECASE),
    "strap": re.compile(rf"\b{_OWNED} {_KIND}(?:straps?|belts?)\b", re.IGNORECASE),
    "block": re.compile(rf"\b{_OWNED} {_KIND}(?:blocks?|bricks?)\b", re.IGNORECASE),
    "bolster": re.compile(r"\bbolsters?\b", re.IGNORECASE),
}

#: How a note or opening words announce each.
_ANNOUNCED = {
    "wall": r"walls?",
    "chair": r"chairs?|stools?|desks?|sofas?|couch(?:es)?",
    "strap": r"straps?|belts?|scar(?:f|ves)|towels?|ties?|props?",
    "block": r"blocks?|bricks?|books?|props?",
    "bolster": r"bolsters?|cushions?|pillows?|props?",
}

#: Where a prop is no more than offered, thought of, or left.
_OFFERED = re.compile(
    r"\b(?:if|or|could|may|might|perhaps|like|as though|imagin\w*|would|pretend|some of you|whoever|optional|invisible|"
    r"back wall|between two|without|no|not|never|toward|towards|behind you|away|its back)\b|n['’]t\b",
    re.IGNORECASE,
)

#: Words that send people for a thing which does not lie beside them.
_FETCHING = re.compile(r"\b(?:get|fetch|go for|look for|run for) (?=(?:a|an|your|the|two|one)\b)", re.IGNORECASE)

_SENTENCE = re.compile(r"[^.!?;\n]+")

PROPS = tuple(_SAID)


def needed(text: str) -> set[str]:
    """The props that words need: named, and neither offered nor only thought of."""
    found = (each for each in _SENTENCE.findall(text) if not _OFFERED.search(each))
    return {prop for sentence in found for prop in PROPS if _SAID[prop].search(sentence)}


def announced(text: str) -> set[str]:
    """The props that words name in whatever way."""
    return {prop for prop, words in _ANNOUNCED.items() if re.search(rf"\b(?:{words})\b", text, re.IGNORECASE)}


def needed_in(step: Step, pose: Pose | None) -> set[str]:
    """The props that a step needs, by the file's words or by what the library calls it and first says of it."""
    said = (
        words for words in (*step.entry, *step.words) if words.from_library == 0 and words.kind is not CueKind.OFFER
    )
    needs = {prop for words in said for prop in needed(words.text)}
    if pose is not None and step.kind in (StepKind.POSE, StepKind.REST):
        needs |= {prop for text in (pose.name, *pose.enter[:1]) for prop in needed(text)}
        needs |= {"wall"} & set((named(step) or "").lower().split())
    return needs


def fetched(view: ClassView, number: int) -> set[str]:
    """The props that words in a time of their own send people for."""
    said = (words.text for words in view.step(number).entry)
    return {prop for text in said if (found := _FETCHING.search(text)) for prop in needed(f"the {text[found.end() :]}")}


def announced_in(view: ClassView, number: int) -> set[str]:
    """The props that are named in a step in whatever way."""
    step = view.step(number)
    return announced(" ".join(words.text for words in (*step.entry, *step.words)))
