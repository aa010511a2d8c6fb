"""A wall or a chair that nobody is given the time to go to."""

import re
from collections.abc import Iterator

from guide.plan.advice.facts import poses, quoted
from guide.plan.advice.props import announced_in, needed, needed_in
from guide.plan.advice.said import own_words
from guide.plan.advice.view import Advice, ClassView
from guide.sequence.poses.pose import Base
from guide.sequence.steps import Step, StepKind
from guide.units import clock

NAME = "no time to fetch"

REASON = (
    "To sit up, take the mat to the wall and lie down there takes most people half a minute, and the voice is already "
    "in the pose. Words for the way and a free `rest:` let everyone arrive."
)

#: So long to get up and go to the wall, or fetch a chair (common practice, no source).
TIME_MS = 25_000

PLACES = ("wall", "chair")

_PLACING = re.compile(r"\b(?:mats?|back|near|have|beside|close)\b", re.IGNORECASE)
_LEAVING = re.compile(r"\baway from (?:the|your) wall\b|\bback to (?:your|the) (?:mats?|middle)\b", re.IGNORECASE)


def advise(view: ClassView) -> Iterator[Advice]:
    known = poses(view)
    there: set[str] = set()
    led: set[str] = set()
    kept: set[str] = set()
    last: int | None = None
    for number, step in enumerate(view.steps.steps):
        if not _is_posed(step):
            kept |= announced_in(view, number) & ({"chair"} if last is not None else _placed(step))
            text = " ".join(words.text for words in own_words(view, number))
            led = set() if _LEAVING.search(text) else led | (needed(text) & {"wall"})
            there = set() if _LEAVING.search(text) else there
            continue
        needs = needed_in(step, known[number]) & set(PLACES)
        free_ms = TIME_MS if last is None else view.span(number).hold_ms - view.span(last).held_ms
        for place in sorted(needs - there - kept) if free_ms < TIME_MS else ():
            what = f"{quoted(step)} needs a {place}, and there are {clock(free_ms)} to go to one"
            yield Advice(step.place, NAME, what, "a `say:` that leads there, and a `rest:` of half a minute", (number,))
        pose = known[number]
        there = needs | led | (there if pose is None or pose.base is Base.STANDING else set())
        led, last = set(), number
        kept |= needs & {"chair"}


def _is_posed(step: Step) -> bool:
    return step.kind in (StepKind.POSE, StepKind.MOVE) or (step.kind is StepKind.REST and step.known is not None)


def _placed(step: Step) -> set[str]:
    """What the first words of a class put within reach: a chair that they name, a wall that the mat is put to."""
    text = " ".join(words.text for words in step.entry).lower()
    return {"chair", "wall"} if _PLACING.search(text) else {"chair"}
