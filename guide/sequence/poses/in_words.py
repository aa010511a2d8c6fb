"""The pose that words of a class lead to: "Downward dog", "Come to hands and knees", "step back to plank".

Only names count, and only where they say where people arrive. Words that name two poses, or one that is left ("from
plank"), offered or likened to ("like a cobra"), or a name that everyday words make up as well ("arms up", "forward
fold", which people do sitting too), mean none: nothing is guessed where two could be meant.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from guide.sequence.poses.library import Library
from guide.sequence.poses.names import alike, tokens
from guide.sequence.poses.pose import Does, Pose

_CLAUSE = re.compile(r"[^.,;:!?()\n…–—]+")
_WORD = re.compile(r"[^\W_]+(?:['’-][^\W_]+)*")

#: The longest names have so many words.
_MOST_WORDS = 6

#: Words, in the form in which names are compared, that say nothing of a pose by themselves.
_EVERYDAY = frozenset(
    tokens(
        "all arm arms attention back balance banana belly bend big boat body bow breath breathing bridge candle cat "
        "chair chest chin closing corpse cow crab crane crossed crow deep eagle ear easy eight elbow extended face "
        "feet fish flat floor fold forearm forward four full gate halfway hand hands hanging head heart hero high "
        "hook hover hug inclined kneeling knee knees leg legs lift lifts lion locust loose lord low lying monkey "
        "mountain neck on one open ocean palms peacock pelvic plane prayer raised relaxation release rest resting "
        "rise rock seat seated shins side simple single sitting sleeping soft squat stacked staff stance standing star "
        "stretch standing supine supported table tall tilt to toe toes together top tree twist twisted under up "
        "upright upward wall waterfall wheel wide with wrist your"
    )
)

#: Everyday words that are a place to come to all the same, and no part of another.
_PLACES = frozenset({tokens("hands and knees"), tokens("all fours")})

#: One-word names that are an order or a thing more often than a pose.
_NO_NAMES = frozenset(tokens("bow squat splits table star gate staff crossed banana candle"))

_TO = frozenset({"to", "into", "onto", "in", "through", "on", "take", "do", "try", "choose", "stay", "hold"})
_LEAVING = frozenset({"from", "leave", "or", "like", "than"})
_OWNERS = frozenset({"the", "your", "a", "an"})

#: What stands before a pose that people leave, or that is only spoken of.
_ELSEWHERE = frozenset(
    _WORD.findall(
        "from of like as before after than not no never without for towards toward leave leaving if skip until either "
        "or between remember instead past"
    )
)

_OPENING = frozenset(_WORD.findall("and then now so exhale inhale again last one final next this is here into back"))

_SIDES = frozenset(_WORD.findall("right left side pose on the your other second first again"))


def pose_said(text: str, library: Library) -> Pose | None:
    """The one pose that words lead to; None where they name none, or more than one."""
    named = [each for clause in _CLAUSE.findall(text) for each in _poses_of(clause, library)]
    found = {each.pose.name: each.pose for each in named if each.is_meant}
    return next(iter(found.values())) if len(found) == 1 else None


def poses_named(text: str, library: Library) -> tuple[Pose, ...]:
    """All the poses that words name, those that are left or only spoken of as well."""
    return tuple(each.pose for clause in _CLAUSE.findall(text) for each in _poses_of(clause, library))


@dataclass(frozen=True, slots=True)
class _Named:
    """A pose that a clause names; `is_meant` where it says that people are in it, or come to it."""

    pose: Pose
    is_meant: bool


def _poses_of(clause: str, library: Library) -> Iterator[_Named]:
    words = [word.lower() for word in _WORD.findall(clause)]
    keys = [_key(word) for word in words]
    first = 0
    while first < len(words):
        for last in range(min(len(words), first + _MOST_WORDS), first, -1):
            pose = library.called("".join(keys[first:last])) if _is_whole(words[first:last]) else None
            if pose is not None and Does.BREATH not in pose.does:
                if _is_name(words, first, last):
                    yield _Named(pose, not _is_elsewhere(words, first, last))
                first = last - 1
                break
        first += 1


@lru_cache(maxsize=8192)
def _key(word: str) -> str:
    return "".join(map(alike, tokens(word)))


def _is_whole(words: list[str]) -> bool:
    """Whether these words could be a name: it neither begins nor ends with a word that makes no difference to one."""
    return words[0] not in _OWNERS and words[0] != "and" and words[0] != "pose" and words[-1] not in ("and", "the")


def _is_name(words: list[str], first: int, last: int) -> bool:
    """Whether words that could be a name are one here, and not what they mean every day."""
    before = [word for word in words[max(0, first - 3) : first] if word not in _OWNERS]
    key = tokens(" ".join(words[first:last]))
    arriving = bool(before) and before[-1] in _TO | _LEAVING
    alone = _is_alone(words, first, last)
    if "pose" in words[first : last + 1]:
        return True
    if key in _PLACES:
        return arriving or alone
    if len(key) == 1:
        owned = first > 0 and words[first - 1] in _OWNERS
        thing = _EVERYDAY.issuperset(key) and key[0] in _NO_NAMES
        return not owned and not thing and (arriving or alone)
    return not _EVERYDAY.issuperset(key)


def _is_elsewhere(words: list[str], first: int, last: int) -> bool:
    """Whether a pose is left, likened to or offered, and nobody is in it now."""
    before = words[max(0, first - 3) : first]
    return bool(_ELSEWHERE & set(before)) or words[last : last + 1] in (["or"], ["instead"])


def _is_alone(words: list[str], first: int, last: int) -> bool:
    """Whether a clause has nothing besides a name but small words."""
    return set(words[:first]) <= _OPENING and set(words[last:]) <= _SIDES
