"""What a rehearsal asks of a microphone that listens to the teacher's voice."""

from collections.abc import Iterable
from typing import Protocol

from guide.live.record import Spoke


class Listener(Protocol):
    """Listens while a class is rehearsed. Real time, in ms, runs from the beginning; a moment leaves out pauses."""

    @property
    def state(self) -> str:
        """What to tell of it on the screen, in a word or two."""
        ...

    def begin(self) -> None:
        """The rehearsal begins: what was heard until now counts for nothing, and real time runs from now on."""
        ...

    def heard(self, real_ms: int) -> Iterable[Spoke]:
        """What was spoken since this was last asked."""
        ...

    def step(self, moment_ms: int) -> int:
        """The step that is under way now, as far as a voice tells it."""
        ...

    def began(self, step: int, moment_ms: int) -> None:
        """A step is known to have begun: a key was pressed, or it was gone back to."""
        ...

    def quiet_ms(self, real_ms: int) -> int:
        """How long nobody has spoken."""
        ...
