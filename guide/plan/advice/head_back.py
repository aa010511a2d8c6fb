"""A head that is thrown or dropped back."""

import re
from collections.abc import Iterator

from guide.plan.advice.said import told
from guide.plan.advice.view import Advice, ClassView

NAME = "head back"

REASON = (
    "A head that is thrown back folds the neck at one place and may pinch what runs through it. It follows the chest, "
    "last, as far as the neck stays long."
)

_FAR = r"(?: (?:all the way|right|far|fully|completely|way|straight|as far as (?:it|you) (?:will go|can|goes?)))*"

_PATTERN = re.compile(
    rf"\b(?:throw|drop|fling|toss|snap|jerk|whip|crank|hurl|flop|jam|slam)(?:ing)? (?:your|the) (?:head|neck){_FAR} "
    r"(?:back|backward|backwards)\b(?! (?:to|on|onto|into|against|over|in|down|up)\b)"
    rf"|\b(?:let|allow) (?:your|the) (?:head|neck)(?: to)? (?:drop|fall|hang|flop|go|swing|roll|tip){_FAR} "
    r"(?:back|backward|backwards)\b(?! (?:to|on|onto|into|against|over|in|down|up)\b)"
    rf"|\b(?:head|neck)(?: (?:is|falls|drops|goes|hangs|flops))?(?: (?:dropped|thrown|flung))?{_FAR} "
    r"(?:thrown|dropped|flung|drops|falls|flops|hangs) (?:all the way |right |far )?(?:back|backward|backwards)\b"
    r"(?! (?:to|on|onto|into|against|over|in|down|up)\b)"
    r"|\bcrank (?:your|the) neck\b",
    re.IGNORECASE,
)


def advise(view: ClassView) -> Iterator[Advice]:
    fix = "“lift your chest, and let your head follow as far as your neck stays long”"
    yield from told(view, NAME, _PATTERN, "folds the neck", fix)
