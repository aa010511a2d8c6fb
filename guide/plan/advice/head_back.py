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

_HEAD = r"(?:your|the|their) (?:heads?|necks?)"
_IT = rf"(?:{_HEAD}|it)"
_FAR = r"(?:(?:all the way|right|far|fully|completely|way|straight|as far as (?:it|you) (?:will go|can|goes?)) )*"
_BACK = rf"{_FAR}(?:back|backwards?|behind you)\b(?! (?:to|on|onto|into|against|over|in|down|up|of)\b)"
_DROP = r"(?:drop|fall|hang|flop|go|swing|roll|tip)"
_THROW = r"(?:throw|fling|toss|snap|jerk|whip|crank|hurl|flop|jam|slam|drop|hang)"

_PATTERN = re.compile(
    rf"\b{_THROW}(?:ing)? {_HEAD} {_BACK}"
    rf"|\b(?:let|allow|letting) {_IT}(?: to)? {_DROP} {_BACK}"
    rf"|\b(?:head|neck)(?: (?:is|falls|drops|goes|hangs|flops))? (?:(?:dropped|thrown|flung|drops|falls|flops|hangs) "
    rf"{_BACK}|all the way back\b|as far back as\b)"
    rf"|\b(?:tip|tilt|take|bring|bend|let) {_HEAD} (?:(?:go|all the way|right|far) )*back (?:as far as|all the way)\b"
    rf"|\b(?:tip|tilt|take|bend) {_HEAD} (?:all the way|right|as far) back\b|\bcrank {_HEAD}",
    re.IGNORECASE,
)


def advise(view: ClassView) -> Iterator[Advice]:
    fix = "“lift your chest, and let your head follow as far as your neck stays long”"
    yield from told(view, NAME, _PATTERN, "folds the neck", fix)
