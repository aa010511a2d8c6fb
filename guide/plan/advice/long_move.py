"""Words that are longer than the breath that carries them."""

from collections.abc import Iterator

from guide.plan.advice.facts import cues_of_steps, unsilenced
from guide.plan.advice.view import Advice, ClassView
from guide.plan.fixed_lengths import SETTLE_MS
from guide.plan.grid import Grid
from guide.problem import Place
from guide.sequence.steps import StepKind
from guide.units import seconds_text

NAME = "long move"

REASON = (
    "A move lasts one inhale or one exhale. Words that need longer make everyone wait, or breathe out before the end "
    "of the sentence."
)

#: So much more than the breath is heard by nobody, and is within what the length of words is estimated to (common
#: practice, no source).
LEEWAY_MS = 400


def advise(view: ClassView) -> Iterator[Advice]:
    cues = cues_of_steps(view)
    told: set[Place | str] = set()
    for number in unsilenced(view, NAME):
        step = view.step(number)
        if step.kind is not StepKind.MOVE or step.breath is None or not cues[number]:
            continue
        breath_ms = Grid(step.pace).move_ms(step.breath)
        words_ms = cues[number][-1].end_ms - view.span(number).hold_ms + SETTLE_MS
        place = cues[number][-1].place
        # The words of a block file are not the teacher's own: that they want a slower breath is said once.
        about = place if place.file == view.class_file.place.file else place.file
        if words_ms > breath_ms + LEEWAY_MS and about not in told:
            told.add(about)
            lasts = f"the {step.breath.value} lasts {seconds_text(breath_ms)}"
            what = f"these words need about {seconds_text(words_ms)}, and {lasts}"
            yield Advice(step.place, NAME, what, "say less, or give the move a slower `pace:`", (number,))
