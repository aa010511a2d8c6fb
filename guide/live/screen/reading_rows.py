"""A line that is recorded, as rows of inked text: its words large, below them a level, and what is told of the take."""

from collections.abc import Iterator

from guide.live.scene import Reading
from guide.live.screen.bands import MOST, as_large_as_can_be, is_large, narrowest
from guide.live.screen.pieces import Band, Part, ScreenPiece, in_room, painted
from guide.live.screen.rows import Day, Ink, Room, Row
from guide.units import seconds_text

#: The words have so many lines at most, in the smallest of large letters.
WORD_LINES = 5

#: The bar of the level begins at this level, in dBFS.
SOFTEST_DBFS = -60

#: What is told of a take has so many rows.
TOLD_ROWS = 3


def reading_rows(reading: Reading, day: Day, room: Room) -> tuple[Row, ...]:
    """The screen: `room.rows` rows, each `room.columns` wide."""
    return painted(in_room(_pieces(reading, room), room), room)


def _pieces(reading: Reading, room: Room) -> Iterator[ScreenPiece]:
    state_rows = narrowest(MOST, room).line_rows if is_large(room) else 1
    below = state_rows + 1 + TOLD_ROWS + 1
    words = max(1, room.rows - 1 - below)
    yield from Band(room, 0, 1).small(Part.WHERE, where(reading), Ink.FAINT)
    ink = Ink.NOW if reading.phase == "recording" else Ink.PLAIN
    yield from as_large_as_can_be(Band(room, 1, words), Part.WORDS, reading.words, ink, WORD_LINES)
    yield from as_large_as_can_be(Band(room, 1 + words, state_rows), Part.BREATH, reading.state, _state_ink(reading), 1)
    yield from Band(room, 1 + words + state_rows, 1).small(Part.BREATH_BAR, level_bar(reading, room.inner), Ink.BREATH)
    told = Band(room, 2 + words + state_rows, TOLD_ROWS)
    for number, line in enumerate(reading.told[:TOLD_ROWS]):
        yield from Band(room, told.top + number, 1).small(Part.CHECK, line, Ink.TOLD)
    yield from Band(room, room.rows - 1, 1).small(Part.CLOCK, reading.keys, Ink.FAINT)


def where(reading: Reading) -> str:
    """Which line it is, of how many, how long it may be, and whether there is a take of it."""
    room = f", at most {seconds_text(reading.room_ms)}" if reading.room_ms else ""
    has = ", has a take" if reading.is_recorded else ""
    section = f"{reading.section}: " if reading.section else ""
    return f"{section}line {reading.number} of {reading.lines}{room}{has} ({reading.recorded} recorded)"


def level_bar(reading: Reading, columns: int) -> str:
    """How loud it is, as a bar and a number; it is full at full scale."""
    number = f"{reading.level_dbfs} dBFS"
    free = max(0, columns - len(number) - 1)
    share = (min(0, max(SOFTEST_DBFS, reading.level_dbfs)) - SOFTEST_DBFS) / -SOFTEST_DBFS
    filled = round(share * free)
    return f"{'█' * filled}{'·' * (free - filled)} {number}"


def _state_ink(reading: Reading) -> Ink:
    if reading.sound_lost:
        return Ink.ALARM
    return Ink.TOLD if reading.phase == "recording" else Ink.WAITS
