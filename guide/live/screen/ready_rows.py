"""Whether a class can be led, as rows of inked text: one large verdict, and below it what it rests on."""

from collections.abc import Iterable, Iterator

from guide.live.scene import Check, Ready
from guide.live.screen import letters
from guide.live.screen.bands import MOST, REST, as_large_as_can_be, is_large, narrowest
from guide.live.screen.pieces import Band, Part, ScreenPiece, in_room, painted
from guide.live.screen.rows import Day, Ink, Room, Row

#: The verdict has so many lines at most.
VERDICT_LINES = 2


def ready_rows(ready: Ready, day: Day, room: Room) -> tuple[Row, ...]:
    """The screen: `room.rows` rows, each `room.columns` wide; what is not well comes first, where not all has room."""
    return painted(ready_pieces(ready, room), room)


def ready_pieces(ready: Ready, room: Room) -> tuple[ScreenPiece, ...]:
    """What stands where; nothing overlaps, and no letter is cut."""
    line, least = (narrowest(share, room).line_rows if is_large(room) else 1 for share in (REST, MOST))
    checks = ready.checks
    most = max(0, room.rows - VERDICT_LINES * least) // line
    if len(checks) > most:
        checks = tuple(sorted(checks, key=lambda check: check.is_good))[:most]
    above = room.rows - len(checks) * line
    pieces = [*_verdict(ready, Band(room, 0, above))]
    for number, check in enumerate(checks):
        pieces += _check(check, Band(room, above + number * line, line))
    return in_room(pieces, room)


def _verdict(ready: Ready, band: Band) -> Iterable[ScreenPiece]:
    ink = Ink.NOW if ready.is_good else Ink.ALARM
    return as_large_as_can_be(band, Part.VERDICT, ready.verdict, ink, VERDICT_LINES)


def _check(check: Check, band: Band) -> Iterator[ScreenPiece]:
    ink = Ink.PLAIN if check.is_good else Ink.ALARM
    text = f"{'' if check.is_good else '! '}{check.name}: {check.words}"
    if is_large(band.room) and letters.can_write(text):
        yield from band.text(Part.CHECK, text, narrowest(REST, band.room), ink, 1)
    else:
        yield from band.small(Part.CHECK, text, ink)
