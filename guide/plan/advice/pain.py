"""Words that ask people to go through pain, or past their limit."""

import re
from collections.abc import Iterator

from guide.plan.advice.said import told
from guide.plan.advice.view import Advice, ClassView

NAME = "pain"

REASON = (
    "Pain is how a joint or a nerve says stop, and people in a group do what the voice says. What is strong may be "
    "stayed with; what hurts is come out of."
)

_PAIN = r"(?:pain|hurt|hurting|agony|stabbing)\b"

_PATTERN = re.compile(
    rf"\b(?:push|breathe|work|go|move|press|power|fight|sit|muscle|stay|get|stretch|grit|drive|lean|smile)(?:ing)?"
    rf"(?: right| deeply| deeper| slowly)? (?:through|past|beyond|into|with|over|against)"
    rf"(?: (?:the|your|any|that|all|this|some))*(?: \w+)? {_PAIN}"
    rf"|\b(?:ignore|disregard|forget|override|endure|bear|overcome|conquer|welcome|love|enjoy)"
    rf"(?: (?:the|your|any|that|all|this|whatever|what))*(?: \w+)? (?:{_PAIN}|hurts\b|warning)"
    r"|\bno pain,? no gain\b|\bpain is (?:only|just|good|weakness|gain|progress|temporary|your (?:friend|teacher))\b"
    r"|\b(?:it|this) (?:should|must|has to|ought to|is (?:meant|supposed) to) hurt\b"
    r"|\beven (?:if|when|though) (?:it|that|this|your \w+) (?:hurts?|aches?|burns?)\b"
    r"|\bif it (?:hurts|burns)\W+(?:you are|you're|it is|it's|that is|that's|then it)\b(?! (?:too|not))"
    r"|\b(?:push|go|stretch|force|press|pull|drive)(?:ing)?(?: (?:yourself|it|deeper|further|hard))? "
    r"(?:past|beyond|over|through) (?:your|the) (?:\w+ )?(?:limits?|edge|boundar(?:y|ies)|resistance)\b"
    r"|\bforce (?:your|yourself|it|the|that|this)\b",
    re.IGNORECASE,
)


def advise(view: ClassView) -> Iterator[Advice]:
    what, fix = "asks people to go through pain", "say what to do instead when it hurts: come up, or out"
    yield from told(view, NAME, _PATTERN, what, fix)
