"""What words make a limb do, read as a role in the pose: the leg in front, the leg lifted, the side turned to.

A pattern is written as people would say it, around the side that is spoken of: `@leg|foot` is that side with its part
of the body, `...` any words of the clause, `|` one word or another, `^` and `$` the ends of the clause, and words in
capitals are the groups below. `+` says that this side has the role, `-` that the other has it, `0` that nothing is said
of it. The first pattern that fits decides.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, lru_cache

from guide.plan.advice.sides.role_patterns import ROLES
from guide.plan.advice.sides.words import Mention, Sentence
from guide.sequence.steps import Side

_GROUPS = {
    "FOOT": "foot|heel|ankle",
    "LEG": "leg|foot|toe|knee|thigh|shin|heel|ankle|one",
    "ARM": "arm|hand|elbow|forearm|finger|wrist",
    "STEP": "step|bring|swing|place|plant|slide|set|walk|lunge|move|take|draw|float|sweep",
    "LIFT": "lift|raise|float|draw|hug|pick|kick",
    "REACH": "reach|stretch|sweep|lift|raise|open|point|extend|float|send|draw|swing",
    "SETTLE": "set|place|put|rest|lay|bring|slide|lower|drop|plant|press|walk",
    "UP": "up|over|overhead|high|sky|ceiling|ear",
    "LEAN": "lean|bend|tip|tilt|bow|reach|fold|stretch|curve|arc|over|go|come",
    "TURN": "turn|twist|rotate|revolve|spin|open|spiral|unwind",
    "GROUND": "floor|mat|ground|earth|blanket|cushion",
}

#: Words that a pattern does not mind between two of its own.
_FILLERS = r"(?:(?:your|the|a|an|that|this|whole|little|gently|slowly|even|more|all|well|it|one|firm|tall|strong)\W+)*"


@dataclass(frozen=True, slots=True)
class RoleReading:
    """What a sentence says: that `side` has `role` (or, in a pattern of the other side, its other side has it)."""

    role: str
    side: Side
    mention: Mention


def readings(sentence: Sentence, roles: tuple[str, ...]) -> Iterator[RoleReading]:
    """What a sentence says of the sides in these roles."""
    for mention in sentence.mentions:
        clause = clause_around(sentence, mention)
        for role in roles:
            sign = _sign(role, clause)
            if sign in ("+", "-"):
                yield RoleReading(role, mention.side if sign == "+" else mention.side.other, mention)


@lru_cache(maxsize=16384)
def _sign(role: str, clause: str) -> str:
    return next((sign for sign, pattern in _patterns(role) if pattern.search(clause)), "")


@cache
def _patterns(role: str) -> tuple[tuple[str, re.Pattern[str]], ...]:
    lines = (line.split(maxsplit=1) for line in ROLES[role].strip().splitlines())
    return tuple((sign, _compiled(text)) for sign, text in lines)


def _compiled(text: str) -> re.Pattern[str]:
    for name, words in _GROUPS.items():
        text = re.sub(rf"\b{name}\b", words, text)
    return re.compile("".join(_part(part) for part in text.split()))


def _part(part: str) -> str:
    """One place of a pattern: the words that may stand there, in their common forms, and the fillers behind them."""
    if part == "...":
        return r"[^@]*?"
    if part in "^$":
        return r"^(?:(?:your|the) )?" if part == "^" else r"\s*$"
    if part.startswith("@"):
        return rf"@(?:{part[1:]})(?:\s+|$){_FILLERS}"
    return rf"(?<!\S)~?(?:{part})(?:s|es|ed|ing)?(?:\s+|$){_FILLERS}"


#: Where a clause ends. Two small words of place with `and` between them stay together.
_JOINED = re.compile(
    r"\b(up|down|back|out|forward|over|long|tall) and (up|down|back|out|forward|over|away|in|long|heavy)\b"
)
_BREAKS = re.compile(r"\s*(?:[,()–—]|\b(?:and|then|while|but|until|so|as|or)\b)\s*")

#: `your front knee, the left one,`: the noun comes first, the side after it.
_APPOSED = re.compile(r"\b(\w+) (leg|foot|knee|heel|hand|arm|elbow|thigh) , (?:the |your )?@one(?: one)?\b")


@lru_cache(maxsize=16384)
def clause_around(sentence: Sentence, mention: Mention) -> str:
    """The clause that a mention stands in, with the mention as `@knee` and every other one as `~knee`."""
    made: list[str] = []
    number = 0
    starting = {each.first: each for each in sentence.mentions}
    while number < len(sentence.words):
        each = starting.get(number)
        if each is None:
            made.append(sentence.words[number])
            number += 1
            continue
        made.extend(word for word in sentence.words[number + 1 : each.last - 1] if each.limb not in ("way", "one"))
        made.append(("@" if each is mention else "~") + each.limb)
        number = each.last
    text = _JOINED.sub(r"\1 \2", _APPOSED.sub(r"\1 @\2", " ".join(made)))
    return next((clause for clause in _BREAKS.split(text) if "@" in clause), "")
