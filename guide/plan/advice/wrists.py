"""Long weight on the wrists."""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from guide.plan.advice.cautions import allowed
from guide.plan.advice.facts import MINUTE_MS, held_ms, poses_come_to, quoted
from guide.plan.advice.view import Advice, ClassView
from guide.plan.timeline import Span
from guide.sequence.poses.pose import Strength
from guide.sequence.steps import Step, StepKind
from guide.units import clock

NAME = "wrists"

REASON = (
    "Wrists tire before anything else does, and tell of it the next day. A pose on the forearms, the knees or the feet "
    "in between is enough."
)

#: So long without a break is long (common practice, no source): three dogs of five breaths each. On hands and knees
#: the knees carry half, so a gentle pose counts half; with bent elbows, and in moves that shift all of it with every
#: breath, it counts half as much again. Weights are quarters of those two minutes.
LONG_MS = 2 * MINUTE_MS
_FULL = 4
_WEIGHT = {Strength.GENTLE: 2, Strength.MODERATE: 4, Strength.STRONG: 6}

#: Words of a move in which the hands leave the floor.
_OFF_HANDS = re.compile(
    r"\b(?:arms?|stand\w*|roll up|come up|rise|sit|kneel\w*|heels?|hands? to (?:your|the)|palms|fold|upright|"
    r"lie|(?:to|toward|towards|at) your hands|between your hands|hips back|all the way down|forearms?)\b",
    re.IGNORECASE,
)


_SHAKING = re.compile(r"\b(?:shake|circle|rub|rest|child|fists?|knees)\b", re.IGNORECASE)

#: Words in a time of their own that leave people on their hands.
_ON_HANDS = re.compile(r"\b(?:stay|keep|hands|not done|again|more)\b", re.IGNORECASE)


@dataclass(slots=True)
class _Run:
    """Steps on the hands without a break; `counted_ms` is what they are held, by its weight.

    On the way into a pose, and from side to side, hands come off the floor.
    """

    numbers: list[int] = field(default_factory=list)
    counted_ms: int = 0
    weight: int = _FULL

    def add(self, number: int, span: Span) -> None:
        shifting = span.kind is StepKind.MOVE and self.weight >= _FULL
        weight = self.weight * 3 // 2 if shifting else self.weight
        self.counted_ms += weight * held_ms(span)
        self.numbers.append(number)


def advise(view: ClassView) -> Iterator[Advice]:
    run = _Run()
    for number, (step, pose) in enumerate(zip(view.steps.steps, poses_come_to(view), strict=True)):
        if pose is not None and pose.on_wrists:
            run.weight = _WEIGHT[pose.strength]
            run.add(number, view.span(number))
        elif run.numbers and _stays(step):
            run.add(number, view.span(number))
        elif run.numbers:
            yield from _told(view, run)
            run = _Run()
    yield from _told(view, run)


def _stays(step: Step) -> bool:
    """Whether people stay on their hands in a step that names no pose."""
    if step.kind is StepKind.MOVE and step.known is None and step.pose is None:
        return not any(_OFF_HANDS.search(words.text) for words in step.words)
    if step.kind is StepKind.TALK:
        text = " ".join(words.text for words in step.entry)
        return bool(_ON_HANDS.search(text)) and not (_OFF_HANDS.search(text) or _SHAKING.search(text))
    return step.kind is StepKind.SILENCE


def _told(view: ClassView, run: _Run) -> Iterator[Advice]:
    if run.counted_ms > _FULL * LONG_MS:
        first, last = view.span(run.numbers[0]), view.span(run.numbers[-1])
        step = view.step(run.numbers[0])
        lasts = clock(last.held_ms - first.hold_ms)
        rest = " or ".join([*allowed(view, ["child's pose"]), "standing"])
        what = f"from {quoted(step)} on, the wrists carry weight for {lasts} without a break"
        yield Advice(step.place, NAME, what, f"put {rest} between", tuple(run.numbers))
