"""A number of breaths, or a time, that is said and not held."""

import re
from collections.abc import Iterator
from fractions import Fraction

from guide.plan.advice.amounts import Amount, amounts
from guide.plan.advice.facts import POSED, cues_of_steps, quoted, sentence
from guide.plan.advice.said import clause_before
from guide.plan.advice.view import Advice, ClassView
from guide.plan.timeline import Cue
from guide.problem import Place
from guide.sequence.steps import CueKind, InBreaths, InTime, Step
from guide.units import clock

NAME = "other count"

REASON = (
    "Who is told “ten breaths” sets the strength by it, and counts along. When three are held, or fifteen, nobody "
    "believes the next number."
)

#: Words around a length that make it that of the whole hold, or the length alone.
_WHOLE = re.compile(
    r"\b(?:rest|linger|be still|together|count|take)\b|^\s*(?:(?:for|now|and|so|then|just|only|the|next) ?)*$",
    re.IGNORECASE,
)
_HERE = re.compile(
    r"\b(?:here|stay|staying|remain|(?:hold|keep) (?:it|this|here|for|the (?:pose|shape))|"
    r"in (?:this|the) (?:pose|shape))\b",
    re.IGNORECASE,
)
_ALONE = re.compile(r"(?:for|now|and|so|then|just|only|the|next|count|\W)*", re.IGNORECASE)

#: Words that make it a part of the hold, or another thing, and words that leave the length to people.
_OTHER = re.compile(
    r"\b(?:after|every|each|within|last|first|to|or|between|than|at (?:least|most)|up to|about|in|over|half of|of|if|"
    r"like|when|once|by|through|until|with|enough|usually|maybe|perhaps|whenever|not|n['’]t)\b[^,.;]*$",
    re.IGNORECASE,
)
_GOES_ON = re.compile(
    r"^ ?(?:later|or|to|ago|and|(?:then|before|until|if|in which|left|over|long enough|is|are|only if)\b"
    r"|on (?:the|your) (?:right|left|other)\b|looking|with|ahead|apart|away)",
    re.IGNORECASE,
)
_LEFT_TO_PEOPLE = re.compile(
    r"\b(?:if|or|enough|whenever|as (?:long|many)|choose|up to|at least|(?:hold|keep) (?:your|the) breath)\b",
    re.IGNORECASE,
)

#: A half of a breath more or less is how a teacher counts, and in a long hold a fourth.
NEAR_BREATHS = Fraction(8, 5)
NEAR_PART = Fraction(1, 4)


def advise(view: ClassView) -> Iterator[Advice]:
    told: set[Place] = set()
    cues = cues_of_steps(view)
    for number, step in enumerate(view.steps.steps):
        if step.kind not in POSED or step.hold is None:
            continue
        own = {words.text for words in (*step.entry, *step.words) if words.from_library == 0}
        for cue in cues[number]:
            if cue.kind is not CueKind.COUNT and cue.words in own and cue.place not in told:
                what = _off(view, number, step, cue)
                if what:
                    told.add(cue.place)
                    yield Advice(cue.place, NAME, f"{sentence(cue.words)} {what}", "change one of the two", (number,))


def _off(view: ClassView, number: int, step: Step, cue: Cue) -> str:
    """What is wrong with the length that a cue says; nothing where it is right, or not that of the hold."""
    said = [each for each in amounts(cue.words) if _is_of_the_hold(cue.words, each)]
    if len(said) != 1 or _LEFT_TO_PEOPLE.search(cue.words):
        return ""
    span, period_ms = view.span(number), step.pace.period_ms
    held_ms, left_ms = span.held_ms - span.hold_ms, span.held_ms - max(cue.start_ms, span.hold_ms)
    said_ms = said[0].count * (1 if said[0].in_time else period_ms)
    inside = cue.start_ms >= span.hold_ms
    if said[0].is_more:
        off = inside and not _is_near(said_ms, left_ms, period_ms)
        left = clock(left_ms) if said[0].in_time else str(round(Fraction(left_ms) / period_ms))
        return f"is said when about {left} of {quoted(step)} are left" if off else ""
    if inside and not _HERE.search(cue.words) and not _ALONE.fullmatch(_without(cue.words, said[0])):
        return ""  # It may be that of a part of the hold.
    least_ms, most_ms = _room_ms(step, held_ms)
    near = any(_is_near(said_ms, ms, period_ms) for ms in (held_ms, left_ms)) or least_ms <= said_ms <= most_ms
    by_clock = said[0].in_time or not isinstance(step.hold, InBreaths)
    lasts = clock(held_ms) if by_clock else str(span.breaths)
    return "" if near else f"is said, and {quoted(step)} is held for {lasts}"


def _room_ms(step: Step, held_ms: int) -> tuple[Fraction, Fraction]:
    if isinstance(step.hold, InBreaths):
        return step.hold.least * step.pace.period_ms, step.hold.most * step.pace.period_ms
    assert isinstance(step.hold, InTime)
    return Fraction(min(step.hold.least_ms, held_ms)), Fraction(max(step.hold.most_ms, held_ms))


def _is_near(said_ms: Fraction, ms: int, period_ms: Fraction) -> bool:
    return abs(said_ms - ms) < max(NEAR_BREATHS * period_ms, NEAR_PART * ms)


def _is_of_the_hold(text: str, amount: Amount) -> bool:
    before = clause_before(text, amount.start)
    if amount.count == 1 or _OTHER.search(before) or _GOES_ON.search(text[amount.end :]):
        return False
    after = re.split(r"[.;!?]", text[amount.end :])[0]
    return amount.is_more or bool(_WHOLE.search(before) or _HERE.search(before) or _HERE.search(after))


def _without(text: str, amount: Amount) -> str:
    return text[: amount.start] + text[amount.end :]
