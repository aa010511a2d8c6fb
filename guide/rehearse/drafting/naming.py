"""Names of poses in what was said: as the library spells them, in English or Sanskrit, misspelt or misheard."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache

from guide.rehearse.drafting.phrases import Phrase, Token
from guide.rehearse.likeness import sounded
from guide.rehearse.transcript import folded
from guide.sequence.poses.library import shipped
from guide.sequence.poses.names import key_of
from guide.sequence.poses.pose import Does, Pose

#: A name is heard where so much of it sounds alike; and never in fewer sounds than this.
HEARD = 0.84
LEAST_SOUNDS = 7
MOST_WORDS = 6

#: Words that no misheard name begins with.
_LINKS = frozenset(
    "the a an and or to of in on at as your you my our is are be it that this with for from into over up down if so "
    "let keep then now not no inhale exhale breathe breath right left side".split()
)
#: Before these words a name says where people come from, or is a thing in the room.
_NOT_HERE = frozenset(
    "from a an the your my of on like as whole two under over one other his her no not both each every before after "
    "than against between at behind beside leaving".split()
)
_ARRIVING = frozenset("to into in is for hold find take our again and back now then come this stay".split())


@dataclass(frozen=True, slots=True)
class Named:
    """A pose that is named in a phrase, by the tokens from `start` to before `end`.

    `announced` is whether the name stands for itself (`Warrior two, right side.`) and is not part of a longer thought;
    `sure` is 1 where it is spelt as in the library, else how alike it sounds.
    """

    pose: Pose
    start: int
    end: int
    announced: bool
    sure: float


def named(phrase: Phrase) -> tuple[Named, ...]:
    """The poses that a phrase names, in order; those that are only spoken of (`from plank`) are left out."""
    return tuple(one for one in _mentions(phrase) if _meant(phrase, one))


def _mentions(phrase: Phrase) -> Iterator[Named]:
    place = phrase.called
    while place < len(phrase.tokens):
        found = _at(phrase.tokens, place)
        if found is None:
            place += 1
            continue
        pose, length, sure = found
        end = place + length
        yield Named(pose, place, end, _announced(phrase, place, end), sure)
        place = end


def _at(tokens: Sequence[Token], place: int) -> tuple[Pose, int, float] | None:
    """The longest name spelt from `place` on, else the one that sounds most alike."""
    words = [token.text for token in tokens[place : place + MOST_WORDS]]
    for length in range(len(words), 0, -1):
        pose = _spelt().get(key_of(" ".join(words[:length])))
        if pose is not None and words[0] not in ("the", "pose", "and") and words[length - 1] not in ("the", "and"):
            return pose, length + (words[length : length + 1] == ["pose"]), 1.0
    return None if words[0] in _LINKS else _heard(tuple(words))


def _heard(words: tuple[str, ...]) -> tuple[Pose, int, float] | None:
    from rapidfuzz.distance import Indel

    best: tuple[Pose, int, float] | None = None
    for length in range(1, len(words) + 1):
        sounds = sounded("".join(words[:length]))
        if len(sounds) < LEAST_SOUNDS or (length > 1 and words[length - 1] in _LINKS):
            continue
        for name, pose in _sounds().get(sounds[0], ()):
            if abs(len(name) - len(sounds)) > 3:
                continue
            alike = Indel.normalized_similarity(sounds, name, score_cutoff=HEARD)
            if alike > (best[2] if best else 0):
                best = pose, length, alike
    return best


def _meant(phrase: Phrase, one: Named) -> bool:
    """Whether the name says what is done now."""
    before = phrase.tokens[one.start - 1] if one.start else None
    if before is not None and before.text in _NOT_HERE and not before.ends:
        return False
    if one.end - one.start > 1 or one.sure < 1 or one.announced or phrase.tokens[one.start].text.endswith("asana"):
        return True
    return before is not None and before.text in _ARRIVING and not before.ends


def _announced(phrase: Phrase, start: int, end: int) -> bool:
    """Whether the name begins a thought and is set off from what follows, where captions show it."""
    before = phrase.tokens[start - 1] if start else None
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
def _spelt() -> dict[str, Pose]:
    """Every name by its key; the pose's own name goes before another pose's other name."""
    others = {key_of(" ".join(folded(name))): pose for pose in _held() for name in _names(pose)}
    return {**others, **{key_of(" ".join(folded(pose.name))): pose for pose in _held()}}


@cache
def _sounds() -> dict[str, list[tuple[str, Pose]]]:
    """Every name long enough to be known by its sound, under the sound it begins with."""
    found: dict[str, list[tuple[str, Pose]]] = {}
    for pose in _held():
        for name in _names(pose):
            sounds = sounded("".join(folded(name)))
            if len(sounds) >= LEAST_SOUNDS:
                found.setdefault(sounds[0], []).append((sounds, pose))
    return found
