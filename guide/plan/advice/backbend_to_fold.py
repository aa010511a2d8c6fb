"""A strong backbend straight into a deep fold."""

from collections.abc import Iterator

from guide.plan.advice.facts import MINUTE_MS, held_ms, named, poses, quoted
from guide.plan.advice.no_counter import is_strong_backbend
from guide.plan.advice.view import Advice, ClassView
from guide.sequence.poses.pose import Base, Does, Pose, Strength
from guide.sequence.steps import StepKind

NAME = "backbend to fold"

REASON = (
    "From the deepest bend one way straight into the deepest the other way is rough on the discs and the small muscles "
    "of the back. Something level or a gentle twist goes between."
)

#: A fold is deep when it is held so long sitting or standing (common practice, no source).
LONG_FOLD_MS = MINUTE_MS


def advise(view: ClassView) -> Iterator[Advice]:
    known = poses(view)
    last: int | None = None
    for number, step in enumerate(view.steps.steps):
        if named(step) is None and step.kind is not StepKind.REST:
            continue
        pose, before = known[number], None if last is None else known[last]
        if last is not None and before is not None and pose is not None and is_strong_backbend(before):
            wanted = {found.name for name in before.rests if (found := view.library.find(name)) is not None}
            if pose.name not in wanted and _is_deep_fold(pose, held_ms(view.span(number))):
                what = f"{quoted(view.step(last))} goes straight into {quoted(step)}"
                yield Advice(step.place, NAME, what, "a gentle twist or a rest between them", (last, number))
        last = number


def _is_deep_fold(pose: Pose, lasts_ms: int) -> bool:
    if Does.FOLD not in pose.does or Does.REST in pose.does:
        return False
    return pose.strength is Strength.STRONG or (pose.base in (Base.SEATED, Base.STANDING) and lasts_ms >= LONG_FOLD_MS)
