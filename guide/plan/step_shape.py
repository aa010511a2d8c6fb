"""The shape of each step: how long its bell, entry, hold and end last, and where in the hold its words lie.

Shapes know nothing of the clock. What their words need is measured in `step_lengths`.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from guide.plan.class_length import edges_ms
from guide.plan.step_lengths import GrownHold, Setting, Twins, grown_holds, usually
from guide.plan.word_placing import Placed
from guide.sequence.steps import BeforeEnd, InBreaths, Step, Words
from guide.units import seconds_text, so_many


@dataclass(frozen=True, slots=True)
class StepShape:
    """Lengths of the parts of a step in ms; `breaths` is 0 unless the hold is counted in breaths.

    `own_entry_ms` is what the step's own entry words take; `entry_ms` is what it gets, with the other side's need.
    """

    lead_ms: int
    own_entry_ms: int
    entry_ms: int
    held_ms: int
    tail_ms: int
    breaths: int
    placed: Placed
    notes: tuple[str, ...]


def shapes(measured: Iterable[Twins], sound_ms: Mapping[str, int]) -> list[StepShape]:
    """One shape a step, in their order.

    Raises:
        KeyError: for a sound whose length is not given; that is a mistake of the caller.
    """
    made: dict[int, StepShape] = {}
    for twins in measured:
        settings = usually(twins)
        for one, hold in zip(twins.each, grown_holds(twins, settings), strict=True):
            step, setting = one.step, settings[one.number]
            lead_ms, tail_ms = edges_ms(step, sound_ms)
            breaths = setting.asked + hold.extra_breaths if isinstance(step.hold, InBreaths) else 0
            notes = tuple(_move_notes(step, setting, hold) if step.hold is None else _hold_notes(step, hold))
            made[one.number] = StepShape(
                lead_ms, one.own_entry_ms, one.entry_ms, hold.held_ms, tail_ms, breaths, hold.placed, notes
            )
    return [made[number] for number in range(len(made))]


def _move_notes(step: Step, setting: Setting, move: GrownHold) -> list[str]:
    breath_ms = 0 if step.breath is None else setting.grid.move_ms(step.breath)
    if step.breath is None or move.held_ms <= breath_ms:
        return []
    lasts = f"this {step.breath.value} lasts {seconds_text(move.held_ms)} instead of {seconds_text(breath_ms)}"
    return [f"{lasts}, because its words need the time"]


def _hold_notes(step: Step, hold: GrownHold) -> list[str]:
    notes, extra = [], hold.extra_breaths
    if extra and isinstance(step.hold, InBreaths):
        half, usual = "½" if step.hold.and_a_half else "", step.hold.usual
        held = f"{usual + extra}{half} breaths instead of {usual}{half}"
        notes.append(f"“{step.title}” is held {held}, because its words need them")
    elif extra:
        lasts = f"“{step.title}” lasts {seconds_text(hold.held_ms)}, {so_many(extra, 'breath')} more than asked"
        notes.append(f"{lasts}, because its words need them")
    if hold.placed.close:
        notes.append(f"the words of “{step.title}” stand closer together than one thought a breath")
    until_ms = 0 if step.laid is None else step.laid.until_ms
    for offset_ms, words in hold.placed.words:
        before_ms = hold.held_ms - offset_ms
        if isinstance(words.at, BeforeEnd) and before_ms > words.at.ms and offset_ms >= until_ms:
            asked = f"{seconds_text(before_ms)} before the end of “{step.title}” instead of {seconds_text(words.at.ms)}"
            notes.append(f"“{words.text}” begins {asked}, to be over in time")
    return notes


def left_out(words: Words) -> str:
    """The note for words that found no room."""
    return f"left out for want of room, as the file allows: “{words.text}”"
