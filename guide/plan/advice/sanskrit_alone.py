"""A Sanskrit name, and nothing that says what to do."""

import re
from collections.abc import Iterator
from functools import lru_cache

from guide.plan.advice.facts import sentence
from guide.plan.advice.view import Advice, ClassView
from guide.sequence.poses.library import Library
from guide.sequence.poses.names import tokens
from guide.sequence.steps import CueKind, Step, StepKind

NAME = "sanskrit alone"

REASON = (
    "Half of the room has never heard the name, looks around, and does what the neighbour does. The Sanskrit is "
    "welcome beside words that say what to do, or after a round that has said it."
)

_WORD = re.compile(r"[^\W\d_]+")

#: Words of Sanskrit that everybody who comes to a class knows (common practice, no source).
_KNOWN = frozenset(tokens("savasana shavasana chaturanga om namaste asana vinyasa yoga"))

#: Words beside a name that say nothing of what to do.
_EMPTY = frozenset(
    _WORD.findall(
        "a again and another back breathe come each enter exhale final finally first for from go here hold in inhale "
        "into is it last left let move next now on once one our over please pose repeat right second side slowly so "
        "stay "
        "take the then there this time to us variation version we with your flow other come transition through forward "
        "rounds of please starting start begin beginning some few one two three five ten twenty thirty"
    )
)


def advise(view: ClassView) -> Iterator[Advice]:
    taught: set[str] = set()
    for number, step in enumerate(view.steps.steps):
        said = _way_in(step)
        words = [word for text in said for word in _WORD.findall(text.lower())]
        # Marks over letters may stand by themselves in a text; what is left of a word is Sanskrit as well.
        foreign = [word for word in words if _is_sanskrit(word, _sanskrit(view.library))]
        told = [word for word in words if word not in _EMPTY and word not in foreign]
        if foreign and not told and (step.kind is not StepKind.TALK or _goes_on_without_words(view, number)):
            if step.known not in taught:
                what = f"{sentence(' '.join(said))} is all that is said of it"
                place = (*step.entry, *step.words)[0].place
                yield Advice(place, NAME, what, "say it in English too, or what to do", (number,))
        elif step.known is not None and told:
            taught.add(step.known)


def _goes_on_without_words(view: ClassView, number: int) -> bool:
    """Whether nothing is said in the step after a talk."""
    after = view.steps.steps[number + 1 : number + 2]
    return all(step.kind in (StepKind.REST, StepKind.SILENCE) and not (*step.entry, *step.words) for step in after)


def _way_in(step: Step) -> list[str]:
    """What is said up to the moment in which people should be there."""
    said = step.words if step.kind is StepKind.MOVE else step.entry
    return [words.text for words in said if words.kind is not CueKind.COUNT]


@lru_cache(maxsize=8)
def _sanskrit(library: Library) -> frozenset[str]:
    """The words of Sanskrit names, in the form in which names are compared."""
    names = [
        name
        for pose in library
        for name in (pose.sanskrit, *pose.also)
        if _ends_in_asana(name) or name == pose.sanskrit
    ]
    english = {token for pose in library for token in tokens(pose.name)}
    return frozenset(token for name in names for token in tokens(name) if len(token) > 2) - english - _KNOWN


def _ends_in_asana(name: str) -> bool:
    return any(token.endswith("asana") for token in tokens(name))


def _is_sanskrit(word: str, sanskrit: frozenset[str]) -> bool:
    keys = tokens(word)
    return any(key in sanskrit or (key.endswith("asana") and key not in _KNOWN) for key in keys)
