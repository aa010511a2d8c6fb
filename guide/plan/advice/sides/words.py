"""Where words speak of a side of the body, and where right and left mean something else.

A `right` or `left` counts as a side only where something shows it: a part of the body or of the room after it ("right
knee", "left corner"), `the` or `your` before it and no other noun behind ("the left one", "to your right"), a verb of
turning before it ("look right"), or the other side beside it ("right over left"). So "right away", "right above the
heel", "the right height", "two breaths left" are no sides, without a list of all that English can say.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from guide.sequence.steps import Side

_SENTENCE = re.compile(r"[^.!?;\n]+")
_TOKEN = re.compile(r"[^\W\d_]+(?:['’-][^\W\d_]+)*|[,:–—()]")
_SIDE = re.compile(r"(right|left)(?:-?hand)?", re.IGNORECASE)


def words_of(text: str) -> frozenset[str]:
    """The words of a list written as a text."""
    return frozenset(text.split())


#: Words for parts of the body: each line begins with the word that stands for it in what is compared.
_LIMB_WORDS = """
    foot feet sole soles instep arch
    toe toes
    heel heels
    ankle ankles
    shin shins calf calves
    knee knees kneecap kneecaps
    thigh thighs hamstring hamstrings quad quads groin
    leg legs
    hip hips hipbone hipbones buttock seat sit sitting glute
    arm arms bicep biceps tricep triceps
    forearm forearms
    hand hands palm palms
    wrist wrists
    elbow elbows
    shoulder shoulders collarbone armpit
    finger fingers fingertip fingertips thumb knuckles
    ear ears
    cheek temple eye eyes eyebrow
    nostril
    rib ribs ribcage waist flank lung
    side
