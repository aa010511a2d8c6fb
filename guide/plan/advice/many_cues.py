"""Three instructions or more at once."""

from collections.abc import Iterator, Sequence

from guide.plan.advice.facts import INSTRUCTIONS, MINUTE_MS, cues_of_steps, held_ms, quoted, unsilenced
from guide.plan.advice.view import Advice, ClassView
from guide.plan.timeline import Cue, CuePart
from guide.sequence.steps import StepKind
from guide.units import so_many

NAME = "many cues"

REASON = (
    "People who are getting into a pose can follow one or two instructions. The third makes them stop listening, or "
    "drop the first."
)

#: So many instructions at once are too many (common practice, no source).
FROM_CUES = 3

#: Who stays for so long settles in without hurry, and may be told more (common practice, no source).
LONG_STAY_MS = 2 * MINUTE_MS


def advise(view: ClassView) -> Iterator[Advice]:
    cues = cues_of_steps(view)
    for number in unsilenced(view, NAME):
        step, span = view.step(number), view.span(number)
        if step.kind in (StepKind.TALK, StepKind.MOVE) or held_ms(span) >= LONG_STAY_MS:
            continue
        told = [cue for cue in cues[number] if cue.kind in INSTRUCTIONS]
        before = [cue for cue in told if cue.part is CuePart.ENTRY]
        # A breathing pattern is explained to people who sit still.
        if len(before) >= FROM_CUES and step.kind is not StepKind.BREATHING:
            what = f"{so_many(len(before), 'instruction')} at once before {quoted(step)}"
            yield Advice(step.place, NAME, what, "keep one or two, and move the rest to `say`", (number,))
        if _crowd([cue for cue in told if cue.part is CuePart.HOLD], int(step.pace.period_ms)):
            what = f"{FROM_CUES} instructions or more within one breath of {quoted(step)}"
            yield Advice(step.place, NAME, what, "spread them over the hold, or leave some out", (number,))


def _crowd(cues: Sequence[Cue], breath_ms: int) -> bool:
    """Whether so many cues begin within one breath."""
    pairs = zip(cues, cues[FROM_CUES - 1 :], strict=False)
    return any(last.start_ms - first.start_ms < breath_ms for first, last in pairs)
