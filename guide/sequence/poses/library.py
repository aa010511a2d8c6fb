"""A library of poses, found by any of their names: the program's own, with those that a class file adds or changes."""

import difflib
from collections.abc import Iterable, Iterator, Mapping, Sequence, Set
from functools import cached_property

from guide.sequence.poses.names import alike, foldings, key_of, tokens
from guide.sequence.poses.pose import Base, Condition, Does, Pose

#: Below this likeness of two names, one is hardly a slip of the other (tried on misspelt and on invented names).
LIKE_ENOUGH = 0.74

#: Nearly every name in Sanskrit ends so; it says nothing about which is meant.
_ENDING = "asana"

_MOST_LETTERS = 60


class Library:
    """Poses found by any of their names; `own` are the names of those that a class file adds or changes."""

    def __init__(
        self,
        poses: Mapping[str, Pose],
        own: frozenset[str] = frozenset(),
        called: Mapping[str, Pose] | None = None,
    ) -> None:
        self._poses = dict(poses)
        self._own = own
        self._called = dict(called or {})

    def __iter__(self) -> Iterator[Pose]:
        return iter(self._poses.values())

    def __len__(self) -> int:
        return len(self._poses)

    def find(self, name: str) -> Pose | None:
        """The pose that a name means, however it is spelt; None where no pose is called so."""
        exact = self._poses.get(name)
        if exact is not None and not self._called:
            return exact
        keys = foldings(name)
        return next((self._by_key[key][1] for key in keys if key in self._by_key), None)

    def called(self, key: str) -> Pose | None:
        """The pose with a name in this one form (`names.key_of`), side and all."""
        found = self._by_key.get(key)
        return None if found is None else found[1]

    def nearest(self, name: str) -> str:
        """The name of a pose that an unknown name is nearly, or nothing; the spelling that it is nearest to."""
        if len(name) > _MOST_LETTERS:
            return ""
        wanted = foldings(name)[-1]
        best = max(((_likeness(wanted, key), key) for key in self._by_key), default=(0.0, ""))
        if best[0] >= LIKE_ENOUGH:
            return self._by_key[best[1]][0]
        return self._longer(name)

    def with_own(self, own: Mapping[str, Pose]) -> "Library":
        """This library with a class file's own poses, which go before those of the same name."""
        return Library({**self._poses, **own}, self._own | own.keys(), self._called) if own else self

    def calling(self, called: Mapping[str, Pose]) -> "Library":
        """This library, in which these names mean these poses, whatever they mean elsewhere."""
        return Library(self._poses, self._own, {**self._called, **called})

    def search(
        self,
        words: Iterable[str] = (),
        conditions: Iterable[Condition] = (),
        does: Iterable[Does] = (),
        base: Base | None = None,
    ) -> tuple[Pose, ...]:
        """The poses with all these words in their names, a caution for any of the conditions, that do all of `does`."""
        wanted = [token for word in words for token in tokens(word)]
        cautious, doing = set(conditions), set(does)
        return tuple(
            pose
            for pose in self
            if (not cautious or cautious & pose.cautions.keys())
            and doing <= set(pose.does)
            and base in (None, pose.base)
            and all(_in_names(token, pose) for token in wanted)
        )

    @cached_property
    def _by_key(self) -> Mapping[str, tuple[str, Pose]]:
        """Every name in the form in which it is compared, with how it is written; a later one goes first."""
        others = [pose for name, pose in self._poses.items() if name not in self._own]
        own = [pose for name, pose in self._poses.items() if name in self._own]
        found: dict[str, tuple[str, Pose]] = {}
        for poses in (others, own):
            found.update((key_of(name), (name, pose)) for pose in poses for name in (pose.sanskrit, *pose.also) if name)
            found.update((key_of(pose.name), (pose.name, pose)) for pose in poses)
        own_keys = {key_of(name) for pose in own for name in (pose.name, pose.sanskrit, *pose.also) if name}
        called = {key_of(name): (name, pose) for name, pose in self._called.items()}
        return found | {key: each for key, each in called.items() if key not in own_keys}

    def _longer(self, name: str) -> str:
        """The one pose whose name has all the words of this one and more, or nothing."""
        wanted = set(tokens(name))
        if not any(len(token) > 3 for token in wanted):
            return ""
        found = {pose.name: written for written, pose, words in self._by_words if wanted <= words}
        return next(iter(found.values())) if len(found) == 1 else ""

    @cached_property
    def _by_words(self) -> Sequence[tuple[str, Pose, Set[str]]]:
        """Every name with its pose and its words."""
        return [(written, pose, frozenset(tokens(written))) for written, pose in self._by_key.values()]


def _likeness(wanted: str, key: str) -> float:
    """How alike two names in their one form are, from 0 to 1; an ending that most names have counts for neither."""
    if wanted.endswith(_ENDING) and key.endswith(_ENDING):
        wanted, key = wanted.removesuffix(_ENDING), key.removesuffix(_ENDING)
    pair = difflib.SequenceMatcher(None, wanted, key, autojunk=False)
    if pair.real_quick_ratio() < LIKE_ENOUGH or pair.quick_ratio() < LIKE_ENOUGH:
        return 0.0
    return pair.ratio()


def _in_names(token: str, pose: Pose) -> bool:
    """Whether a word begins a word of the pose's names, or stands anywhere in one when it is long enough to tell, or
    means the same as one."""
    written = [each for name in (pose.name, *pose.also, pose.sanskrit) for each in tokens(name)]
    return any(
        each.startswith(token) or (len(token) > 3 and token in each) or alike(each) == alike(token) for each in written
    )
