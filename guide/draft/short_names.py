"""What people call a pose for short: `dog`, `second warrior`, and Sanskrit names without their end."""

from functools import cache

from guide.draft.pose_spelling import held_poses, names_of
from guide.review.captions.transcript import folded
from guide.sequence.poses.pose import Pose

#: How sure a name is that is only half said.
HALF_SAID = 0.9

#: A word of Sanskrit has so many letters before it can stand without `asana`.
LEAST_LETTERS = 6

#: Common practice.
_SHORT = {
    "dog": "downward dog",
    "adho mukha": "downward dog",
    "urdhva mukha": "upward dog",
    "first warrior": "warrior one",
    "virabhadrasana a": "warrior one",
    "second warrior": "warrior two",
    "virabhadrasana b": "warrior two",
    "virabhadrasana the second": "warrior two",
    "third warrior": "warrior three",
    "virabhadrasana c": "warrior three",
    "virabhadrasana the third": "warrior three",
    "peaceful warrior": "reverse warrior",
    "crescent": "high lunge",
    "twisted chair": "twisting chair",
    "chair twist": "twisting chair",
    "half fish": "half lord of the fishes",
    "lying butterfly": "reclining bound angle",
    "frog squat": "garland",
}


def half_said(words: tuple[str, ...]) -> Pose | None:
    """The pose that these words are short for."""
    return _names().get(words)


@cache
def _names() -> dict[tuple[str, ...], Pose]:
    """Every short name; of a Sanskrit one what no other pose's name begins with."""
    found: dict[tuple[str, ...], set[str]] = {}
    whole = {folded(name) for pose in held_poses() for name in names_of(pose)}
    for pose in held_poses():
        for words in map(folded, names_of(pose)):
            for short in _without_end(words):
                found.setdefault(short, set()).add(pose.name)
    one = {short: names.pop() for short, names in found.items() if len(names) == 1 and short not in whole}
    one |= {tuple(short.split()): name for short, name in _SHORT.items()}
    poses = {pose.name: pose for pose in held_poses()}
    return {short: poses[name] for short, name in one.items() if name in poses}


def _without_end(words: tuple[str, ...]) -> list[tuple[str, ...]]:
    if not words[-1].endswith("asana"):
        return []
    bare = words[-1].removesuffix("asana")
    short = [(*words[:-1], bare)] if len(bare) >= LEAST_LETTERS else []
    return [*short, words[:-1]] if len(words) > 2 else short
