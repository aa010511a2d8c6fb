"""Knees or elbows that are to be locked."""

import re
from collections.abc import Iterator

from guide.plan.advice.said import told
from guide.plan.advice.view import Advice, ClassView

NAME = "locked joints"

REASON = (
    "A locked knee or elbow hangs in its ligaments, and in people who are very mobile it goes past straight. A long "
    "leg with firm muscles and a soft back of the knee carries as well."
)

_JOINT = r"(?:knees?|elbows?|legs?|arms?|joints?|ankles?|hips?)\b"
_WHICH = r"(?:(?:your|the|both|that|all|out|right|left|standing|front|back|supporting|top|bottom|other|<side>) )*"
_HARD = r"(?:(?:all the way|right|fully|completely|hard|firmly|as far|really|straight|tight(?:ly)?|and|up) )*"
_ELSEWHERE = r"(?! (?:leg|knee|foot|to|toward|towards|into|against|down|up|in|over|onto|beside|on)\b)"

_PATTERN = re.compile(
    rf"\block(?:ed|ing|s)? {_WHICH}{_JOINT}"
    rf"|\b{_JOINT}(?: (?:is|are|stays?|be))? {_HARD}locked\b|\b(?:them|it|they|you) lock\b"
    r"|\bkeep (?:it|them|both) locked\b|\blocked at the (?:knees?|elbows?)\b"
    rf"|\b(?:snap|jam|slam|shove|force|push|press) {_WHICH}(?:knees?|elbows?) {_HARD}back(?:ward|wards)?\b{_ELSEWHERE}"
    rf"|\b(?:snap|jam|slam|force|shove) {_WHICH}(?:{_JOINT}) {_HARD.replace('straight|', '')}straight\b"
    rf"|\bstraighten {_WHICH}{_JOINT} (?:until|till) (?:they|it|you) (?:clicks?|locks?|snaps?|cannot|can['’]t)\b"
    r"|\bhyper-?extend(?:ing)?\b",
    re.IGNORECASE,
)


def advise(view: ClassView) -> Iterator[Advice]:
    fix = "“straighten your legs, and keep the backs of the knees soft”"
    yield from told(view, NAME, _PATTERN, "asks for a locked joint", fix)
