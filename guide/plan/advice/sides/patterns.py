"""What words tell about a limb, read as facts: in front or behind, bent or straight, up or down.

A pattern is written as people would say it, around the limb that is spoken of: `@leg|foot` is a side with its part of
the body, `...` any words of the clause up to the next limb, `|` one word or another, `$` the end of the clause, and
words in capitals are the groups below. `+` says that this limb has the fact, `-` that it has the opposite, `0` that
nothing is said of it. The first pattern that fits decides.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, lru_cache

from guide.plan.advice.sides.limb_facts import FACTS
from guide.plan.advice.sides.words import Mention, Sentence, limb_named, referring
from guide.sequence.steps import Side

_GROUPS = {
    "SOLE": "foot|heel|ankle|toe",
    "LEG": "leg|foot|toe|knee|thigh|shin|heel|ankle",
    "ARM": "arm|hand|elbow|forearm|finger|wrist",
    "STEP": "step|bring|swing|place|plant|slide|set|walk|lunge|move|take|draw|float|sweep|inch",
    "SEND": "send|press|push|kick|reach|stretch|shoot|shift|extend|lengthen",
    "LIFT": "lift|raise|float|draw|hug|pick|kick|swing",
    "REACH": "reach|stretch|sweep|lift|raise|open|point|extend|float|send|draw|swing|turn",
    "SETTLE": "set|place|put|rest|lay|bring|slide|lower|drop|plant|press|walk",
    "UP": "up|over|overhead|high|sky|ceiling|ear",
    "LEAN": "lean|bend|tip|tilt|bow|reach|fold|stretch|curve|arc|over|go|come",
    "TURN": "turn|twist|rotate|revolve|spin|open|spiral|unwind|swing",
    "GROUND": "floor|mat|ground|earth|blanket|cushion|block",
    "ON": "on|over|above|across|onto|to|outside|inside|against|beyond|beside",
    "JOINT": "thigh|knee|leg|calf|shin",
}

#: An arm laid on the back of its body.
_BACK_OF = (
    r"@(?:arm|hand|wrist|forearm) [^@]*?"
    r"(?:sacrum|tailbone|pelvis|(?:low|lower|small of \w+|behind|of) (?:\w+ )?back)"
)

#: Words that a pattern does not mind between two of its own.
_FILLERS = r"(?:(?:your|the|a|an|that|this|whole|little|gently|slowly|even|more|all|well|it|firm|tall|strong)\s+)*"


@dataclass(frozen=True, slots=True)
class Reading:
    """What a sentence says: that the limb of `side` has `fact`; of a limb with the opposite, the other side has it."""

    fact: str
    side: Side
    mention: Mention


def readings(sentence: Sentence, facts: tuple[str, ...]) -> Iterator[Reading]:
    """What a sentence says of its limbs in these facts."""
    for mention, spoken_of in (*zip(sentence.mentions, sentence.mentions, strict=True), *referring(sentence)):
        clause = clause_around(sentence, spoken_of)
        for fact in facts:
            sign = _sign(fact, clause)
            if sign in ("+", "-"):
                yield Reading(fact, spoken_of.side if sign == "+" else spoken_of.side.other, mention)


@lru_cache(maxsize=65536)
def _sign(fact: str, clause: str) -> str:
    return next((sign for sign, pattern in _patterns(fact) if pattern.search(clause)), "")


@cache
def _patterns(fact: str) -> tuple[tuple[str, re.Pattern[str]], ...]:
    lines = (line.split(maxsplit=1) for line in FACTS[fact].strip().splitlines())
    return tuple((sign, _compiled(text)) for sign, text in lines)


def _compiled(text: str) -> re.Pattern[str]:
    return re.compile("".join(_part(part) for part in text.split()))


def _part(part: str) -> str:
    """One place of a pattern: the words that may stand there, in their common forms, and the fillers behind them."""
    if part == "...":
        return r"[^@~]*?"
    if part == "$":
        return r"\s*$"
    if part == "BACK_OF":
        return _BACK_OF
    words = re.sub(r"[A-Z]+", lambda group: _GROUPS[group[0]], part)
    if part.startswith("@"):
        return rf"@(?:{words[1:]})(?:\s+|$){_FILLERS}"
    return rf"(?<!\S)~?(?:{words})(?:s|es|ed|ing)?(?:\s+|$){_FILLERS}"


#: Where a clause ends. Two small words of place with `and` between them stay together.
_JOINED = re.compile(
    r"\b(up|down|back|out|forward|over|long|tall) and (up|down|back|out|forward|over|away|in|long|heavy)\b"
)
_BREAKS = re.compile(r"\s*(?:[,()–—]|\b(?:and|then|while|but|until|so|as|or)\b)\s*")

#: `your front knee, the left one,`: the noun comes first, the side after it.
_APPOSED = re.compile(r"\b(\w+) (leg|foot|knee|heel|hand|arm|elbow|thigh) , (?:the |your )?@one(?: one)?\b")

#: `your left knee, the standing one,`: what is said of a limb after a comma.
_ONE = re.compile(r" , (the (?:\w+ )?one)\b")


@lru_cache(maxsize=16384)
def clause_around(sentence: Sentence, mention: Mention) -> str:
    """The clause that a mention stands in, with the mention as `@knee` and every other one as `~knee`."""
    made: list[str] = []
    number = 0
    starting = {each.first: each for each in (*sentence.mentions, mention)}
    while number < len(sentence.words):
        each = starting.get(number)
        if each is None:
            made.append(sentence.words[number])
            number += 1
            continue
        made.extend(word for word in sentence.words[number + 1 : each.last - 1] if each.limb not in ("way", "one"))
        made.append(("@" if each is mention else "~") + _limb(sentence, each))
        number = each.last
    text = _ONE.sub(r" \1", _JOINED.sub(r"\1 \2", _APPOSED.sub(r"\1 @\2", " ".join(made))))
    return next((clause for clause in _BREAKS.split(text) if "@" in clause), "")


def _limb(sentence: Sentence, mention: Mention) -> str:
    """The part of the body that a mention is of: for "the left one", what was named last before it."""
    before = [word for word in sentence.words[: mention.first] if word not in ("the", "your")]
    if mention.limb != "one" or before[-1:] == [","]:
        return mention.limb
    return next(filter(None, map(limb_named, reversed(before))), "one")
