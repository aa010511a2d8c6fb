"""A number of breaths that is said and not held."""

import re
from collections.abc import Iterator
from fractions import Fraction

from guide.plan.advice.facts import quoted, sentence
from guide.plan.advice.said import clause_before
from guide.plan.advice.view import Advice, ClassView
from guide.plan.timeline import Cue
from guide.problem import Place
from guide.sequence.steps import CueKind, InBreaths, Step, StepKind

NAME = "other count"

REASON = (
    "Who is told “ten breaths” sets the strength by it, and counts along. When three are held, or fifteen, nobody "
    "believes the next number."
)

_NUMBERS = re.findall(
    r"\w+",
    "one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen "
    "eighteen nineteen twenty",
)
_COUNT = rf"(?P<count>\d+|{'|'.join(_NUMBERS)})"
_KIND = r"(?:(?:more|full|long|slow|deep|whole|quiet|easy|steady|calm|soft|good|even|last) )*"
_PLAIN = re.compile(rf"(?<![-\w]){_COUNT} {_KIND}breaths?\b(?P<after>[^.;!?]*)", re.IGNORECASE)

#: Words before a number that make it that of the whole hold.
_WHOLE = re.compile(
    r"\b(?:stay|hold|here|remain|keep|rest|linger|be (?:here|in)|together|pose|there|it)\b"
    r"|^\s*(?:for|now|and|so|then)?\s*$",
    re.IGNORECASE,
)

#: Words that make it a number of other breaths than those of the hold.
_OTHER = re.compile(
    r"\b(?:after|every|each|within|last|first|to|or|between|than|at least|up to|about|another|in|next|take|over)\s*$",
    re.IGNORECASE,
)
_GOES_ON = re.compile(
    r"^ (?:later|or|to|ago|then|and then|on (?:the|your) (?:right|left|other)|before|until|if|in which)\b"
)

#: A half of a breath more or less is how a teacher counts.
NEAR_BREATHS = Fraction(8, 5)


def advise(view: ClassView) -> Iterator[Advice]:
    told: set[Place] = set()
    cues: dict[int, list[Cue]] = {}
    for cue in view.timeline.cues:
        cues.setdefault(cue.step, []).append(cue)
    for number, step in enumerate(view.steps.steps):
        if step.kind not in (StepKind.POSE, StepKind.REST) or not isinstance(step.hold, InBreaths):
            continue
        own = {words.text for words in (*step.entry, *step.words) if words.from_library == 0}
        for cue in cues.get(number, []):
            if cue.kind is not CueKind.COUNT and cue.words in own and cue.place not in told:
                what = _off(view, number, step, cue)
                if what:
                    told.add(cue.place)
                    yield Advice(cue.place, NAME, f"{sentence(cue.words)} {what}", "change one of the two", (number,))


def _off(view: ClassView, number: int, step: Step, cue: Cue) -> str:
    """What is wrong with the number of breaths that a cue says; nothing where it is right, or not of the hold."""
    found = next((each for each in _PLAIN.finditer(cue.words) if _is_of_the_hold(cue.words, each)), None)
    if found is None:
        return ""
    said, span = _number(found["count"]), view.span(number)
    if "more" in found[0].lower().split():
        left = Fraction(span.held_ms - max(cue.start_ms, span.hold_ms)) / step.pace.period_ms
        off = abs(said - left) >= NEAR_BREATHS and cue.start_ms >= span.hold_ms
        return f"is said when about {round(left)} of {quoted(step)} are left" if off else ""
    if cue.start_ms >= span.hold_ms and not re.search(r"\b(?:stay|hold|here|remain)\b", cue.words, re.IGNORECASE):
        return ""
    assert isinstance(step.hold, InBreaths)
    if step.hold.least <= said <= step.hold.most or said == span.breaths:
        return ""
    return f"is said, and {quoted(step)} is held for {span.breaths}"


def _is_of_the_hold(text: str, found: re.Match[str]) -> bool:
    before = clause_before(text, found.start())
    if _OTHER.search(before) or _GOES_ON.search(found["after"]):
        return False
    return bool(_WHOLE.search(before)) or "more" in found[0].lower().split()


def _number(text: str) -> int:
    return int(text) if text.isdigit() else _NUMBERS.index(text.lower()) + 1
