"""What there is to show of a class that is led, in one value that can be sent to another process."""

from dataclasses import dataclass
from typing import Protocol

from guide.plan.moment import Moment


class Showable(Protocol):
    """What a screen shows: it is asked for many times a second."""

    @property
    def is_over(self) -> bool: ...

    @property
    def left_ms(self) -> int:
        """How long it is until the class ends."""
        ...


@dataclass(frozen=True, slots=True)
class Scene:
    """Where the class is, what was last told, and whether it waits, for the teacher or for the sound.

    `told` is empty when that was a while ago; `tells` counts what was told, so that the same told twice is seen to be.
    """

    title: str
    moment: Moment
    told: str
    tells: int
    is_paused: bool
    sound_lost: bool
    is_over: bool

    @property
    def left_ms(self) -> int:
        return self.moment.left_ms
