"""Too many words for the time."""

from collections.abc import Iterator, Sequence

from guide.plan.advice.facts import MINUTE_MS
from guide.plan.advice.view import Advice, ClassView
from guide.plan.timeline import Cue
from guide.sequence.steps import CueKind

NAME = "many words"

REASON = (
    "A class that is talked through leaves nobody time to practise. When the voice is heard for most of the time, half "
    "of what it says is lost."
)

#: Words a minute, over the whole class and over a section of two minutes or more (common practice, no source). The
#: voice says about 155 in a minute, so it is heard for more than half of the class, or for two thirds of a section. The
#: shipped classes come to 32 to 73, their sections of two minutes or more to 9 to 78.
MOST_IN_CLASS = 90
MOST_IN_SECTION = 105
FROM_MS = 2 * MINUTE_MS


def advise(view: ClassView) -> Iterator[Advice]:
    cues = [cue for cue in view.timeline.cues if cue.kind is not CueKind.COUNT]
    a_minute = _words_a_minute(cues, view.timeline.length_ms)
    if a_minute > MOST_IN_CLASS:
        what = f"about {a_minute} words a minute over the whole class"
        yield Advice(view.class_file.place, NAME, what, "leave lines out, or hold longer")
        return
    for section, place in enumerate(each.place for each in view.steps.sections):
        numbers = [number for number, step in enumerate(view.steps.steps) if step.section == section]
        if not numbers:
            continue
        within = set(numbers)
        lasts_ms = view.span(numbers[-1]).end_ms - view.span(numbers[0]).start_ms
        a_minute = _words_a_minute([cue for cue in cues if cue.step in within], lasts_ms)
        if a_minute > MOST_IN_SECTION:
            what = f"about {a_minute} words a minute in “{view.steps.sections[section].title}”"
            yield Advice(place, NAME, what, "leave lines out, or hold longer", tuple(numbers))


def _words_a_minute(cues: Sequence[Cue], lasts_ms: int) -> int:
    """Words a minute; none where the time is too short to say."""
    if lasts_ms < FROM_MS:
        return 0
    return round(sum(len(cue.words.split()) for cue in cues) * MINUTE_MS / lasts_ms)
