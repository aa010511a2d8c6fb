"""The bells of the class and of its sections: which of them ring, and when, before a step and after the last."""

from collections.abc import Iterator
from dataclasses import dataclass

from guide.plan.checks.evidence import Evidence
from guide.plan.timeline import RingRole, Span


@dataclass(frozen=True, slots=True)
class Opening:
    """The time before step `number` (or after the last): the bells as (start, role, sound), and when it is over."""

    number: int
    from_ms: int
    until_ms: int
    bells: tuple[tuple[int, RingRole, str], ...]

    def is_hurried_by(self, span: Span) -> bool:
        """Whether the step that follows begins before its bells have had their time."""
        return bool(self.bells) and span.start_ms < self.until_ms


def openings(evidence: Evidence) -> Iterator[Opening]:
    """The opening before every step and the closing of the class, counted from where the plan ends the step before.

    The bell that closes the class rings out; each of the others has its lead alone.
    """
    spans = evidence.timeline.spans
    for number in range(len(spans) + 1):
        from_ms = now_ms = spans[number - 1].end_ms if number else 0
        bells: list[tuple[int, RingRole, str]] = []
        for role, sound in _bells_at(evidence, number):
            bells.append((now_ms, role, sound))
            rings_out = role is RingRole.CLASS and (number > 0 or len(bells) > 1)
            now_ms += evidence.sound_ms.get(sound, 0) if rings_out else evidence.lead_ms(sound)
        yield Opening(number, from_ms, now_ms, tuple(bells))


def _bells_at(evidence: Evidence, number: int) -> Iterator[tuple[RingRole, str]]:
    steps, count = evidence.steps, len(evidence.steps.steps)
    before = steps.steps[number - 1].section if number else None
    after = steps.steps[number].section if number < count else None
    if number == 0 and steps.bell.at_start:
        yield RingRole.CLASS, steps.sounds.klass
    if before != after or number in (0, count):
        if before is not None and steps.sections[before].bell.at_end:
            yield RingRole.SECTION, steps.sections[before].bell_sound
        if after is not None and steps.sections[after].bell.at_start:
            yield RingRole.SECTION, steps.sections[after].bell_sound
    if number == count and steps.bell.at_end:
        yield RingRole.CLASS, steps.sounds.klass
