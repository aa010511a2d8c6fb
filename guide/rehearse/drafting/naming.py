"""Names of poses in what was said: as the library spells them, in English or Sanskrit, misspelt or misheard."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache

from guide.rehearse.drafting.phrases import Phrase, Token, these
from guide.rehearse.likeness import sounded
from guide.rehearse.transcript import folded
from guide.sequence.poses.library import shipped
from guide.sequence.poses.names import key_of
from guide.sequence.poses.pose import Does, Pose

#: A name is heard where so much of it sounds alike; and never in fewer sounds than this.
HEARD = 0.88
HEARD_SANSKRIT = 0.82
LEAST_SANSKRIT = 9
HEARD_WORD = 0.6
HEARD_ALONE = 0.75
LONG_ENOUGH = 6
LEAST_SOUNDS = 7
MOST_WORDS = 6

#: Words that no misheard name begins with.
_LINKS = these(
    "the a an and or to of in on at as your you my our is are be it that this with for from into over up down if so "
    "let keep then now not no inhale exhale breathe breath right left side"
)
#: Before these words a name says where people come from, or is a thing in the room.
_NOT_HERE = these(
    "from a an the your my of on like as whole two under over one other his her no not both each every before after "
    "than against between at behind beside leaving or"
)
#: Before and after a name these say nothing.
_SMALL = these("um uh er okay ok alright yeah so and now good you know then 1 one beautiful")
_BODY = these("arm arms hand hands palm palms leg legs knee knees foot feet head")
_SIDE_AFTER = {"right", "left", "write"}
_NO_NAME = frozenset(("the", "pose", "and"))
_ARRIVING = these("to into onto in is for hold find take our again and back now then come this stay")


@dataclass(frozen=True, slots=True)
class Named:
    """A pose that is named in a phrase, by the tokens from `start` to before `end`.

    `announced` is whether the name stands for itself (`Warrior two, right side.`) and is not part of a longer thought;
    `arrived` is whether the words before it lead there (`come to plank`), or it is all that was said;
    `sure` is 1 where it is spelt as in the library, else how alike it sounds.
    """

    pose: Pose
    start: int
    end: int
    announced: bool
    arrived: bool
    sure: float


def named(phrase: Phrase) -> tuple[Named, ...]:
    """The poses that a phrase names, in order; those that are only spoken of (`from plank`) are left out."""
    return tuple(one for one in _mentions(phrase) if _meant(phrase, one))


def _mentions(phrase: Phrase) -> Iterator[Named]:
    place = phrase.called
    alone = None if phrase.pointed or phrase.breath else _alone(phrase)
    if alone is not None:
        yield alone
        place = alone.end
    while place < len(phrase.tokens):
        found = _at(phrase.tokens, place)
        if found is None:
            place += 1
            continue
        pose, length, sure = found
        end = place + length
        yield Named(pose, place, end, _announced(phrase, place, end), _arrived(phrase, place, end), sure)
        place = end


def _alone(phrase: Phrase) -> Named | None:
    """A name of one word that was heard about so at the beginning, with a side or nothing after it: `pigment right`."""
    from rapidfuzz.distance import Indel

    start = next((number for number, word in enumerate(phrase.words) if word not in _SMALL), len(phrase.tokens))
    after = phrase.words[start + 1 : start + 4]
    if start >= len(phrase.tokens) or (after and not _SIDE_AFTER & set(after) and after[0] not in _SMALL):
        return None
    if after and len(phrase.words[start]) < LONG_ENOUGH:
        return None
    sounds = sounded(phrase.words[start])
    near = [(Indel.normalized_similarity(sounds, name), pose) for name, pose in _singles() if name[0] == sounds[:1]]
    alike, pose = max(near, key=lambda each: each[0], default=(0.0, None))
    return Named(pose, start, start + 1, True, True, alike) if pose and HEARD_ALONE <= alike < 1 else None


def _at(tokens: Sequence[Token], place: int) -> tuple[Pose, int, float] | None:
    """The longest name spelt from `place` on, else the one that sounds most alike."""
    words = tuple(token.text for token in tokens[place : place + MOST_WORDS])
    for length in range(len(words), 0, -1):
        pose = _spelt(words[:length])
        if pose is not None:
            return pose, length + (words[length : length + 1] == ("pose",)), 1.0
    return None if words[0] in _LINKS else _heard(words)


@lru_cache(maxsize=65536)
def _spelt(words: tuple[str, ...]) -> Pose | None:
    """The pose whose name these words are; `easy pose` is one, `easy` is not."""
    if words[0] in _NO_NAME or words[-1] in _NO_NAME - {"pose"}:
        return None
    key = key_of(" ".join(words))
    return _keys().get(key) or (_posed().get(key) if words[-1] == "pose" else None)


@lru_cache(maxsize=65536)
def _heard(words: tuple[str, ...]) -> tuple[Pose, int, float] | None:
    """The name that sounds most like the first of these words."""
    best: tuple[Pose, int, float] | None = None
    for length in range(1, len(words) + 1):
        if length > 1 and words[length - 1] in _LINKS:
            continue
        sounds = tuple(sounded(word) for word in words[:length])
        for name, pose in _sounds().get(sounds[0][:1], ()):
            alike = _likeness(sounds, name)
            if alike > (best[2] if best else 0):
                best = pose, length, alike
    return best


@lru_cache(maxsize=65536)
def _likeness(sounds: tuple[str, ...], name: tuple[str, ...]) -> float:
    """How alike two names sound; 0 where one is not the other misheard.

    An English name of several words keeps its words: one of them is heard as it is, and the others nearly so.
    """
    from rapidfuzz.distance import Indel

    one, other = "".join(sounds), "".join(name)
    if abs(len(one) - len(other)) > 3:
        return 0.0
    sanskrit = other.endswith("asana")
    if sanskrit and len(other) < LEAST_SANSKRIT:
        return 0.0
    least = HEARD_SANSKRIT if sanskrit else HEARD
    if len(one) >= LEAST_SOUNDS and (sanskrit or abs(len(sounds) - len(name)) <= 1):
        alike = Indel.normalized_similarity(one, other, score_cutoff=least)
        if alike:
            return min(0.99, alike)
    return 0.0 if sanskrit or len(sounds) != len(name) or len(name) < 2 else _word_by_word(sounds, name)


def _word_by_word(sounds: tuple[str, ...], name: tuple[str, ...]) -> float:
    """How alike two names of as many words are, when one word at least is the same and no other is far from it."""
    from rapidfuzz.distance import Indel

    pairs = [(one, other) for one, other in zip(sounds, name, strict=True) if one != other]
    if not any(one == other and len(one) > 2 for one, other in zip(sounds, name, strict=True)):
        return 0.0
    if any(one[:1] != other[:1] or abs(len(one) - len(other)) > 1 for one, other in pairs):
        return 0.0
    if any(Indel.normalized_similarity(one, other) < HEARD_WORD for one, other in pairs):
        return 0.0
    return min(0.99, Indel.normalized_similarity("".join(sounds), "".join(name)))


def _meant(phrase: Phrase, one: Named) -> bool:
    """Whether the name says what is done now; `arms up` is a name only where it stands for itself."""
    if one.end - one.start == 2 and phrase.words[one.start] in _BODY and not (phrase.pointed and one.announced):
        return False
    before = phrase.tokens[one.start - 1] if one.start else None
    if before is not None and before.text in _NOT_HERE and not before.ends:
        return False
    if phrase.words[max(one.start - 2, 0) : one.start] in (("as", "in"), ("like", "in"), ("as", "for")):
        return False
    if one.end - one.start > 1 or one.sure < 1 or one.announced or phrase.tokens[one.start].text.endswith("asana"):
        return True
    return before is not None and before.text in _ARRIVING and not before.ends


def _arrived(phrase: Phrase, start: int, end: int) -> bool:
    before = phrase.tokens[start - 1] if start else None
    return (before is None and end == len(phrase.tokens)) or (before is not None and before.text in _ARRIVING)


def _announced(phrase: Phrase, start: int, end: int) -> bool:
    """Whether the name begins a thought and is set off from what follows, where captions show it."""
    before = phrase.tokens[start - 1] if start else None
    if _SIDE_AFTER & set(phrase.words[end : end + 1]):
        return before is None or before.text not in _NOT_HERE
    if not phrase.pointed:
        return before is None or before.text not in _NOT_HERE | _ARRIVING
    begins = before is None or before.ends
    following = phrase.tokens[end].text if end < len(phrase.tokens) else ""
    return begins and (phrase.tokens[end - 1].ends or following in ("", "on", "right", "left", "with"))


def _names(pose: Pose) -> Iterator[str]:
    yield from (name for name in (pose.name, *pose.also, pose.sanskrit) if name)


def _held() -> Iterator[Pose]:
    """The poses that are done with the body; ways to breathe are no poses in a draft."""
    return (pose for pose in shipped() if Does.BREATH not in pose.does)


@cache
def _keys() -> dict[str, Pose]:
    """Every name by its key; the pose's own name goes before another pose's other name."""
    names = [(name, pose) for pose in _held() for name in _names(pose) if "pose" not in folded(name)]
    others = {key_of(" ".join(folded(name))): pose for name, pose in names}
    return {**others, **{key_of(" ".join(folded(pose.name))): pose for pose in _held()}}


@cache
def _posed() -> dict[str, Pose]:
    """Every name by its key, for names that are said with `pose` after them."""
    return {**{key_of(" ".join(folded(name))): pose for pose in _held() for name in _names(pose)}, **_keys()}


@cache
def _sounds() -> dict[str, list[tuple[tuple[str, ...], Pose]]]:
    """Every name long enough by its sounds, word by word, under the sound it begins with.

    Other English names of two words are left out: `float back` is no `flat back`.
    """
    found: dict[str, list[tuple[tuple[str, ...], Pose]]] = {}
    for pose in _held():
        for name in _names(pose):
            sounds = tuple(sounded(word) for word in folded(name))
            told = name == pose.name or len(sounds) > 2 or sounds[-1].endswith("asana")
            if told and sum(map(len, sounds)) >= LEAST_SOUNDS - 1:
                found.setdefault(sounds[0][:1], []).append((sounds, pose))
    return found


@cache
def _singles() -> list[tuple[str, Pose]]:
    """The poses whose own name is one English word of some length, by its sound."""
    return [(sounded(pose.name), pose) for pose in _held() if pose.name.isalpha() and len(pose.name) >= 5]
