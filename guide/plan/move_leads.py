"""The words of a move lead its breath: how early they begin, and how long the breath must last for them.

They begin `lead_ms` before it, but neither before the breath of the move before them nor within `GAP_MS` of its words.
A move that follows none, or begins a section, has a time of its own before its breath for them. What a breath needs is
told for any pace that its class may be led at, so that fitting can give and take without asking again: a lead is
counted as that much which is there at the quickest.
"""

from collections.abc import Sequence

from guide.plan.fixed_lengths import GAP_MS, SETTLE_MS
from guide.plan.grid import Grid
from guide.sequence.steps import Step, StepKind


def in_one_run(before: Step | None, step: Step) -> bool:
    """Whether a move follows another at once, so that its words come in the breath of that one."""
    moves = before is not None and before.kind is StepKind.MOVE and step.kind is StepKind.MOVE
    return moves and before is not None and before.section == step.section


def own_leads_ms(steps: Sequence[Step]) -> list[int]:
    """The time of its own that each step has before its breath, for the words of a move that follows none."""
    befores = (None, *steps[:-1])
    return [
        step.lead_ms if step.words and step.kind is StepKind.MOVE and not in_one_run(before, step) else 0
        for before, step in zip(befores, steps, strict=True)
    ]


def words_from_ms(step: Step, from_ms: int) -> int:
    """Where the words of a move begin, counted from its breath; at `from_ms` they may begin at the soonest."""
    return min(0, max(-step.lead_ms, from_ms))


def breaths_needed_ms(steps: Sequence[Step], entry_ms: Sequence[int], words_ms: Sequence[int | None]) -> list[int]:
    """How long the breath of each move has to be for its words; 0 for other steps.

    `entry_ms` is the time that each step has before its hold or its breath; `words_ms` the length of the words of each
    move, None where it has none.
    """
    needed: list[int] = []
    before: Step | None = None
    free_ms = 0
    for step, own_ms, said_ms in zip(steps, entry_ms, words_ms, strict=True):
        need_ms = 0
        if step.kind is StepKind.MOVE:
            from_ms = -own_ms - (free_ms if in_one_run(before, step) else 0)
            ends_ms = None if said_ms is None else _said_from_ms(step, from_ms) + said_ms
            need_ms = 0 if ends_ms is None else max(0, ends_ms + SETTLE_MS)
            lasts_ms = max(_least_ms(step), need_ms)
            if step.laid is not None and step.laid.held_ms is not None:
                need_ms = lasts_ms = step.laid.held_ms
            # The part of this breath in which the words of the next move may begin.
            free_ms = lasts_ms - (0 if ends_ms is None else max(0, ends_ms + GAP_MS))
        needed.append(need_ms)
        before = step
    return needed


def _said_from_ms(step: Step, from_ms: int) -> int:
    if step.laid is not None and step.laid.words:
        return step.laid.words[0].offset_ms
    return words_from_ms(step, from_ms)


def _least_ms(step: Step) -> int:
    """How long a breath lasts at the quickest that the file allows."""
    pace = step.pace if step.pace_room is None else step.pace_room.quickest
    return 0 if step.breath is None else Grid(pace).move_ms(step.breath)
