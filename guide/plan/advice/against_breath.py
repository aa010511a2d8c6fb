"""A rise on the exhale, a fold on the inhale."""

import re
from collections.abc import Iterator

from guide.plan.advice.facts import sentence
from guide.plan.advice.said import own_words
from guide.plan.advice.view import Advice, ClassView
from guide.sequence.steps import Breath, StepKind, Words

NAME = "against the breath"

REASON = (
    "The ribs open on the way in and sink on the way out, so arms and chest rise on an inhale and a fold comes on an "
    "exhale. The other way round people stop breathing in order to do as they are told."
)

_START = r"^(?:(?:and|then|now|slowly|gently|softly|smoothly|again) )*"
_ARMS = r"(?:(?:your|both|the|right|left|two) )*(?:arms?|hands|fingertips)"

#: Words that begin a move, or a clause of it. To stand up out of the knees is done on either breath.
_RISING = re.compile(
    rf"{_START}(?:sweep|reach|lift|raise|float|stretch|bring|circle|swing|throw) {_ARMS} "
    r"(?:(?:wide|out|and|all the way|high|forward) )*(?:up|high|overhead|to the (?:sky|ceiling)|skyward)\b"
    rf"|{_START}{_ARMS} (?:(?:wide|out|and|sweep|reach|float|rise|all the way) )*(?:up|high|overhead)\b"
    rf"|{_START}reach (?:up|high|overhead|to the (?:sky|ceiling))\b"
    rf"|{_START}(?:rise|come|roll) (?:(?:all the way|slowly|back) )*(?:up )?to (?:stand|standing)\b",
    re.IGNORECASE,
)
_FOLDING = re.compile(
    rf"{_START}(?:fold|bow|bend|dive|hinge|swan dive|swan-dive) (?:(?:all the way|deeply|slowly) )*"
    r"(?:forward|over|down|in half|from (?:the|your) hips)\b"
    rf"|{_START}(?:fold|forward fold|fold again|fold deeply|fold in)$",
    re.IGNORECASE,
)

#: Words that make it another thing: arms that are let down again, weight that is lifted.
_OTHERWISE = re.compile(
    r"\b(?:down|lower|sink|release|hips|sit back|twist|turn|lean|bend|head|chest|knees?|legs?|half ?way|flat)\b",
    re.IGNORECASE,
)

_CLAUSES = re.compile(r"\s*(?:[,.;:!?–—]|\band\b)\s*")


def advise(view: ClassView) -> Iterator[Advice]:
    for number, step in enumerate(view.steps.steps):
        if step.kind is StepKind.MOVE and step.breath is not None:
            for words in own_words(view, number):
                what = _against(words, step.breath)
                if what:
                    yield Advice(words.place, NAME, f"{sentence(words.text)} {what}", _FIX[step.breath], (number,))


_FIX = {
    Breath.INHALE: "fold with the exhale",
    Breath.EXHALE: "rise with the inhale",
}


def _against(words: Words, breath: Breath) -> str:
    said = re.sub(rf"^{breath.value}, ", "", words.text, flags=re.IGNORECASE)
    clauses = [clause for clause in _CLAUSES.split(said) if clause]
    if breath is Breath.INHALE:
        return "folds on an inhale" if clauses and _FOLDING.search(clauses[0]) else ""
    rises = any(map(_RISING.search, clauses)) or _RISING.search(said)
    return "rises on an exhale" if rises and not _OTHERWISE.search(said) else ""
