"""How long a class is, from the shapes of its steps, without laying anything."""

from collections.abc import Iterator, Mapping, Sequence

from guide.plan.shape import Shape, lead_ms
from guide.sequence.steps import Steps


def length_ms(steps: Steps, made: Sequence[Shape], sound_ms: Mapping[str, int]) -> int:
    """The length of a class in ms; `made` are the shapes of its steps."""
    own_ms = sum(shape.lead_ms + shape.entry_ms + shape.held_ms + shape.tail_ms for shape in made)
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
