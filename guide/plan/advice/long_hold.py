"""A pose held for much longer than is usual."""

from collections.abc import Iterator
from fractions import Fraction

from guide.plan.advice.facts import POSED, poses, quoted, unsilenced
from guide.plan.advice.view import Advice, ClassView
from guide.plan.grid import Grid
from guide.sequence.poses.pose import Base, Does, Pose, Strength
from guide.sequence.steps import InBreaths, InTime, Step
from guide.units import so_many

NAME = "long hold"

REASON = (
    "The library knows how long a pose is usually held at most. In a strong pose, form goes after that; in others, "
    "joints and patience do."
)

#: Well beyond the most: half as long again (common practice, no source). A strong pose is not held beyond it at all.
BEYOND = Fraction(3, 2)

#: On these people can stay for minutes in what is not strong, as restorative and other slow classes do.
_FLOOR = (Base.SEATED, Base.SUPINE, Base.PRONE, Base.KNEELING)


def advise(view: ClassView) -> Iterator[Advice]:
    known = poses(view)
    for number in unsilenced(view, NAME):
        step, pose = view.step(number), known[number]
        if step.kind not in POSED or step.hold is None or pose is None or _may_stay(step, pose):
            continue
        breaths = _breaths(step)
        most = pose.hold.most * (1 if pose.strength is Strength.STRONG else BEYOND)
        if breaths > most:
            what = f"{quoted(step)} is held for {so_many(breaths, 'breath')}; usually it is {pose.hold.most} at most"
            yield Advice(step.place, NAME, what, "hold it shorter, or twice with a rest between", (number,))


def _breaths(step: Step) -> int:
    if isinstance(step.hold, InBreaths):
        return step.hold.usual
    assert step.hold is not None
    return Grid(step.pace).whole_breaths(step.hold.usual_ms)


def _may_stay(step: Step, pose: Pose) -> bool:
    """Whether a pose may be kept for as long as one likes: those that rest, gentle ones on the floor, and other ones
    there that are held by the clock."""
    if Does.REST in pose.does:
        return True
    easy = pose.strength is Strength.GENTLE or isinstance(step.hold, InTime)
    return easy and pose.strength is not Strength.STRONG and pose.base in _FLOOR
