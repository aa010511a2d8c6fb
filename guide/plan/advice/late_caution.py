"""A caution that comes after the pose has begun."""

import re
from collections.abc import Iterator

from guide.plan.advice.facts import poses, quoted, sentence
from guide.plan.advice.view import Advice, ClassView
from guide.sequence.poses.pose import Does, Pose
from guide.sequence.steps import Step, StepKind, Words

NAME = "late caution"

REASON = (
    "Whom a pose may harm has to know before it begins, with something else to do. In the middle of it they have done "
    "it already, and to come out in front of everyone is hard."
)

_WHO = re.compile(
    r"\b(?:pregnan\w*|expecting|trimester|glaucoma|retina\w*|blood pressure|"
    r"heart (?:disease|condition|trouble|problems?)|injur\w*|herni\w*|epilep\w*|osteoporosis|"
    r"brittle|surgery|operation|slipped dis[ck]|herniated|dis[ck] problems?"
    r"|detached|stroke|menstruat\w*|vertigo|bad (?:neck|back|knees?)|(?:neck|back|knee|shoulder|wrist|eye) "
    r"(?:problems?|issues?|trouble|condition|injury|pain))\b",
    re.IGNORECASE,
)
_LEAVE_OUT = re.compile(
    r"\b(?:do not|don['’]t|should not|shouldn['’]t|must not|never|please not|should never|ought not to) (?:\w+ ){0,2}?"
    r"(?:do|come|go|be|try|take|practi[sc]e|attempt|stay|enter|join|lift|lie|kick)\b"
    r"|\b(?:leave|leaving|left|skip|skipped|sit|sat|miss)\b[^.;]{0,24}\bout\b"
    r"|\b(?:skip|avoid|omit) (?:this|it|that|the)\b"
    r"|\bnot for you\b|\bthis (?:pose|one) is not\b|\bshould have\b|\bcome out (?:now|at once|of (?:it|this))\b"
    r"|\bis (?:forbidden|dangerous|contraindicated)\b|\bcontraindicated\b|\bbetter not\b",
    re.IGNORECASE,
)
_STILL_TO_COME = re.compile(
    r"\b(?:next|coming|later|in a moment|soon|following|about to|will|stronger)\b", re.IGNORECASE
)


def advise(view: ClassView) -> Iterator[Advice]:
    known = poses(view)
    last: int | None = None
    for number, step in enumerate(view.steps.steps):
        if step.kind is StepKind.POSE:
            last = number
        elif step.kind is not StepKind.TALK:
            last = None
        if last is None or _is_easy(known[last]):
            continue
        for words in _after_the_way_in(step):
            if _is_caution(words):
                what = f"{sentence(words.text)} is said when people are in {quoted(view.step(last))} already"
                fix = "say it before the pose, with something else to do: `say:` or the first line of `enter:`"
                yield Advice(words.place, NAME, what, fix, tuple(sorted({last, number})))


def _is_easy(pose: Pose | None) -> bool:
    return pose is not None and Does.REST in pose.does


def _after_the_way_in(step: Step) -> tuple[Words, ...]:
    """The file's words in a hold, and those that lead out of it."""
    said = step.words if step.kind is StepKind.POSE else step.entry if step.kind is StepKind.TALK else ()
    return tuple(words for words in said if words.from_library == 0)


def _is_caution(words: Words) -> bool:
    text = words.text
    return bool(_WHO.search(text) and _LEAVE_OUT.search(text)) and not _STILL_TO_COME.search(text)
