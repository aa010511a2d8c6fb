"""A change from one base to another that nobody is led through."""

from collections.abc import Iterator, Sequence

from guide.plan.advice.facts import is_own, named, poses, quoted
from guide.plan.advice.view import Advice, ClassView
from guide.sequence.poses.pose import Base, Pose
from guide.sequence.steps import Step, StepKind, Words

NAME = "no way"

REASON = (
    "From standing to lying down is a way of many small steps, and people take it as they are led. The name of the "
    "next pose is not enough; the library's words say how to be in it, not how to come from here."
)

#: Changes of base that take more than a shift (common practice, no source), each way round.
FAR = {
    frozenset(pair)
    for pair in (
        (Base.STANDING, Base.SUPINE),
        (Base.STANDING, Base.PRONE),
        (Base.STANDING, Base.SEATED),
        (Base.KNEELING, Base.SUPINE),
        (Base.ALL_FOURS, Base.SUPINE),
        (Base.PRONE, Base.SUPINE),
        (Base.PRONE, Base.SEATED),
        (Base.ARM_BALANCE, Base.SUPINE),
        (Base.ARM_BALANCE, Base.PRONE),
        *((Base.INVERTED, base) for base in Base if base is not Base.INVERTED),
    )
}


def advise(view: ClassView) -> Iterator[Advice]:
    known = poses(view)
    last: int | None = None
    led = False
    for number, step in enumerate(view.steps.steps):
        led = led or _leads(step, known[number])
        if named(step) is None:
            continue
        here, before = known[number], None if last is None else known[last]
        if last is not None and here and before and not led and frozenset((before.base, here.base)) in FAR:
            what = f"from {before.base.value} to {here.base.value} with no words for the way"
            fix = f"lead people there in the `enter` of {quoted(step)}, or by a move or a `say` before it"
            yield Advice(step.place, NAME, what, fix, (last, number))
        last, led = number, False


def _leads(step: Step, pose: Pose | None) -> bool:
    """Whether a step takes people somewhere: a move, words in a time of their own, a free rest, words of the file on
    the way into a hold."""
    match step.kind:
        case StepKind.MOVE:
            return True
        case StepKind.REST if pose is None:
            return True
        case StepKind.SILENCE:
            return False
    return _own(step.entry)


def _own(words: Sequence[Words]) -> bool:
    return any(map(is_own, words))
