"""A strong inversion or a held breath shortly before the end."""

from collections.abc import Iterator

from guide.plan.advice.facts import MINUTE_MS, poses, quoted, unsilenced
from guide.plan.advice.view import Advice, ClassView
from guide.sequence.poses.pose import Base, Pose, Strength
from guide.sequence.steps import Step, StepKind
from guide.units import clock

NAME = "late strain"

REASON = (
    "A strong inversion or a held breath takes some minutes to settle: pressure and pulse come down, the neck rests. "
    "At the very end there is no time left for that."
)

#: The last minutes, for an inversion: five, or a fifth of a shorter class (common practice, no source).
LAST_MS = 5 * MINUTE_MS
LAST_PART = 5

#: And for a held breath (common practice, no source; pressure in the eye is back to where it was two minutes after the
#: head was low, Jasien et al., PLOS ONE 10(12) e0144505, 2015).
LAST_BREATH_MS = 2 * MINUTE_MS

#: Shorter than this it is a practice to go before or after something else (common practice, no source).
FROM_MS = 10 * MINUTE_MS


def advise(view: ClassView) -> Iterator[Advice]:
    length_ms = view.timeline.length_ms
    if length_ms < FROM_MS:
        return
    known = poses(view)
    for number in unsilenced(view, NAME):
        step, span = view.step(number), view.span(number)
        left_ms = length_ms - span.held_ms
        if _is_strong_inversion(known[number]) and left_ms < min(LAST_MS, length_ms // LAST_PART):
            what = f"{quoted(step)}, a strong inversion, ends {clock(left_ms)} before the class does"
        elif _holds_breath(step) and left_ms < LAST_BREATH_MS:
            what = f"the breath is held in {quoted(step)}, {clock(left_ms)} before the class ends"
        else:
            continue
        yield Advice(step.place, NAME, what, "do it earlier, and rest after it", (number,))


def _is_strong_inversion(pose: Pose | None) -> bool:
    return pose is not None and pose.base is Base.INVERTED and pose.strength is Strength.STRONG


def _holds_breath(step: Step) -> bool:
    """Whether a pattern holds the breath for as long as the inhale, or longer."""
    pause_ms = max(step.pace.full_ms, step.pace.empty_ms)
    return step.kind is StepKind.BREATHING and pause_ms >= step.pace.inhale_ms
