"""Fitting a class to its slot: every step that has room gives, all of them to the same part of their room.

Each stage is a value that the next ones read; only the first reads words, and only the last makes steps.

1. `led_steps`, `hold_words`, `leeway`: what each step may be.
2. `chain`: all small steps from the shortest class to the longest, each due at an ease of its own.
3. `level`: the ease at which the class would fill its slot if breaths could be cut, found exactly (the glue of TeX),
   and how many links of the chain are taken: those due at it, or as few more or fewer as the rests need.
4. `remainder`: the rests take what is left over, or a pace does; where none can, the nearest is taken.
5. The steps, as all of this sets them, and `notes` of what gave and what is missing.

*A longer slot never takes a breath from a hold.* The chain does not depend on the slot. How many links are due only
grows with the ease; the ease grows with the slot, as the shares of the rests add to less than the whole of it; the
fewest links and the most with which the holds by the clock can fill the slot only grow with it; and a number kept
between two that only grow, only grows. A hold is its least and its links among those taken. (A hold by the clock does
give up to one breath of the others, when that comes in. A hold that grows past its most for its words does so in the
plan, and takes fewer breaths for them at a slower pace.)

Nothing is drawn at random, ties go to what comes first in the class, and the same file gives the same class.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TYPE_CHECKING

from guide.plan.timeline import Note, Timeline
from guide.sequence.steps import InBreaths, InTime, Steps

if TYPE_CHECKING:
    from guide.plan.fitting.leeway import Leeway
    from guide.plan.fitting.remainder import Filling


@dataclass(frozen=True, slots=True)
class Fitted:
    """A class as it fills its slot: the ease, None where nothing has room or no slot is given, and what gave."""

    steps: Steps
    ease: Fraction | None
    notes: tuple[Note, ...]

    def told(self, timeline: Timeline) -> Timeline:
        """The plan of these steps with the ease, and with what gave before all other notes."""
        ease = None if self.ease is None else round(float(self.ease), 4)
        return replace(timeline, ease=ease, notes=(*self.notes, *timeline.notes))


def fit(steps: Steps, word_ms: Mapping[str, int], sound_ms: Mapping[str, int]) -> Fitted:
    """The class with every hold, rest and pace set so that it fills its slot; without a slot, as it is.

    `word_ms` and `sound_ms` are as for `plan`; numbers that are counted aloud need no lengths yet.
    """
    if steps.slot_ms is None:
        return Fitted(steps, None, ())
    # The stages are brought in for a class that has a slot.
    from guide.plan.fitting.chain import chain_of
    from guide.plan.fitting.leeway import leeway_of
    from guide.plan.fitting.level import ease_of, links_of
    from guide.plan.fitting.notes import fit_notes
    from guide.plan.fitting.remainder import filling_of

    leeway = leeway_of(steps, steps.slot_ms, word_ms, sound_ms)
    chain = chain_of(leeway)
    if not chain.links and not leeway.timed:
        return Fitted(steps, None, ())
    ease = ease_of(leeway, chain)
    links = links_of(leeway, chain, ease)
    filling = filling_of(leeway, chain, links)
    made = _made(steps, leeway, filling)
    return Fitted(made, ease, fit_notes(made, leeway, ease, filling.length_ms))


def _made(steps: Steps, leeway: "Leeway", filling: "Filling") -> Steps:
    """The steps with every hold and pace that gives as it is set."""
    made = list(steps.steps)
    for pace, ease in zip(leeway.led.paces, filling.level.paces, strict=True):
        set_to = pace.at(ease)
        for number in pace.numbers if set_to != pace.pace else ():
            made[number] = replace(made[number], pace=set_to)
    for number, length in leeway.asked(filling.level, filling.rests_ms).items():
        match made[number].hold:
            case InBreaths() as hold:
                made[number] = replace(made[number], hold=replace(hold, usual=length))
            case InTime() as hold:
                made[number] = replace(made[number], hold=replace(hold, usual_ms=length))
    return replace(steps, steps=tuple(made))
