"""What there is to show of a class that is led, in one value that can be sent to another process."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

from guide.live.where import Where

if TYPE_CHECKING:
    from guide.live.screen.rows import Day, Row


class Shown(Protocol):
    """What a screen shows: it is asked for many times a second, and draws itself."""

    @property
    def is_over(self) -> bool: ...

    @property
    def left_ms(self) -> int:
        """How long it is until the class ends."""
        ...

    def drawn(self, day: "Day", columns: int, rows: int) -> "tuple[Row, ...]":
        """The screen: at most `rows` rows, each `columns` wide."""
        ...


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

    @property
    def left_ms(self) -> int:
        return self.where.left_ms

    def drawn(self, day: "Day", columns: int, rows: int) -> "tuple[Row, ...]":
        # The library that measures text is only there where a screen is.
        from guide.live.screen.drawing import drawn

        return drawn(self, day, columns, rows)
