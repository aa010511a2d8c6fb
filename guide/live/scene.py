"""What there is to show of a class that is led, in one value that can be sent to another process."""

from dataclasses import dataclass

from guide.live.where import Where


@dataclass(frozen=True, slots=True)
class Scene:
    """Where the class is, what was last told, and whether it waits, for the teacher or for the sound.

    `told` is empty when that was a while ago; `tells` counts what was told, so that the same told twice is seen to be.
    """

    title: str
    where: Where
    told: str
    tells: int
    is_paused: bool
    sound_lost: bool
    is_over: bool
