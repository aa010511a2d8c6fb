"""A hold that is talked through."""

from collections.abc import Iterator, Sequence

from guide.plan.advice.facts import cues_of_steps, quoted, unsilenced
from guide.plan.advice.view import Advice, ClassView
from guide.plan.grid import Grid
from guide.plan.timeline import Cue, CuePart, Span
from guide.sequence.steps import CueKind, Step, StepKind

NAME = "no quiet"

REASON = (
    "People need a breath without words to feel what they were told. With words on every breath they only listen; the "
    "last breath alone, which the plan leaves quiet, comes when it is over."
)

#: From so many breaths on, one of them besides the last is left quiet (common practice, no source). In three breaths
#: two thoughts and a quiet breath are usual.
FROM_BREATHS = 4

#: Words that reach so far into a breath do not fill it yet (common practice, no source).
EDGE_MS = 1000


def advise(view: ClassView) -> Iterator[Advice]:
    cues = cues_of_steps(view)
    for number in unsilenced(view, NAME):
        step, span = view.step(number), view.span(number)
        if step.hold is None or step.kind is StepKind.SILENCE or any(words.from_library for words in step.words):
            continue  # Whoever leaves the words to the library cannot leave a line of them out.
        breaths = Grid(step.pace).whole_breaths(span.held_ms - span.hold_ms)
        if breaths >= FROM_BREATHS and all(_spoken(step, span, breath, cues[number]) for breath in range(breaths - 1)):
            what = f"there are words on every breath of {quoted(step)} but the last"
            yield Advice(step.place, NAME, what, "leave a line out, or hold it longer", (number,))


def _spoken(step: Step, span: Span, breath: int, cues: Sequence[Cue]) -> bool:
    """Whether there are words for everybody in a breath of a hold: numbers that count it, and offers, are not."""
    grid = Grid(step.pace)
    start_ms, end_ms = (span.hold_ms + grid.breath_ms(each) for each in (breath, breath + 1))
    said_ms = (
        min(end_ms, cue.end_ms) - max(start_ms, cue.start_ms)
        for cue in cues
        if cue.part is CuePart.HOLD and cue.kind not in (CueKind.COUNT, CueKind.OFFER, CueKind.SAFETY)
    )
    return sum(ms for ms in said_ms if ms > 0) > EDGE_MS
