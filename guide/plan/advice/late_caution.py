"""A caution that comes after the pose has begun."""

import re
from collections.abc import Iterator

from guide.plan.advice.facts import poses, quoted, sentence
from guide.plan.advice.said import own_words
from guide.plan.advice.view import Advice, ClassView
from guide.sequence.poses.pose import Does, Pose
from guide.sequence.steps import OUT_OF, Step, StepKind, Words

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
    r"|\b(?:stay|stays|keep|rest) (?:down|out|below|on the floor)\b|\b(?:rest|sit this|lie down) (?:\w+ ){0,3}instead\b"
    r"|\bis (?:forbidden|dangerous|contraindicated)\b|\bcontraindicated\b|\bbetter not\b",
    re.IGNORECASE,
)
#: Words of a pose that is over.
_OVER = re.compile(
    r"\b(?:that (?:pose|one|breath|practice)|those (?:two|three|poses|breaths)|what we (?:just )?did|should have|"
    r"do that|have done)\b",
    re.I,
)
_STILL_TO_COME = re.compile(
    r"\b(?:next|coming|later|in a moment|soon|following|about to|will|stronger)\b", re.IGNORECASE
)


def advise(view: ClassView) -> Iterator[Advice]:
    known = poses(view)
    # The pose that people are in, and the last one that was not easy.
    last: int | None = None
    hard: int | None = None
    warned: set[str] = set()
    for number, step in enumerate(view.steps.steps):
        if step.kind is StepKind.POSE:
            last = number
            hard = hard if _is_easy(known[number]) else number
        elif step.kind is not StepKind.TALK:
            last = None
        for words in own_words(view, number):
            about = {found.lower() for found in _WHO.findall(words.text)}
            meant = hard if hard != last and _OVER.search(words.text) else last
            if meant is not None and meant == hard and about - warned and _is_late(step, words, meant == last):
                pose = quoted(view.step(meant))
                when = f"people are in {pose} already" if meant == last else f"{pose} is over"
                what = f"{sentence(words.text)} is said when {when}"
                fix = "say it before the pose, with something else to do: `say:` or the first line of `enter:`"
                yield Advice(words.place, NAME, what, fix, tuple(sorted({meant, number})))
            warned |= about


def _is_easy(pose: Pose | None) -> bool:
    return pose is not None and Does.REST in pose.does


def _is_late(step: Step, words: Words, is_in_it: bool) -> bool:
    """Whether words are a caution in a hold, on the way out of it, or of what is over."""
    text = words.text
    if not _LEAVE_OUT.search(text) or _STILL_TO_COME.search(text):
        return False
    inside = words in step.words if step.kind is StepKind.POSE else step.title.startswith(OUT_OF)
    return bool(_OVER.search(text)) or (is_in_it and inside)
