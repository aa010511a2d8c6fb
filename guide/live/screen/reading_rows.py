"""A line that is recorded, as rows of inked text: its words large, below them a level, and what is told of the take."""

from collections.abc import Iterable, Iterator
from textwrap import wrap

from guide.live.scene import ReadingScene
from guide.live.screen import letters
from guide.live.screen.bands import MOST, as_large_as_can_be, is_large, narrowest
from guide.live.screen.pieces import Band, Part, ScreenPiece, in_room, painted
from guide.live.screen.rows import Day, Ink, Room, Row
from guide.units import at_most

#: The bar of the level begins at this level, in dBFS.
SOFTEST_DBFS = -60

#: What is told of a take has so many rows, and the keys have as many as they need, up to this.
TOLD_ROWS, KEY_ROWS = 3, 2


def reading_rows(reading: ReadingScene, day: Day, room: Room) -> tuple[Row, ...]:
    """The screen: `room.rows` rows, each `room.columns` wide."""
    return painted(in_room(_pieces(reading, room), room), room)


def _pieces(reading: ReadingScene, room: Room) -> Iterator[ScreenPiece]:
    told = [row for line in reading.told for row in wrap(line, room.inner)][:TOLD_ROWS]
    # A key stays with the first word of what it does.
    keys = [row.replace("\xa0", " ") for row in wrap(reading.keys.replace(": ", ":\xa0"), room.inner)][:KEY_ROWS]
    state_rows = narrowest(MOST, room).line_rows if is_large(room) else 1
    word_rows = max(1, room.rows - 1 - state_rows - 1 - TOLD_ROWS - len(keys))
    yield from Band(room, 0, 1).small(Part.WHERE, where(reading), Ink.FAINT)
    yield from _words(reading, Band(room, 1, word_rows))
    top = 1 + word_rows
    yield from as_large_as_can_be(Band(room, top, state_rows), Part.BREATH, reading.state, _state_ink(reading), 1)
    top += state_rows
    yield from Band(room, top, 1).small(Part.BREATH_BAR, level_bar(reading, room.inner), Ink.BREATH)
    for number, line in enumerate(told, start=top + 1):
        yield from Band(room, number, 1).small(Part.CHECK, line, Ink.TOLD)
    for number, line in enumerate(keys, start=room.rows - len(keys)):
        yield from Band(room, number, 1).small(Part.CLOCK, line, Ink.FAINT)


def _words(reading: ReadingScene, band: Band) -> Iterable[ScreenPiece]:
    """The line, all of it: as large as it can be, and in the terminal's own letters where it is too long for that."""
    ink = Ink.NOW if reading.phase == "recording" else Ink.PLAIN
    least = narrowest(MOST, band.room)
    lines = letters.wrapped(reading.words, least, band.room.inner) if letters.can_write(reading.words) else None
    if lines is None or len(lines) * least.line_rows > band.rows:
        return band.small(Part.WORDS, reading.words, ink)
    return as_large_as_can_be(band, Part.WORDS, reading.words, ink, len(lines))


def where(reading: ReadingScene) -> str:
    """Which line it is, of how many, how long it may be, and whether there is a take of it."""
    room = f", {at_most(reading.room_ms)}" if reading.room_ms else ""
    has = ", has a take" if reading.is_recorded else ""
    section = f"{reading.section}: " if reading.section else ""
    return f"{section}line {reading.number} of {reading.lines}{room}{has} ({reading.recorded} recorded)"


def level_bar(reading: ReadingScene, columns: int) -> str:
    """How loud it is, as a bar and a number; it is full at full scale."""
    number = f"{reading.level_dbfs} dBFS"
    free = max(0, columns - len(number) - 1)
    share = (min(0, max(SOFTEST_DBFS, reading.level_dbfs)) - SOFTEST_DBFS) / -SOFTEST_DBFS
    filled = round(share * free)
    return f"{'█' * filled}{'·' * (free - filled)} {number}"


def _state_ink(reading: ReadingScene) -> Ink:
    if reading.sound_lost:
        return Ink.ALARM
    return Ink.TOLD if reading.phase == "recording" else Ink.WAITS
