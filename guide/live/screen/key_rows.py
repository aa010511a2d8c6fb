"""The list of keys as rows of inked text, in place of the class for as long as the teacher looks at it."""

from collections.abc import Sequence

from guide.live.screen.rows import MARGIN, Ink, Room, Row, Run, fitted
from guide.visible import visible_in_line

TITLE = "Keys (? or Esc closes this; every other key does what it says)"


def key_rows(lines: Sequence[str], room: Room) -> tuple[Row, ...]:
    """The screen: `room.rows` rows, each `room.columns` wide."""
    edge = " " * MARGIN
    listed = [f"{edge}{TITLE}", "", *(f"{edge}{visible_in_line(line)}" for line in lines)]
    listed += [""] * (room.rows - len(listed))
    inks = [Ink.NOW] + [Ink.PLAIN] * (len(listed) - 1)
    runs = [Run(fitted(text, room.columns), ink) for text, ink in zip(listed, inks, strict=True)]
    return tuple((run,) for run in runs[: room.rows])
