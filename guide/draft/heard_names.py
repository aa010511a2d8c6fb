"""Names of poses as they are heard: every name of the library by its sounds, and the words that a class is full of."""

import re
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache, lru_cache

from guide.draft.phonetic_keys import alike, coarse, key
from guide.draft.phrases import NUMBERS
from guide.draft.pose_spelling import held_poses, names_of
from guide.review.captions.transcript import folded
from guide.sequence.poses.pose import Pose
from guide.sequence.poses.shipped_library import shipped

#: What is less alike than this is never looked at again.
LEAST_ALIKE = 0.66

#: So many sounds tell a Sanskrit name from others that end as it does.
LEAST_SANSKRIT = 8

#: A word less alike than this is another word.
SAME_WORD = 0.55
SAME_OF_TWO = 0.65
#: A name that is so much like the end of a longer one is heard only where it is spelt.
SAME_TAIL = 0.93

#: Words of names that are heard as any other small word.
_SMALL = ("a", "and", "of", "on", "the", "to", "with")

#: A number that is no word is not heard.
_ROMAN = ("i", "ii", "iii", "iv")

#: A name is heard in so many words more than it has: `chat to wrong a`.
MORE_WORDS = 3


@dataclass(frozen=True, slots=True)
class HeardName:
    """A name that so many words sound like.

    `sounds` is how many sounds the name has; `own` is whether it is the pose's own, or Sanskrit.
    """

    pose: Pose
    words: tuple[str, ...]
    length: int
    alike: float
    sounds: int
    own: bool

    @property
    def sanskrit(self) -> bool:
        """Whether it sounds like a name in Sanskrit."""
        return self.words[-1].endswith("asana") and self.sounds >= LEAST_SANSKRIT


@dataclass(frozen=True, slots=True)
class _Name:
    pose: Pose
    words: tuple[str, ...]
    joined: str
    sounds: str
    own: bool
    tail: bool


@lru_cache(maxsize=65536)
def sounding(words: tuple[str, ...]) -> tuple[HeardName, ...]:
    """The names that the first of these words sound like, the likest first."""
    found = [one for length in range(1, len(words) + 1) for one in _like(words[:length])]
    return tuple(sorted(found, key=lambda one: (-one.alike, -one.length)))


@lru_cache(maxsize=65536)
def _like(words: tuple[str, ...]) -> tuple[HeardName, ...]:
    from rapidfuzz.distance import Indel
    from rapidfuzz.process import extract

    joined, sounds = "".join(words), "".join(map(key, words))
    names, their_sounds = _near(coarse(sounds[:1]), len(words), len(sounds))
    found = []
    near = extract(sounds, their_sounds, scorer=Indel.normalized_similarity, score_cutoff=LEAST_ALIKE, limit=None)
    for number in sorted(number for _, _, number in near):
        name = names[number]
        if name.tail and joined != name.joined:
            continue
        likeness = alike(joined, name.joined)
        if likeness >= LEAST_ALIKE and _word_by_word(words, name.words):
            found.append(HeardName(name.pose, name.words, len(words), likeness, len(name.sounds), name.own))
    return tuple(found)


@cache
def _near(first: str, words: int, sounds: int) -> tuple[tuple[_Name, ...], tuple[str, ...]]:
    """The names that begin with a sound and have about so many words and sounds, and their sounds."""
    names = tuple(
        name
        for name in _sounds().get(first, ())
        if abs(len(name.sounds) - sounds) <= 3 and -1 <= words - len(name.words) <= MORE_WORDS
    )
    return names, tuple(name.sounds for name in names)


def _word_by_word(words: Sequence[str], name: Sequence[str]) -> bool:
    """Whether no word is another word altogether, where there are as many or the last agrees; a number is heard."""
    if len(words) > 1 and len(name) > 1 and words[-1] == name[-1]:
        return alike("".join(words[:-1]), "".join(name[:-1])) >= SAME_WORD
    if len(words) < len(name) and name[-1] in NUMBERS:
        return False
    pairs = zip(words, name, strict=False) if len(words) == len(name) else ()
    return all(other in _SMALL or _same_word(one, other, len(name)) for one, other in pairs)


def _same_word(one: str, other: str, count: int) -> bool:
    """Whether a word of a name of so many words is another misheard; of two, both begin with the same sound."""
    if count == 2 and coarse(key(one))[:1] != coarse(key(other))[:1]:
        return False
    return alike(one, other) >= (SAME_OF_TWO if count == 2 else SAME_WORD)


def plain_words(words: Collection[str]) -> bool:
    """Whether all of the words are said in many poses: then they were said, and not a name that sounds so."""
    return all(word in _plain() for word in words)


@cache
def _plain() -> frozenset[str]:
    """The words of what the library says in its poses, names of poses apart: nobody says `dog` of anything else."""
    names = frozenset(name for others in _all_names().values() for _, name in others)
    longest = max(map(len, names))
    return frozenset(
        word
        for pose in shipped()
        for text in (*pose.enter, *pose.say, *pose.leave)
        for word in _without(names, longest, folded(text))
    )


def _without(names: Collection[tuple[str, ...]], longest: int, words: tuple[str, ...]) -> Iterator[str]:
    """The words that are not part of a name; none has more words than `longest`."""
    place = 0
    while place < len(words):
        ends = range(min(place + longest, len(words)), place, -1)
        end = next((end for end in ends if words[place:end] in names), None)
        if end is None:
            yield words[place]
        place = end or place + 1


def _is_tail(pose: Pose, words: tuple[str, ...]) -> bool:
    """Whether a name sounds like the end of another pose's longer name and is not it: `knees to chest`."""
    tails = (
        name[-len(words) :]
        for other, name in _all_names().get(words[-1], ())
        if other is not pose and len(name) > len(words)
    )
    return len(words) > 2 and any(SAME_TAIL <= alike(" ".join(words), " ".join(tail)) < 1 for tail in tails)


@cache
def _all_names() -> dict[str, list[tuple[Pose, tuple[str, ...]]]]:
    """All names by their last word."""
    found: dict[str, list[tuple[Pose, tuple[str, ...]]]] = {}
    for pose in held_poses():
        for name in map(folded, names_of(pose)):
            found.setdefault(name[-1], []).append((pose, name))
    return found


@cache
def _sounds() -> dict[str, list[_Name]]:
    """Every name by its sounds, under the sound it begins with.

    Other English names of two words are left out where both are plain words: `float back` is no `flat back`. The first
    sound of `vrksasana` is hardly heard.
    """
    found: dict[str, list[_Name]] = {}
    for pose in held_poses():
        for name in names_of(pose):
            words = folded(name)
            sounds = "".join(map(key, words))
            own = name in (pose.name, pose.sanskrit) or words[-1].endswith("asana")
            one = _Name(pose, words, "".join(words), sounds, own, _is_tail(pose, words))
            if words[-1] not in _ROMAN and (own or len(words) != 2 or not plain_words(words)):
                found.setdefault(coarse(sounds)[:1], []).append(one)
            if re.match("v[rs]", sounds):
                found.setdefault(coarse(sounds)[1:2], []).append(replace(one, joined=one.joined[1:], sounds=sounds[1:]))
    return found
