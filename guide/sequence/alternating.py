"""In and out by turns: where two like halves of a breath would meet, the half between them is given.

A run of breaths goes on for as long as each begins where the one before it ends. Words in a time of their own, bells,
silence and what is held by the clock end a run: in them everybody breathes as they need.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from guide.sequence.steps import BY_CHIMES, UNCOUNTED, BellWhen, Breath, InBreaths, Section, Step, StepKind, Steps


def alternating(steps: Steps) -> Steps:
    """The steps with the halves that are missing between them: moves without words, each written where the next is."""
    first = steps.steps[:1]
    others = (one for pair in pairwise(steps.steps) for one in _with_missing(*pair, steps.sections))
    return replace(steps, steps=(*first, *others))


def _with_missing(before: Step, step: Step, sections: Sequence[Section]) -> Iterator[Step]:
    half = _first_half(step)
    if half is not None and half is _last_half(before) and not _rings_between(before, step, sections):
        yield _given(half.other, step)
    yield step


def _given(breath: Breath, step: Step) -> Step:
    return replace(
        step,
        kind=StepKind.MOVE,
        title=breath.value,
        pair=None if step.pair is None else f"{step.pair}/given",
        breath=breath,
        hold=None,
        entry=(),
        words=(),
        count=UNCOUNTED if step.count == UNCOUNTED else BY_CHIMES,
        bell=BellWhen.NONE,
        pose=None,
        known=None,
        share=None,
        told=(),
        given=True,
    )


def _first_half(step: Step) -> Breath | None:
    """The half of a breath on which a step begins at once; None where it has a time of its own first."""
    if step.kind is StepKind.MOVE:
        return step.breath
    is_at_once = not step.entry and not step.bell.at_start
    return Breath.INHALE if is_at_once and _is_breathed(step) else None


def _last_half(step: Step) -> Breath | None:
    """The half of a breath on which a step ends; None where something comes after it, or nobody is told."""
    if step.kind is StepKind.MOVE:
        return step.breath
    if not _is_breathed(step) or step.bell.at_end:
        return None
    return Breath.INHALE if isinstance(step.hold, InBreaths) and step.hold.and_a_half else Breath.EXHALE


def _is_breathed(step: Step) -> bool:
    return isinstance(step.hold, InBreaths) and step.kind is not StepKind.SILENCE


def _rings_between(before: Step, step: Step, sections: Sequence[Section]) -> bool:
    if before.section == step.section:
        return False
    ended = before.section is not None and sections[before.section].bell.at_end
    return ended or (step.section is not None and sections[step.section].bell.at_start)
