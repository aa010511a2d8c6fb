"""A deep pose with nothing before it that leads to it."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from guide.plan.advice.cautions import allowed
from guide.plan.advice.facts import MINUTE_MS, held_ms, poses_come_to, quoted
from guide.plan.advice.said import own_words
from guide.plan.advice.view import Advice, ClassView
from guide.sequence.poses.in_words import poses_named
from guide.sequence.poses.pose import Does, Pose, Strength
from guide.sequence.steps import StepKind

NAME = "unprepared"

REASON = (
    "A deep pose asks for warm muscles and for the shape in small first. The library names poses that lead to it, and "
    "one of them at least should have come before."
)

#: Poses that ask for range, where a moderate one is deep as well (common practice, no source).
DEEP = {Does.FOLD, Does.BACKBEND, Does.TWIST, Does.SIDE_BEND, Does.HIP_OPENING}

#: Warm enough for what is moderate: so many moves, a pose that is not gentle for three of them (common practice, no
#: source).
WARM_MOVES = 10

_MOST_NAMED = 3


def advise(view: ClassView) -> Iterator[Advice]:
    came: dict[str, Pose] = {}
    told: set[str] = set()
    warmed = 0
    for number, pose in enumerate(poses_come_to(view)):
        step = view.step(number)
        warmed += 1 if step.kind is StepKind.MOVE else 0
        if pose is None:
            continue
        # A move passes through its pose in a breath, as a salutation does; what is held is what has to be prepared.
        if step.kind is StepKind.POSE and NAME not in step.let_be and pose.name not in told and _is_deep(pose):
            leading = _names(view, pose.after)
            warm = pose.strength is Strength.MODERATE and warmed >= WARM_MOVES
            passed = _passed(view, number)
            ready = warm or passed & set(leading) or any(_leads(view, each, pose, leading) for each in came.values())
            if leading and not ready:
                told.add(pose.name)
                what = f"nothing before {quoted(step)} leads to it"
                yield Advice(step.place, NAME, what, _fix(allowed(view, leading)), (number,))
        # A gentle pose that is held for a minute and more, as in yin, goes as deep as a moderate one.
        deepened = pose.strength is Strength.GENTLE and held_ms(view.span(number)) >= MINUTE_MS
        warmed += 3 if step.kind is StepKind.POSE and pose.strength is not Strength.GENTLE else 0
        came[pose.name] = replace(pose, strength=Strength.MODERATE) if deepened else pose


def _passed(view: ClassView, number: int) -> set[str]:
    """The poses from which the words of the file lead into a step: `From all fours, …`."""
    said = [words.text for words in own_words(view, number) if "from " in words.text.lower()]
    return {pose.name for text in said for pose in poses_named(text, view.library)}


def _is_deep(pose: Pose) -> bool:
    if pose.strength is Strength.MODERATE:
        return bool(DEEP & set(pose.does))
    return pose.strength is Strength.STRONG


def _names(view: ClassView, names: Iterable[str]) -> list[str]:
    found = (view.library.find(name) for name in names)
    return [each.name for each in found if each is not None]


def _leads(view: ClassView, before: Pose, pose: Pose, leading: Sequence[str]) -> bool:
    """Whether a pose that came leads to another: named so by the library, or one of its family that asks as much.

    Of a family are two poses that bend the body alike, that stand on the same ground and do the same, or that the same
    poses lead to; and who rests from a pose in another has done the harder one.
    """
    if before.name == pose.name or before.name in leading or pose.name in _names(view, before.rests):
        return True
    shared = set(before.does) & set(pose.does) - {Does.REST}
    if before.strength is Strength.GENTLE or Does.REST in before.does:
        return False
    alike = bool(shared & DEEP) or (before.base is pose.base and bool(shared))
    asks_as_much = before.strength is pose.strength or before.strength is Strength.STRONG
    return alike or (asks_as_much and bool(set(_names(view, before.after)) & set(leading)))


def _fix(names: list[str]) -> str:
    """`first cobra, locust or bridge`, a few of them."""
    few = names[:_MOST_NAMED]
    if not few:
        return "leave it out, or lead to it in small steps"
    return f"first {', '.join(few[:-1])} or {few[-1]}" if len(few) > 1 else f"first {few[0]}"
