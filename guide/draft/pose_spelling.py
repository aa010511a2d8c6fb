"""Names of poses as they are spelt: in the library's way, or in any that the trade has for it."""

from collections.abc import Iterator
from functools import cache, lru_cache

from guide.review.captions.transcript import folded
from guide.sequence.poses.names import alike, key_of, tokens
from guide.sequence.poses.pose import Does, Pose
from guide.sequence.poses.shipped_library import shipped

_NO_NAME = frozenset(("the", "pose", "and"))

#: A word of no more letters is a name only as it is spelt.
_SHORT = 4


@lru_cache(maxsize=65536)
def spelt(words: tuple[str, ...]) -> Pose | None:
    """The pose whose name these words are; `easy pose` is one, `easy` is not."""
    if words[0] in _NO_NAME or words[-1] in _NO_NAME - {"pose"}:
        return None
    key = "".join(map(_key_of_word, words))
    pose = _keys().get(key) or (_posed().get(key) if words[-1] == "pose" else None)
    if pose is None or ("and" in words and words not in _with_and()):
        return None
    if _in_plural(words[-1], pose) or _is_another(words, pose):
        return None
    return pose


@lru_cache(maxsize=16384)
def _key_of_word(word: str) -> str:
    """A word's part of the key of a name: a class has few words, and many runs of them are looked up."""
    return "".join(map(alike, tokens(word)))


def _is_another(words: tuple[str, ...], pose: Pose) -> bool:
    """Whether a short word is only spelt as Sanskrit may be: `chat` is no `cat`."""
    return len(words) == 1 and len(words[0]) <= _SHORT and words not in map(tuple, map(folded, names_of(pose)))


def _in_plural(last: str, pose: Pose) -> bool:
    """Whether a name that ends so has only its singular: `a chair with wheels` and `the belly rests` are no poses."""
    ends = {folded(name)[-1] for name in names_of(pose)}
    return last.endswith("s") and last not in ends and last[:-1] in ends


@cache
def _with_and() -> frozenset[tuple[str, ...]]:
    """The names that have an `and` in them: `hand and stand` is no handstand."""
    return frozenset(folded(name) for pose in held_poses() for name in names_of(pose) if "and" in folded(name))


def names_of(pose: Pose) -> Iterator[str]:
    """Every name of a pose: its own, the others, and the one in Sanskrit."""
    yield from (name for name in (pose.name, *pose.also, pose.sanskrit) if name)


def held_poses() -> Iterator[Pose]:
    """The poses that are done with the body; ways to breathe are no poses in a draft."""
    return (pose for pose in shipped() if Does.BREATH not in pose.does)


@cache
def _keys() -> dict[str, Pose]:
    """Every name by its key; the pose's own name goes before another pose's other name."""
    names = [(name, pose) for pose in held_poses() for name in names_of(pose) if "pose" not in folded(name)]
    others = {key_of(" ".join(folded(name))): pose for name, pose in names}
    return {**others, **{key_of(" ".join(folded(pose.name))): pose for pose in held_poses()}}


@cache
def _posed() -> dict[str, Pose]:
    """Every name by its key, for names that are said with `pose` after them."""
    return {**{key_of(" ".join(folded(name))): pose for pose in held_poses() for name in names_of(pose)}, **_keys()}
