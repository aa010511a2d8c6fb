"""What a rehearsal asks of a microphone that listens to the teacher's voice."""

from collections.abc import Iterable
from typing import Protocol

from guide.live.record import Spoke


class Listening(Protocol):
    """Listens while a class is rehearsed. Counted time leaves out pauses and what was gone back on."""

    def heard(self, real_ms: int) -> Iterable[Spoke]:
        """What was spoken since this was last asked, by `real_ms` after the beginning."""
        ...

    def step(self, counted_ms: int) -> int:
        """The step that is under way now, as far as a voice tells it."""
        ...

    def began(self, step: int, counted_ms: int) -> None:
        """A step is known to have begun: a key was pressed, or it was gone back to."""
        ...
