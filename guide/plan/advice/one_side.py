"""A pose with two sides, done on one of them, for longer on one of them, or on nobody knows which."""

import re
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from guide.plan.advice.facts import POSED, cues_of_steps, held_ms, named, poses, quoted
from guide.plan.advice.sides.words import mentions
from guide.plan.advice.view import Advice, ClassView
from guide.plan.timeline import Cue
from guide.sequence.poses.names import folded
from guide.sequence.poses.pose import Does, Pose
from guide.sequence.steps import Side, Step, StepKind
from guide.units import seconds_text

NAME = "one side"

REASON = (
    "What is done on the right is done on the left, for as long: it keeps the body even, and people notice when a side "
    "is missing. Where only one side is meant, say so and silence this."
)

#: The sides clearly differ from a quarter of the longer one on, and two breaths at least (common practice, no source:
#: a breath more or less is what people do by themselves).
CLEAR_SHARE = Fraction(1, 4)
CLEAR_BREATHS = 2

#: Moves that name one side so often are meant for both (common practice, no source); once is a way to get up.
OFTEN = 2

_LIMBS = dict.fromkeys(("foot", "heel", "toe", "knee", "leg", "thigh", "shin", "ankle"), "leg") | dict.fromkeys(
    ("hand", "arm", "elbow", "forearm", "finger"), "arm"
)

#: Words by which people change sides without one being named.
_CHANGING = re.compile(
    r"\b(?:other (?:side|leg|foot|arm|hand|knee|way)|(?:change|switch|swap|alternat\w*) (?:sides|legs|feet|arms)?|"
    r"both sides|each (?:side|leg|foot|arm)|opposite (?:side|leg|foot)|one (?:leg|foot|arm|side)|sides)\b",
    re.IGNORECASE,
)

_SIDE = re.compile(r"\b(right|left)\b", re.IGNORECASE)


@dataclass(slots=True)
class _Done:
    """One pose in the whole class: the steps of each side, and whether some were on a side that cannot be told."""

    steps: dict[Side, list[int]] = field(default_factory=lambda: defaultdict(list))
    unclear: bool = False


def advise(view: ClassView) -> Iterator[Advice]:
    known, cues = poses(view), cues_of_steps(view)
    done: dict[str, _Done] = defaultdict(_Done)
    for number, step in enumerate(view.steps.steps):
        if named(step) is None:
            continue
        pose, side = known[number], _side(step, known[number], cues[number])
        if _asks_for_a_side(step, pose) and not _says_a_side(view, cues, number):
            what = f"{quoted(step)} has a right and a left, and nothing says which is meant"
            yield Advice(step.place, NAME, what, "put it under `both sides:`, or give it a `side:`", (number,))
        if side is not None:
            done[_key(step)].steps[side].append(number)
        elif pose is not None and pose.sides:
            done[_key(step)].unclear = True
    for each in done.values():
        if not each.unclear:
            yield from _uneven(view, known, each.steps)
    yield from _one_limb(view, cues)


def _one_limb(view: ClassView, cues: Sequence[Sequence[Cue]]) -> Iterator[Advice]:
    """Moves that again and again name one leg or arm, in a class that never names the other."""
    named_in: dict[tuple[str, Side], list[int]] = defaultdict(list)
    for number, step in enumerate(view.steps.steps):
        if step.side is not None and step.kind is not StepKind.MOVE:
            continue  # A pose with its two sides says nothing of the moves.
        said = " ".join(cue.words for cue in cues[number])
        if _CHANGING.search(said):
            return
        if step.side is not None:
            for limb in _LIMBS.values():
                named_in[limb, step.side].append(number)
        for mention in mentions(said):
            if mention.limb in _LIMBS:
                named_in[_LIMBS[mention.limb], mention.side].append(number)
    for (limb, side), numbers in named_in.items():
        moves = [number for number in numbers if view.step(number).kind is StepKind.MOVE]
        if len(moves) >= OFTEN and not named_in.get((limb, side.other)):
            what = f"moves name the {side.value} {limb} {len(moves)} times, and the {side.other.value} never"
            fix = f"do the {side.other.value} too, with `both sides:`"
            yield Advice(view.step(moves[0]).place, NAME, what, fix, tuple(dict.fromkeys(numbers)))


def _key(step: Step) -> str:
    return step.known or folded(named(step) or "")


def _side(step: Step, pose: Pose | None, cues: Sequence[Cue]) -> Side | None:
    """The side of a step: as the file gives it, or the only one that the name of a pose with sides, or else its words,
    speak of."""
    if step.side is not None or pose is None or not pose.sides:
        return step.side
    for texts in ([named(step) or ""], [cue.words for cue in cues]):
        said = {word.lower() for text in texts for word in _SIDE.findall(text)}
        if len(said) == 1:
            return Side(said.pop())
    return None


def _asks_for_a_side(step: Step, pose: Pose | None) -> bool:
    """Whether a pose with sides is held and the file gives none. To rest, people take the side that they like."""
    if step.kind is not StepKind.POSE or step.side is not None:
        return False
    return pose is not None and pose.sides and Does.REST not in pose.does


def _says_a_side(view: ClassView, cues: Sequence[Sequence[Cue]], number: int) -> bool:
    """Whether the name of a pose, its words, or those of the moves and talks right before it speak of a side."""
    first = number
    while first and view.step(first - 1).kind in (StepKind.MOVE, StepKind.TALK):
        first -= 1
    said = [named(view.step(number)) or "", *(cue.words for each in cues[first : number + 1] for cue in each)]
    return any(map(_SIDE.search, said))


def _uneven(view: ClassView, known: Sequence[Pose | None], steps: dict[Side, list[int]]) -> Iterator[Advice]:
    numbers = tuple(sorted(steps[Side.RIGHT] + steps[Side.LEFT]))
    first = view.step(numbers[0])
    missing = [side for side in Side if not steps[side]]
    if missing:
        if any((pose := known[number]) is None or pose.sides for number in numbers):
            what = f"{quoted(first)} is done on the {missing[0].other.value} side only"
            yield Advice(first.place, NAME, what, f"do the {missing[0].value} too, with `both sides:`", numbers)
        return
    total_ms = {side: sum(held_ms(view.span(n)) for n in steps[side] if view.step(n).kind in POSED) for side in Side}
    short_ms, long_ms = sorted(total_ms.values())
    clear_ms = max(long_ms * CLEAR_SHARE, CLEAR_BREATHS * first.pace.period_ms)
    if short_ms and long_ms - short_ms >= clear_ms:
        lengths = " and ".join(f"{seconds_text(ms)} on the {side.value}" for side, ms in total_ms.items())
        yield Advice(first.place, NAME, f"{quoted(first)} is held {lengths}", "hold both sides for as long", numbers)
