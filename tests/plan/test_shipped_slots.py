"""Every shipped class at every slot from its shortest to its longest, in steps of half a minute in a full check.

The voice is one of lengths alone, as in the pairs: where the slots begin depends on it, that all are filled does not.
"""

from dataclasses import replace
from pathlib import Path

import pytest
from examples import FULL
from plan_texts import fitted, steps_of

from guide.plan.checker import breaches
from guide.plan.timeline import Timeline
from guide.sequence.steps import InTime, StepKind, Steps
from guide.units import clock

SEQUENCES = Path(__file__).parents[2] / "sequences"
SHIPPED = sorted(SEQUENCES.glob("*.yaml"))
STEP_MS = 30_000 if FULL else 120_000


def at_slot(steps: Steps, slot_ms: int) -> Timeline:
    made, timeline, word_ms = fitted(replace(steps, slot_ms=slot_ms))
    assert breaches(made, timeline, word_ms) == ()
    return timeline


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_a_shipped_class_fills_every_slot_that_it_can(path: Path) -> None:
    steps = steps_of(path.read_text(encoding="utf-8"), path.parent)
    shortest_ms, longest_ms = (at_slot(steps, slot_ms).length_ms for slot_ms in (1000, 12 * 3_600_000))
    slots = range(-(-shortest_ms // STEP_MS) * STEP_MS, longest_ms + 1, STEP_MS)
    moves = None
    for slot_ms in slots if shortest_ms < longest_ms else ():
        timeline = at_slot(steps, slot_ms)
        if any(isinstance(step.hold, InTime) and step.hold.least_ms < step.hold.most_ms for step in steps.steps):
            assert abs(timeline.length_ms - slot_ms) < 1000, clock(slot_ms)
        elif abs(timeline.length_ms - slot_ms) >= 1000:
            assert "but only by whole breaths" in timeline.notes[-1].what
        led = [(span.title, span.side) for span in timeline.spans if span.kind is StepKind.MOVE]
        assert moves in (None, led), "the counts of a salutation are the same at any slot"
        moves = led
        print(f"\n{path.stem}: {clock(slot_ms)}, ease {timeline.ease:+.2f}", end="")
    print(f"\n{path.stem}: {clock(shortest_ms)} to {clock(longest_ms)}, {len(slots)} slots", end="")
