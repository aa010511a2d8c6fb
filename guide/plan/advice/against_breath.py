"""A rise on the exhale, a fold on the inhale."""

import re
from collections.abc import Iterator
from itertools import pairwise

from guide.plan.advice.facts import sentence
from guide.plan.advice.grounds import Ground, grounds
from guide.plan.advice.said import own_words
from guide.plan.advice.view import Advice, ClassView
from guide.sequence.poses.pose import Base
from guide.sequence.steps import Breath, StepKind, Words

NAME = "against the breath"

REASON = (
    "The ribs open on the way in and sink on the way out, so arms and chest rise on an inhale and a fold comes on an "
    "exhale. The other way round people stop breathing in order to do as they are told."
)

_START = r"^(?:(?:and|then|now|slowly|gently|softly|smoothly|again) )*"
_WAYS = r"(?:(?:wide|out|and|all the way|high|forward|sweep|reach|float|rise|slowly|back|come) )*"
_ARMS = r"(?:(?:your|both|the|right|left|two|<side>) )*(?:arms?|hands|fingertips)"
_CHEST = r"(?:(?:your|the) )*(?:chest|heart|breastbone|sternum|head and chest|upper body)"
_UP = r"(?:up|high|overhead|over your heads?|to the (?:sky|ceiling)|toward the (?:sky|ceiling)|skyward)\b"
_LIFT = r"(?:sweep|reach|lift|raise|float|stretch|bring|circle|swing|throw|peel|open|slide)"

#: Words that begin a move, or a clause of it. To stand up out of the knees is done on either breath.
_RISING = re.compile(
    rf"{_START}(?:{_LIFT} )?{_ARMS} {_WAYS}{_UP}|{_START}reach {_UP}"
    rf"|{_START}(?:rise|come|roll) (?:(?:all the way|slowly|back) )*(?:up )?to (?:stand|standing)\b",
    re.IGNORECASE,
)
_OPENING = re.compile(rf"{_START}(?:lift|raise|peel) {_CHEST}(?: (?:up|high|off|from|away|into)\b|$)", re.IGNORECASE)
_FOLDING = re.compile(
    rf"{_START}(?:fold|bow|bend|dive|hinge|swan dive|swan-dive|round) (?:(?:all the way|deeply|slowly) )*"
    r"(?:forward|over|down|in half|from (?:the|your) hips)\b(?! (?:your|the) (?:back|arms?|gaze|eyes)\b)"
    rf"|{_START}(?:fold|forward fold|fold again|fold deeply|fold in)$"
    rf"|{_START}lower (?:all the way |down )*(?:to|onto) (?:your|the) (?:belly|floor|mat)\b"
    rf"|{_START}(?:lower|melt|sink) {_CHEST} (?:down|to|onto|into)\b",
    re.IGNORECASE,
)

#: Words that make it another thing: arms that are let down again, weight that is lifted, work of the belly.
_OTHERWISE = re.compile(
    r"\b(?:down|lower|sink|release|hips|sit back|twist|turn|lean|bend|(?<!over your )head|chest|knees?|legs?|half ?way|"
    r"flat)\b",
    re.IGNORECASE,
)
_BELLY = re.compile(r"\b(?:curl|crunch|belly|navel|core|elbows?|knees?|shoulder blades?|ribs)\b", re.IGNORECASE)

_CLAUSES = re.compile(r"\s*(?:[,.;:!?–—]|\band\b)\s*")


def advise(view: ClassView) -> Iterator[Advice]:
    for number, (ground, _) in enumerate(pairwise(grounds(view))):
        step = view.step(number)
        if step.kind is StepKind.MOVE and step.breath is not None:
            for words in own_words(view, number):
                what = _against(words, step.breath, ground)
                if what:
                    yield Advice(words.place, NAME, f"{sentence(words.text)} {what}", _FIX[step.breath], (number,))


_FIX = {
    Breath.INHALE: "fold with the exhale",
    Breath.EXHALE: "rise with the inhale",
}


def _against(words: Words, breath: Breath, ground: Ground) -> str:
    said = re.sub(rf"^{breath.value}, ", "", words.text, flags=re.IGNORECASE)
    clauses = [clause for clause in _CLAUSES.split(said) if clause]
    if breath is Breath.INHALE:
        return "folds on an inhale" if clauses and _FOLDING.search(clauses[0]) else ""
    rises = (any(map(_RISING.search, clauses)) or _RISING.search(said)) and not _OTHERWISE.search(said)
    # Lying on the back, the chest is lifted by the belly, which is done on the exhale.
    opens = ground.base not in (None, Base.SUPINE) and not _BELLY.search(said) and any(map(_OPENING.search, clauses))
    return "rises on an exhale" if rises or opens else ""
