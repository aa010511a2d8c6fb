"""Effort after the final rest."""

from collections.abc import Iterator, Sequence

from guide.plan.advice.facts import MINUTE_MS, held_ms, poses, quoted
from guide.plan.advice.view import Advice, ClassView
from guide.sequence.poses.pose import Does, Pose, Strength
from guide.sequence.steps import Step, StepKind

NAME = "effort after rest"

REASON = (
    "After the final rest the body is cool and the mind is quiet, and people take both home. A strong pose then is "
    "cold and undoes the rest; sitting and a few breaths are enough."
)

#: A lying rest of so long that it ends a class (common practice, no source).
LONG_MS = MINUTE_MS + MINUTE_MS // 2

#: Moves that are no mere waking up any more (common practice, no source).
MANY_MOVES = 16

_FINAL_REST = "final rest"


def advise(view: ClassView) -> Iterator[Advice]:
    known = poses(view)
    rests = [number for number in range(len(known)) if _is_final_rest(view, known, number)]
    if not rests or not any(_is_posed(step) for step in view.steps.steps[: rests[-1]]):
        return
    for number in range(rests[-1] + 1, len(known)):
        step, pose = view.step(number), known[number]
        if pose is not None and _is_effort(pose):
            what = f"{_called(step, pose)} comes after the final rest"
            yield Advice(
                step.place, NAME, what, "move it before the rest, and only sit afterwards", (rests[-1], number)
            )
            return
    moves = [number for number in range(rests[-1] + 1, len(known)) if view.step(number).kind is StepKind.MOVE]
    if len(moves) >= MANY_MOVES:
        what = f"{len(moves)} moves come after the final rest"
        place = view.step(moves[0]).place
        yield Advice(place, NAME, what, "move them before the rest, and only sit afterwards", (rests[-1], moves[0]))


def _is_final_rest(view: ClassView, known: Sequence[Pose | None], number: int) -> bool:
    pose = known[number]
    return pose is not None and pose.name == _FINAL_REST and held_ms(view.span(number)) >= LONG_MS


def _is_posed(step: Step) -> bool:
    return step.kind in (StepKind.POSE, StepKind.MOVE)


def _is_effort(pose: Pose) -> bool:
    return pose.strength is not Strength.GENTLE and Does.REST not in pose.does


def _called(step: Step, pose: Pose) -> str:
    return f"“{pose.name}”" if step.kind is StepKind.MOVE else quoted(step)
