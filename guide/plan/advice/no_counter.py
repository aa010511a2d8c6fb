"""A strong backbend that nothing rests from."""

from collections.abc import Iterator, Sequence

from guide.plan.advice.cautions import allowed
from guide.plan.advice.facts import MINUTE_MS, POSED, poses, quoted, unsilenced
from guide.plan.advice.view import Advice, ClassView
from guide.sequence.poses.pose import Does, Pose, Strength
from guide.sequence.steps import Step

NAME = "no counter"

REASON = (
    "After a strong backbend the back wants something easy that brings it home: knees to the chest, child's pose, a "
    "gentle twist. Soon, while it still asks for it."
)

#: The rest comes within so long or so many steps, whichever is later (common practice, no source).
SOON_MS = 2 * MINUTE_MS
SOON_STEPS = 3


def advise(view: ClassView) -> Iterator[Advice]:
    known = poses(view)
    for number in unsilenced(view, NAME):
        pose = known[number]
        if pose is None or not is_strong_backbend(pose) or _is_followed(view, known, number, pose):
            continue
        step = view.step(number)
        rests = allowed(view, pose.rests or ("child's pose", "knees to chest"))
        fix = f"{rests[0]} next" if rests else "some breaths of something easy next"
        yield Advice(step.place, NAME, f"nothing rests from {quoted(step)}", fix, (number,))


def is_strong_backbend(pose: Pose) -> bool:
    """Whether a pose is a backbend that asks much."""
    return Does.BACKBEND in pose.does and pose.strength is Strength.STRONG


def _is_followed(view: ClassView, known: Sequence[Pose | None], number: int, pose: Pose) -> bool:
    """Whether something rests from it soon, or another strong backbend comes first, which is asked in its turn."""
    rests = [found for name in pose.rests if (found := view.library.find(name)) is not None]
    for later in range(number + 1, len(known)):
        if later > number + SOON_STEPS and view.span(later).hold_ms > view.span(number).held_ms + SOON_MS:
            return False
        found = known[later]
        if _rests(view.step(later), found, rests) or (found is not None and is_strong_backbend(found)):
            return True
    return False


def _rests(step: Step, pose: Pose | None, rests: Sequence[Pose]) -> bool:
    """Whether a step brings the back home: by a pose that the library names, a fold like one, or anything gentle that
    bends the other way. A pose that the library does not know may well do so."""
    if pose is None:
        return step.kind in POSED
    gentle = pose.strength is Strength.GENTLE and bool({Does.FOLD, Does.TWIST} & set(pose.does))
    alike = Does.FOLD in pose.does and pose.strength is not Strength.STRONG
    return gentle or any(
        pose.name == each.name or (alike and Does.FOLD in each.does and pose.base is each.base) for each in rests
    )
