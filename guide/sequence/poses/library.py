"""The library of poses: those that come with the program, and those that a class file adds or changes."""

from collections.abc import Iterator, Mapping

from guide.sequence.poses.pose import Pose


class Library:
    """Poses found by any of their names."""

    def __init__(self, poses: Mapping[str, Pose]) -> None:
        self._poses = poses

    def __iter__(self) -> Iterator[Pose]:
        return iter(self._poses.values())

    def find(self, name: str) -> Pose | None:
        """The pose that a name means, however it is spelt; None where no pose is called so."""
        return self._poses.get(name)

    def nearest(self, name: str) -> str:
        """The name of a pose that an unknown name is nearly, or nothing."""
        return ""

    def with_own(self, own: Mapping[str, Pose]) -> "Library":
        """This library with a class file's own poses, which go before those of the same name."""
        return Library({**self._poses, **own})


def shipped() -> Library:
    """The library that comes with the program."""
    return Library({})