"""
_LIMBS = {word: line.split()[0] for line in _LIMB_WORDS.strip().splitlines() for word in line.split()}

#: Places in the room and on the mat.
_ROOM = {"corner", "edge", "wall", "window", "end", "half", "direction"}

#: Words that may stand between a side and its part of the body.
_BETWEEN = words_of(
    """inner outer upper lower big little middle ring index long short front back rear standing lifted raised bent
    straight top bottom supporting free floating extended grounded other pointing side hip whole heavy strong soft
    leading"""
)

#: Words with which a side without a noun may go on; the end of a clause and words in -ly do as well.
_GOING_ON = words_of(
    """and or nor then one to over under on in above across as with while until so but when again too first next now is
    are was comes goes stays toward towards into onto from forward back up down there behind below little a by than
    after before beneath follows will may at also instead high low"""
)

_OWNERS = {"the", "your", "each", "neither"}
_INWARD = {"to", "toward", "towards", "from", "on", "onto", "over", "through"}
_ATOP = {"on", "onto", "over", "through"}
_PARTING = {",", "and", "then", "or", "as"}
_TURNING = words_of(
    """turn look lean twist sway rock face gaze roll tilt tip rotate swing shift go glance bend head leaning turning
    looking swaying rocking keep stay revolve sweep tip drop fall arc curve spin"""
)
_JOINED_ON = (",", "and", "then", "while")
_MOVED_TOGETHER = {"knees", "legs", "feet", "shoulders", "hips", "chest", "ribs"}
_BREATHING = {"in", "out", "inhale", "exhale", "through"}

#: What may stand between two sides that are spoken of together.
_JOINING = words_of(
    """and or nor then to over under on onto from , across with than the your above below beneath of in front behind
    both neither in out as like"""
)

#: Parts of the body that words move about, and may speak of again.
_MOVED = words_of("foot toe heel ankle shin knee thigh leg arm forearm hand wrist elbow finger")

#: Words by which a limb is spoken of without its side.
_REFERRING = {"that", "its", "other"}

#: "Right now", "right here": never a side.
_PRESENT = {"now", "away", "here", "there", "where"}


@dataclass(frozen=True, slots=True)
class Mention:
    """A side that words speak of: which, of what (`limb`), and from which word up to which (`last` is behind it).

    `limb` is a part of the body in the form that stands for it, "way" for a direction, "one" where no noun says more,
    "room" for a part of the room.
    """

    side: Side
    limb: str
    first: int
    last: int


@dataclass(frozen=True, slots=True)
class Sentence:
    """A sentence in small words, with commas, and the sides that it speaks of."""

    words: tuple[str, ...]
    mentions: tuple[Mention, ...]

    def skeleton(self) -> tuple[str, ...]:
        """The words with the sides left out."""
        spots = {mention.first for mention in self.mentions}
        return tuple("@" if number in spots else word for number, word in enumerate(self.words))


def limb_named(word: str) -> str:
    """The part of the body that a word names, in the form that stands for it; nothing where it names none."""
    return _LIMBS.get(word, "")


@lru_cache(maxsize=4096)
def sentences(text: str) -> tuple[Sentence, ...]:
    """The sentences of a text (a semicolon ends one too)."""
    return tuple(_sentence(found[0]) for found in _SENTENCE.finditer(text))


def mentions(text: str) -> tuple[Mention, ...]:
    """All the sides that a text speaks of."""
    return tuple(mention for sentence in sentences(text) for mention in sentence.mentions)


def shown(sentence: Sentence, mention: Mention) -> str:
    """A mention as it is said: "right knee"."""
    return " ".join(sentence.words[mention.first : mention.last])


def referring(sentence: Sentence) -> Iterator[tuple[Mention, Mention]]:
    """Where words speak of a limb by one named before ("that foot", "its knee", "the other hand"): the mention before,
    and the limb that is meant, where all sides before are one."""
    for number, word in enumerate(sentence.words):
        before = [mention for mention in sentence.mentions if mention.last <= number]
        limb, last = _limb(sentence.words, number) if word in _REFERRING else ("", 0)
        between = map(limb_named, sentence.words[before[-1].last : number]) if before else ()
        if limb in _LIMBS and len({mention.side for mention in before}) == 1 and not _MOVED & set(between):
            side = before[-1].side.other if word == "other" else before[-1].side
            yield before[-1], Mention(side, limb, number, last)


def mirrored(text: str) -> str:
    """A text with the sides that it speaks of changed over; what only sounds like a side stays."""
    return _SENTENCE.sub(lambda found: _mirrored(found[0]), text)


def _mirrored(text: str) -> str:
    spots = list(_TOKEN.finditer(text))
    for mention in reversed(_sentence(text).mentions):
        start = spots[mention.first].start()
        old = text[start : start + len(mention.side.value)]
        new = mention.side.other.value
        text = text[:start] + (new.capitalize() if old[0].isupper() else new) + text[start + len(old) :]
    return text


def _sentence(text: str) -> Sentence:
    words = tuple(
        found[0].lower().replace("’", "'").removesuffix("'s").replace(":", ",") for found in _TOKEN.finditer(text)
    )
    return Sentence(words, tuple(_mentions(words)))


def _mentions(words: tuple[str, ...]) -> Iterator[Mention]:
    found: list[Mention] = []
    for number, word in enumerate(words):
        # A teacher who says "my left" shows it, and may be a mirror.
        if _SIDE.fullmatch(word) and words[number - 1 : number] != ("my",):
            limb, last = _limb(words, number)
            if limb:
                if (
                    limb == "way"
                    and words[number - 2] in _ATOP
                    and found
                    and not _PARTING & set(words[found[-1].last : number])
                ):
                    limb = "one"
                found.append(Mention(Side(word[: 5 if word.startswith("right") else 4]), limb, number, last))
    yield from found


def _limb(words: tuple[str, ...], number: int) -> tuple[str, int]:
    """Of what a side is at a word, and the word after; nothing where it is no side."""
    last = number + 1
    while last < len(words) and words[last] in _BETWEEN and words[last] not in _LIMBS and last <= number + 3:
        last += 1
    if last < len(words) and words[last] in _LIMBS:
        return _longest(words, last)
    if last == number + 1 and last < len(words) and words[last] in _ROOM:
        return "room", last + 1
    return _alone(words, number), number + 1


def _longest(words: tuple[str, ...], last: int) -> tuple[str, int]:
    """A part of the body that may be said in two words: side ribs, sitting bone, side of the waist."""
    limb = _LIMBS[words[last]]
    after = words[last + 1] if last + 1 < len(words) else ""
    if limb in ("side", "hip", "shoulder", "foot") and _LIMBS.get(after) == "rib":
        return "rib", last + 2
    if after in ("bone", "bones", "blade", "blades", "nail"):
        return limb, last + 2
    if limb == "hip" and words[last] in ("sit", "sitting", "seat") and words[last] != "seat":
        return "", last
    return limb, last + 1


def _alone(words: tuple[str, ...], number: int) -> str:
    """What a side without a noun is: "way", "one", or nothing where it is no side."""
    before = words[number - 1] if number else ""
    after = words[number + 1] if number + 1 < len(words) else ","
    ends = after in (",", "(", ")", "–", "—") or after in _GOING_ON or after.endswith("ly")
    if after == "to" and before == "your" and not _TURNING & set(words[:number]):
        return ""  # "you have your right to rest"
    if before in _OWNERS and ends:
        return "way" if number > 1 and words[number - 2] in _INWARD and after != "one" else "one"
    if before in _TURNING and (
        after in (*_JOINED_ON, "or", "with", "as", "again", "on", "from", "until") or after.endswith("ly")
    ):
        return "way"
    if before in _MOVED_TOGETHER and after in _JOINED_ON:
        return "way"
    if before in _BREATHING and after in (",", "and", "then", "for", "with") and _has_both(words):
        return "nostril"
    return "one" if _is_beside_another(words, number) else ""


def _has_both(words: tuple[str, ...]) -> bool:
    return {"right", "left"} <= set(words)


def _is_beside_another(words: tuple[str, ...], number: int) -> bool:
    """Whether nothing but small words and a part of the body stands between this side and the next, or the last."""
    before, after = (words[spot] if 0 <= spot < len(words) else "" for spot in (number - 1, number + 1))
    if before in _LIMBS or after in _PRESENT:
        return False
    return any(_joins(words, number, step) for step in (1, -1))


def _joins(words: tuple[str, ...], number: int, step: int) -> bool:
    between: list[str] = []
    spot = number + step
    while 0 <= spot < len(words) and (words[spot] in _JOINING or _is_first_limb(words[spot], between)):
        between.append(words[spot])
        spot += step
    if not (0 <= spot < len(words) and _SIDE.fullmatch(words[spot]) and _JOINING & set(between)):
        return False
    return words[spot] != words[number] or bool({"over", "under", "on", "with"} & set(between))


def _is_first_limb(word: str, between: list[str]) -> bool:
    return word in _LIMBS and not any(each in _LIMBS for each in between)
