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

#: The patterns of each role.
_ROLES = {
    # Which leg is in front.
    "front": """
        - back|rear|trailing @LEG
        + front|leading @LEG
        - @LEG is your|the back|rear
        + @LEG is your|the front
        + @LEG is in front
        - @LEG is behind
        + STEP|bring ... @leg|foot|knee|heel ... forward|between|through|ahead
        + @leg|foot forward|between|through|ahead
        + step ... @foot ... up to|hands|thumb|wrist
        + @heel between|through|ahead
        + with ... @leg|foot ... front|forward
        + @leg|foot in front
        - STEP|send|shift|reach ... @leg|foot ... back|behind
        - STEP|send|shift ... @knee ... back
        - @leg|foot far|long|back|behind|way
        - ^ @knee far|back
        - @knee slide|slides back
    """,
    "warrior": """
        - edge|outside|side of @foot|heel|one
        - turn|press|spin ... @heel ... down|back
        - lift|reach|press ... @heel
        - through ... @heel
        - @heel high|lifted|down|off|back|reaches|behind
        - keep|make|let|feel ... @leg ... straight|long|strong
        - @leg straight|long|strong|like
        + turn|point ... @foot|toe|heel ... out
        + ^ @foot out
        - turn ... @foot ... in
        - @foot in $
        + bend ... @knee|leg
        + @knee ... over|above ... ankle|heel|toe|toes
        + @knee points|stacked|stacks
        + @thigh ... level|sink|sinks|heavy|parallel
        + sink ... @thigh
        + sink|deeper into @knee|leg
    """,
    "low lunge": """
        - lower|drop|rest|untuck ... @knee
        - @knee down|back|slides|rests|on
        - untuck ... @foot|toe
        + @knee ... over|above ... ankle|heel|toe|toes
        + @heel|foot outside
        + outside|inside @foot
    """,
    "foot out": """
        + bring|walk|set ... @foot ... outside|edge
    """,
    "over front": """
        + fold|bow|lean|bend|reach|fall|hinge|tip|tilt ... over|inside|along|toward ... @leg|foot|knee|thigh|shin
        + chest|belly|ribs|forehead|nose|heart ... over|along|toward|onto ... @leg|knee|thigh|shin
    """,
    "gaze over hand": """
        + look|gaze|looking ... over|past|along ... @hand|finger|arm
    """,
    "straight front": """
        + straighten|stretch|lengthen ... @leg ... $
        + slide ... @heel ... forward
    """,
    "pigeon": """
        + under @hip
        + STEP ... @knee|shin ... behind|across|forward|wrist
        + @knee|shin behind|across
        + @shin ... front|across
        - slide|stretch|send ... @leg|foot ... back|long|behind|away
        - @leg long
    """,
    # The hand that is down, in poses that open sideways.
    "low hand": """
        0 @ARM ... hip|waist|chest|heart|off
        0 @hand up to|onto
        - REACH ... @ARM ... UP
        - @ARM UP|beside|along|reaches|points
        - @ARM ... sky|ceiling|overhead
        - open|lift @arm
        + SETTLE ... @hand|forearm|elbow|finger ... down|shin|GROUND|thigh|block|ankle|foot|leg
        + roll|shift|turn|lean|press ... onto|into|through|on @hand
        + @hand|forearm|elbow down|to|on
        + press|push ... @hand|forearm ... down
        + SETTLE ... @hand|forearm under|beneath|below ... shoulder
    """,
    # The hand that slides down the back leg.
    "high hand": """
        + sweep|lift|reach|raise ... @ARM ... UP|back
        + @ARM|hand UP
        - slide|rest|lower|let ... @hand|arm ... down|leg|thigh
        - @hand ... back leg
    """,
    "turned": """
        0 head|face|neck|gaze|eyes|look|chin ... @way
        + TURN|chest ... @way
        - turn ... back|away ... from @way
    """,
    "elbow across": """
        - hook|bring|press|set|cross|plant ... @elbow|arm ... outside|across|beyond
        - @elbow|arm outside|across
        - foot ... outside|beyond|over|across @knee|thigh|leg
        + outside|beyond|against @knee|thigh|leg
    """,
    "hand across": """
        + @hand|arm|finger behind
        + set|place|put|bring|plant ... @hand|finger ... behind
        - foot|ankle ... outside|over|across|to|on @knee|thigh
        - @hand|arm|elbow ... to|on|outside|around|against|hold|holds|hugs|hugging ... knee|thigh
        + to|on|around|toward|outside @knee|thigh
    """,
    "knees": """
        + knees|legs|them|sink|fall|drop ... @way
        - shoulder|shoulders stays @one
        - @shoulder ... GROUND|heavy|down|stays|stay|rest|sink
    """,
    "leaned": """
        + LEAN|over ... @way
        - REACH ... @ARM ... UP|long
        - @ARM UP|long|reaches
        - REACH up|over with @ARM
        - breathe|open|lengthen|stretch|feel ... @rib|side
        - lift @ARM
        + SETTLE|hold ... @hand|finger|forearm ... down|beside|out|leg|GROUND|seat|thigh
        + @hand down|beside|walks|slides
        - keep ... @hip ... down|heavy|GROUND
        - @hip stays|heavy|down|sinks
    """,
    "arm over": """
        + reach|sweep|bring|stretch|arc ... @arm ... over|overhead
        + @arm sweep|reach|arc|come|float ... over|overhead
    """,
    "lean way": """
        + lean|bend|tip|tilt|leaning|bending ... @way
    """,
    "gate leg": """
        + stretch|extend|slide|step ... @leg|foot ... out|side
        + @leg|foot out
        - @knee on|down|under
    """,
    "ear": """
        + @ear ... shoulder|sink|sinks|lower|drop|down
        + sink|lower|drop|let|bring ... @ear
    """,
    "hugged": """
        + hug|draw|pull|hold|squeeze ... @knee|shin|leg|thigh ... $
        - @leg ... long|heavy|GROUND|down|straight
        - stretch|lengthen ... @leg
    """,
    # The leg that is off the floor. What says "standing" goes first: "lift up out of your standing leg".
    "lifted": """
        - standing|supporting|grounded @LEG
        + lifted|raised|floating|free|flying|light @LEG
        - stand|standing|balance|balancing|weight|root|rooted|ground|grow|tree ... @LEG
        - up out of @LEG
        - lean|shift|sink|press|push ... into|onto|on|to|down ... @leg|foot|heel
        - @LEG rooted|grounded|firm|heavy|stands|roots
        + LIFT ... @leg|foot|heel|knee|one
        + cross|wind|wrap ... @leg|thigh|knee ... over|around
        + hold|catch|take|grab|reach|clasp ... @foot|toe|ankle|shin
        + bring|place|set|put|lay|rest|slide|press ... @foot|ankle|heel ... calf|thigh|knee|shin|inner
        + @foot|ankle to|on|above|against|onto|over|high ... calf|thigh|knee|shin
        + open ... @knee
        + @knee opens|out|to|turns
        + @leg|heel|foot rises|floats|lifts|up|reaches|reaching|forward|back|behind
    """,
    # The same where nothing is known of the pose: only what cannot be meant otherwise.
    "weight": """
        - stand|standing|weight|balance ... on|onto|into|to @leg|foot|heel
        + lift|raise|float ... @leg|foot|knee
        + @leg|foot|knee lifts|floats|rises|up
    """,
    "eagle arms": """
        + @arm|elbow under|below|beneath
        - @arm|elbow over
        - wrap|cross|bring ... @arm|elbow ... over
    """,
    "leg up": """
        + LIFT|stretch|extend|reach ... @leg|heel|foot ... up|high|ceiling|sky|height|behind
        + lift|raise ... @leg
        + @leg|heel|foot up|high
        - press|keep|let|ground ... @thigh|leg ... down|long|floor|heavy
        - @thigh|leg stays|long|pressing|heavy
    """,
    "laid over": """
        + @ankle on|above|over|across|high|onto
        + @foot|shin on|above|over|across|onto thigh|knee
        + lay|set|place|put|cross|bring|stack ... @ankle ... on|above|over|across|high|onto
        + lay|set|place|put|cross|bring|stack ... @foot ... thigh|knee
        - on|above|over|across|onto|to @thigh|knee
    """,
    "slid under": """
        + slide|thread|reach|draw|bring|sweep ... @arm|hand ... under|beneath|through|below
        + @arm|hand slides|slips|under|through|threads
        + @shoulder|cheek|ear ... rest|rests|GROUND
    """,
    "leg back": """
        + @leg|foot|heel back|behind|long|out
        + slide|stretch|lift|reach|send|step ... @leg|foot|heel ... back|behind|hip|up
        - @arm|hand forward|out|up
        - reach|stretch|lift ... @arm|hand ... forward|out|up|ahead
    """,
    "lying on": """
        + roll|lie|turn|rest|fall|lying|come ... on|onto|over|to ... @side
    """,
}


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
    lines = (line.split(maxsplit=1) for line in _ROLES[role].strip().splitlines())
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
