"""What words tell about a limb, read as facts: in front or behind, bent or straight, up or down.

A pattern is written as people would say it, around the limb that is spoken of: `@leg|foot` is a side with its part of
the body, `...` any words of the clause up to the next limb, `&` the same and the other way round, `|` one word or
another, `$` the end of the clause, and words in capitals are the groups below. `+` says that this limb has the fact,
`-` that it has the opposite, `0` that nothing is said of it. The first pattern that fits decides.
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
    "SLIDE": "slide|slip|glide|walk",
    "RISE": "rise|float|lift|hover|fly|raise|climb|aloft|drift|soar",
    "PRESS": "press|push|root|ground|drive|plant",
    "HOLD": "hold|catch|take|grab|clasp|loop|grip|hook|wrap",
    "STRAIGHTEN": "straighten|stretch|lengthen|extend|unbend",
    "LIFT": "lift|raise|float|draw|hug|pick|kick|swing",
    "REACH": "reach|stretch|sweep|lift|raise|open|point|extend|float|send|draw|swing|turn",
    "SETTLE": "set|place|put|rest|lay|bring|slide|lower|drop|plant|press|walk",
    "UP": "up|over|overhead|high|sky|ceiling|roof|ear|aloft",
    "SKY": "sky|ceiling|roof",
    "LEAN": "lean|bend|tip|tilt|bow|reach|fold|stretch|curve|arc|over|go|come",
    "TURN": "turn|twist|rotate|revolve|spin|open|spiral|unwind|swing|wring|swivel",
    "GROUND": "floor|mat|ground|earth|blanket|cushion|block",
    "ON": "on|over|above|across|onto|to|outside|inside|against|beyond|beside",
    "JOINT": "thigh|knee|leg|calf|shin",
}

#: Words that a pattern does not mind between two of its own.
_FILLERS = (
    r"(?:(?:your|the|a|an|that|this|whole|gently|slowly|even|more|all|well|it|firm|tall|strong|straight|bent|"
    r"outer|inner|upper)\s+)*"
)


@dataclass(frozen=True, slots=True)
class ToldFact:
    """What a sentence says: that the limb of `side` has `fact`; of a limb with the opposite, the other side has it."""

    fact: str
    side: Side
    mention: Mention


def told_facts(sentence: Sentence, facts: tuple[str, ...]) -> Iterator[ToldFact]:
    """What a sentence says of its limbs in these facts."""
    for mention, spoken_of in (*zip(sentence.mentions, sentence.mentions, strict=True), *referring(sentence)):
        clause = clause_around(sentence, spoken_of)
        for fact in facts:
            sign = _sign(fact, clause)
            if sign in ("+", "-"):
                yield ToldFact(fact, spoken_of.side if sign == "+" else spoken_of.side.other, mention)


@lru_cache(maxsize=65536)
def _sign(fact: str, clause: str) -> str:
    return next((sign for sign, pattern in _patterns(fact) if _fits(pattern, clause)), "")


@cache
def _patterns(fact: str) -> tuple[tuple[str, str], ...]:
    lines = (line.split(maxsplit=1) for line in FACTS[fact].strip().splitlines())
    spelt = ((sign, re.sub("[A-Z]+", lambda group: _GROUPS[group[0]], patterns)) for sign, patterns in lines)
    return tuple((sign, pattern) for sign, patterns in spelt for pattern in patterns.split("; "))


def _fits(pattern: str, clause: str) -> bool:
    """Whether a pattern fits a clause. Most are ruled out by a word that the clause has not, before they cost more."""
    has_all = all(any(word in clause for word in words) for words in _needed(pattern))
    return has_all and _compiled(pattern).search(clause) is not None


@cache
def _needed(pattern: str) -> tuple[tuple[str, ...], ...]:
    """For each place of a pattern, the words of which the clause has one."""
    places = [place for place in pattern.split() if place[-1].isalpha()]
    return tuple(tuple(place.lstrip("@").split("|")) for place in places)


@cache
def _compiled(pattern: str) -> re.Pattern[str]:
    """A pattern as an expression; `bend & @knee` is both "bend the knee" and "the knee bends"."""
    first, _, second = pattern.partition(" & ")
    ways = (f"{first} ... {second}", f"{second} ... {first}") if second else (pattern,)
    return re.compile("|".join("".join(map(_part, way.split())) for way in ways))


def _part(part: str) -> str:
    """One place of a pattern: the words that may stand there, in their common forms, and the fillers behind them."""
    if part == "...":
        return r"[^@~]*?"
    if part == "$":
        return r"\s*$"
    if part.endswith("|$"):
        return rf"(?:{_part(part[:-2])}|\s*$)"
    if part.startswith("@"):
        return rf"@(?:{part[1:]})(?:\s+|$){_FILLERS}"
    return rf"(?<!\S)~?(?:{part})(?:s|es|ed|ing)?(?:\s+|$){_FILLERS}"


#: Where a clause ends. Two small words of place with `and` between them stay together.
_JOINED = re.compile(
    r"\b(up|down|back|out|forward|over|long|tall) and (up|down|back|out|forward|over|away|in|long|heavy)\b"
)
_BREAKS = re.compile(r"\s*(?:[,()–—]|\b(?:and|then|while|but|until|so|as|or)\b)\s*")

#: `off the floor` and `parallel to the floor` say where a limb is not.
_ALOFT = re.compile(r"\b(?:off|above|away from|clear of) (?:of )?(?:the |your )?(?:floor|mat|ground|earth)\b")
_LEVEL = re.compile(r"\b(?:parallel|level) (?:to|with) (?:the |your )?(?:floor|mat|ground|earth)\b")

#: `on the exhale` says when, and `the sole of your foot` is the foot's part.
_WHEN = re.compile(r" (?:on|with) (?:the |your |each |every |an )*(?:exhale|inhale|breath)(?: in| out)?\b")
_PART_OF = re.compile(r"\b(?:the )?(?:toes|sole|ball|arch|heel|big toe|fingers|palm) of (?:the |your )?@(?=foot|hand)")

#: `your front knee, the left one,` and `the knee on the floor is the left`: the noun comes first, the side after it.
_APPOSED = re.compile(
    r"\b(\w+) (leg|foot|toe|knee|heel|shin|thigh|hip|hand|arm|elbow|shoulder)((?: \w+){0,3}?) "
    r"(?:,|is) (?:the |your )?@one(?: one)?\b"
)

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
    text = _PART_OF.sub("@", _WHEN.sub("", " ".join(made)))
    text = _LEVEL.sub("level", _APPOSED.sub(r"\1 @\2\3", text))
    text = _ONE.sub(r" \1", _JOINED.sub(r"\1 \2", _ALOFT.sub("aloft", text)))
    return next((clause for clause in _BREAKS.split(text) if "@" in clause), "")


def _limb(sentence: Sentence, mention: Mention) -> str:
    """The part of the body that a mention is of: for "the left one", what was named last before it."""
    before = [word for word in sentence.words[: mention.first] if word not in ("the", "your")]
    if mention.limb != "one" or before[-1:] in ([","], ["is"]):
        return mention.limb
    return next(filter(None, map(limb_named, reversed(before))), "one")
