"""Breathing that is slower, or held longer, than is usual for a general class."""

from collections.abc import Iterator

from guide.plan.advice.facts import unsilenced
from guide.plan.advice.view import Advice, ClassView
from guide.sequence.steps import InBreaths, Pace, Step, StepKind
from guide.units import seconds_text, whole_ms

NAME = "slow breath"

REASON = (
    "Very slow breathing and long pauses are for those who have come to them over time, and with some conditions they "
    "do harm. Said beforehand, with a way to leave them out, they can be part of a general class."
)

#: A breath slower than about four a minute (from memory; slow breathing is studied from 4 to 10 a minute, Russo,
#: Santarelli & O'Rourke, Breathe 13(4), 2017). The square breath of four seconds, 3.75 a minute, is about that.
SLOWEST_MS = 16_000

_CAUTION = (
    "offer the breath without it; not in pregnancy, with high blood pressure, heart or lung disease, epilepsy, "
    "glaucoma or panic attacks, unless a doctor agrees"
)


def advise(view: ClassView) -> Iterator[Advice]:
    seen: set[Pace] = set()
    for number in unsilenced(view, NAME):
        step = view.step(number)
        if step.pace in seen or not _is_led(step):
            continue
        seen.add(step.pace)
        pause_ms = max(step.pace.full_ms, step.pace.empty_ms)
        if pause_ms > step.pace.inhale_ms:
            lengths = [seconds_text(whole_ms(ms)) for ms in (pause_ms, step.pace.inhale_ms)]
            what = f"the pause of {lengths[0]} is longer than the inhale of {lengths[1]}"
            yield Advice(step.place, NAME, what, _CAUTION, (number,))
        elif step.pace.period_ms > SLOWEST_MS:
            what = f"one breath lasts {seconds_text(whole_ms(step.pace.period_ms))}, which is slow for a general class"
            yield Advice(step.place, NAME, what, "offer a shorter breath for those who run short of air", (number,))


def _is_led(step: Step) -> bool:
    """Whether people are asked to breathe at the pace: in a hold by the clock they breathe as they like."""
    return step.kind in (StepKind.MOVE, StepKind.BREATHING) or isinstance(step.hold, InBreaths)
