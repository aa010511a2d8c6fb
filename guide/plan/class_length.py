"""How much of a class lies around its holds and moves: bells, entry words, and what follows a talk."""

from collections.abc import Iterable, Iterator, Mapping

from guide.plan.fixed_lengths import BELL_LEAD_MS, SETTLE_MS
from guide.plan.step_lengths import Twins
from guide.sequence.steps import BellWhen, Step, StepKind, Steps


def lead_ms(sound: str, sound_ms: Mapping[str, int]) -> int:
    """How long a bell has for itself."""
    return min(BELL_LEAD_MS, sound_ms[sound])


def edges_ms(step: Step, sound_ms: Mapping[str, int]) -> tuple[int, int]:
    """What a step has before its entry words and after its hold: its bells, and a settle after a talk."""
    bell_ms = 0 if step.bell is BellWhen.NONE else lead_ms(step.bell_sound, sound_ms)
    settle_ms = SETTLE_MS if step.kind is StepKind.TALK else 0
    return bell_ms * step.bell.at_start, settle_ms + bell_ms * step.bell.at_end


def around_ms(steps: Steps, measured: Iterable[Twins], sound_ms: Mapping[str, int]) -> int:
    """The length of a class without its holds and moves; `measured` are its steps."""
    own_ms = sum(one.entry_ms + sum(edges_ms(one.step, sound_ms)) for twins in measured for one in twins.each)
    return own_ms + sum(_bells_ms(steps, sound_ms))


def _bells_ms(steps: Steps, sound_ms: Mapping[str, int]) -> Iterator[int]:
    """The times that the bells of the class and its sections have for themselves; the last one rings out."""
    if steps.bell.at_start:
        yield lead_ms(steps.sounds.klass, sound_ms)
    for number in dict.fromkeys(step.section for step in steps.steps):
        if number is not None:
            section = steps.sections[number]
            yield lead_ms(section.bell_sound, sound_ms) * (section.bell.at_start + section.bell.at_end)
    if steps.bell.at_end:
        yield sound_ms[steps.sounds.klass]
