"""How the parts of a screen share its rows, and how large their letters are: of its size, and of what needs most."""

from collections.abc import Iterable, Iterator

from guide.live.screen import letters
from guide.live.screen.letters import Size
from guide.live.screen.pieces import Band, Part, ScreenPiece
from guide.live.screen.rows import Ink, Room

#: In a room with fewer rows or columns everything is written in the terminal's own letters.
LEAST_ROWS, LEAST_COLUMNS = 18, 50

#: Letters are at least this part of the screen's height: what matters most, and the rest that matters. On a laptop's
#: screen, 18 cm high and three metres away, that is 26 and 13 minutes of arc; the smallest letter that an eye reads
#: takes 5 (Source: Snellen's chart).
MOST, REST = 8, 16

#: From the top to the bottom.
IN_ORDER = (
    Part.NAME,
    Part.BREATH,
    Part.BREATH_BAR,
    Part.HOLD_BAR,
    Part.WORDS,
    Part.NEXT_WORDS,
    Part.NEXT_POSE,
    Part.TIME_LEFT,
    Part.WHERE,
)


def is_large(room: Room) -> bool:
    """Whether there is room for large letters."""
    return room.rows >= LEAST_ROWS and room.columns >= LEAST_COLUMNS


def least_high(room: Room, share: int) -> int:
    """How many half rows letters have that are this part of the room's height, `MOST` or `REST`."""
    return max(letters.DOTS, -(-2 * room.rows // share))


def sizes(high: int, room: Room) -> Iterator[Size]:
    """The sizes of letters so high, the widest first."""
    for wide in range(max(room.narrowest, letters.as_wide_as_high(high)), 0, -room.narrowest):
        yield Size(high, wide)


def narrowest(share: int, room: Room) -> Size:
    """The smallest letters that are this part of the room's height."""
    return Size(least_high(room, share), room.narrowest)


def as_large_as_can_be(band: Band, part: Part, text: str, ink: Ink, most: int) -> tuple[ScreenPiece, ...]:
    """The text in the highest letters that have room in a band, and at one height in the widest.

    The smallest are `MOST` of the room's height, narrow where they have to be, in `most` lines; what is longer is
    shortened.
    """
    if not is_large(band.room) or not letters.can_write(text):
        return band.small(part, text, ink)
    least = narrowest(MOST, band.room)
    for size in _from_the_largest(least.high, band):
        lines = letters.wrapped(text, size, band.room.inner)
        if lines is not None and len(lines) * size.line_rows <= band.rows:
            above = (band.rows - len(lines) * size.line_rows) // 2
            return band.below(above).text(part, text, size, ink, len(lines))
    return band.text(part, text, least, ink, most)


def _from_the_largest(least_high: int, band: Band) -> Iterator[Size]:
    """Only the smallest letters are less than half as wide as they stand in their table."""
    for high in range(2 * band.rows, least_high - 1, -1):
        for size in sizes(high, band.room):
            if high == least_high or 2 * size.wide >= letters.as_wide_as_high(high):
                yield size


def bands_in(room: Room, name_rows: int) -> dict[Part, Band]:
    """The rows of each part, where the name needs so many.

    Who comes first in `_wanted` is given room first; what is over is the name's, which grows with it.
    """
    rows = dict.fromkeys(IN_ORDER, 0)
    free = room.rows
    for part, wanted in _wanted(room, name_rows):
        if wanted <= free:
            rows[part] += wanted
            free -= wanted
    rows[Part.NAME] += free
    tops = [sum(rows[part] for part in IN_ORDER[:number]) for number in range(len(IN_ORDER))]
    return {part: Band(room, top, rows[part]) for part, top in zip(IN_ORDER, tops, strict=True) if rows[part]}


def _wanted(room: Room, name_rows: int) -> Iterable[tuple[Part, int]]:
    """How many rows each part wants; the name, side and breath stand first, and never give way."""
    if is_large(room):
        most, line = Size(least_high(room, MOST), 1), Size(least_high(room, REST), 1).line_rows
        breath, time = most.line_rows, most.rows
    else:
        line = breath = time = 1
    yield Part.NAME, name_rows
    yield Part.BREATH, breath
    yield Part.TIME_LEFT, time
    yield Part.NEXT_POSE, line
    yield Part.WORDS, line
    yield Part.BREATH_BAR, 1
    yield Part.NEXT_WORDS, line
    yield Part.HOLD_BAR, 1
    yield Part.WHERE, 1
    # More lines of words.
    yield Part.WORDS, line
    yield Part.NEXT_WORDS, line
