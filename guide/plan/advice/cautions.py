"""What cautions of the library say of whom a pose is for: for every rule that names a pose to people."""

import re
from collections.abc import Iterable

from guide.plan.advice.view import ClassView
from guide.sequence.poses.in_words import poses_named
from guide.sequence.poses.library import Library
from guide.sequence.poses.pose import Condition, Pose, Way

#: A caution that leaves a pose out, and does not only change it.
_FORBIDDING = re.compile(
    r"\b(?:leave (?:it|this|them) out|leave out|instead|skip|avoid (?:it|this)|do not (?:do|take|go)|not in|not for)\b",
    re.IGNORECASE,
)


def forbids(pose: Pose, condition: Condition) -> bool:
    """Whether the library leaves a pose out for people with a condition, and does not only change it."""
    found = _FORBIDDING.search(caution := pose.cautions.get(condition, ""))
    # `keep it short, or leave it out` leaves a choice.
    return found is not None and not re.search(r"\bor\b", caution[: found.start()])


def allowed(view: ClassView, names: Iterable[str]) -> list[str]:
    """The names, as the library writes them, of the poses that it has no caution of for what the class is to avoid."""
    found = (view.library.find(name) for name in names)
    avoid = set(view.class_file.avoid)
    return [pose.name for pose in found if pose is not None and not avoid & pose.cautions.keys()]


def allowed_way(library: Library, way: Way | None, avoid: Iterable[Condition]) -> Way | None:
    """An easier way that leads into no pose which has a caution for the same condition; None otherwise."""
    if way is None:
        return None
    named = [*poses_named(way.say, library), *([found] if (found := library.find(way.pose)) else [])]
    return None if any(set(avoid) & pose.cautions.keys() for pose in named) else way
