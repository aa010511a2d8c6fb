"""The screen as rows of inked text: a pure function of a scene, the time of day, and the room there is.

From the top: what is done now; on which side, written on that side, in
or out, and which breath; a bar that widens and narrows with the breath; how much of the hold is over; the words that
are said, and those to be said; the next pose; how long yet, the clock, and when the class ends; section and class, and
how far the section is.

Name, side, breath and the time left have letters of an eighth of the screen's height, the others of a sixteenth. Where
there is too little room, the words to be said give way first, then those that are said, then the next pose; the name,
side and breath never do. A long name is written in narrower letters, then in several lines, and what even these cannot
hold is left out at its end.
"""

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise, product
from textwrap import wrap

from rich.cells import cell_len

from guide.live.scene import Scene
from guide.live.screen import letters
from guide.live.screen.bands import MOST, REST, as_large_as_can_be, bands_in, is_large, least_high, narrowest, sizes
from guide.live.screen.letters import Size
from guide.live.screen.pieces import Band, Part, ScreenPiece, in_room, painted, printable
from guide.live.screen.rows import MARGIN, Day, Ink, Room, Row, cut
from guide.plan.moment import Moment, Phase, named
from guide.units import clock

#: A name has so many lines at most in its smallest letters.
NAME_LINES = 2

#: Words have so many half columns a dot for each of so many columns: about 30 letters a line.
COLUMNS_A_DOT = 70

#: What a thin bar is made of: what is over, and what is to come.
OVER, TO_COME = "■", "─"

#: Less than so many seconds before the end these are shown, and minutes before.
SECONDS_SHOWN = 100


def scene_rows(scene: Scene, day: Day, room: Room) -> tuple[Row, ...]:
    """The screen: `room.rows` rows, each `room.columns` wide."""
    return painted(scene_pieces(scene, day, room), room)


def scene_pieces(scene: Scene, day: Day, room: Room) -> tuple[ScreenPiece, ...]:
    """What stands where; nothing overlaps, and no letter is cut."""
    now = scene.moment
    bands = _for_what_is_told(scene, bands_in(room, _name_rows(now, room)))
    made: dict[Part, Callable[[Band], Iterable[ScreenPiece]]] = {
        Part.WHERE: lambda band: _where(scene, band, bands.get(Part.NEXT_WORDS, bands.get(Part.WORDS))),
        Part.NAME: lambda band: as_large_as_can_be(band, Part.NAME, now.action, Ink.NOW, NAME_LINES),
        Part.BREATH: lambda band: _state(now, band),
        Part.BREATH_BAR: lambda band: _breath_bar(now, band),
        Part.HOLD_BAR: lambda band: _hold_bar(now, band),
        Part.WORDS: lambda band: _words(scene, band, Part.NEXT_WORDS in bands),
        Part.NEXT_WORDS: lambda band: _next_words(scene, band),
        Part.NEXT_POSE: lambda band: _next_pose(now, band),
        Part.TIME_LEFT: lambda band: _times(now, day, band),
    }
    return in_room((piece for part, band in bands.items() for piece in made[part](band)), room)


def _for_what_is_told(scene: Scene, bands: dict[Part, Band]) -> dict[Part, Band]:
    """The bands, with the one for the next pose lent to a longer telling, which is over soon."""
    band, after = bands.get(Part.NEXT_WORDS), bands.get(Part.NEXT_POSE)
    if band is None or after is None or _fits(_told(scene), band):
        return bands
    longer = Band(band.room, band.top, band.rows + after.rows)
    return {part: longer if part is Part.NEXT_WORDS else it for part, it in bands.items() if part != Part.NEXT_POSE}


def _fits(words: str, band: Band) -> bool:
    """Whether a band has room for all of the words at once."""
    if not is_large(band.room) or not letters.can_write(words):
        return len(wrap(words, band.room.inner)) <= band.rows
    size = _words_size(band.room)
    return len(letters.broken(words, size, band.room.inner)) <= band.rows // size.line_rows


def _name_rows(now: Moment, room: Room) -> int:
    """The rows that the name needs at least."""
    if not is_large(room):
        return 1
    size = narrowest(MOST, room)
    lines = len(letters.shortened(now.action, size, room.inner, NAME_LINES)) if letters.can_write(now.action) else 1
    return max(1, lines) * size.line_rows


def _where(scene: Scene, band: Band, told_in: Band | None) -> Iterator[ScreenPiece]:
    """Section and class, and a bar that is full when the section (or a class without sections) is over.

    What was just told stands here where it has too little room in `told_in`.
    """
    now, room = scene.moment, band.room
    half = room.inner // 2
    if told_in is not None and not _fits(_told(scene), told_in):
        # It is said in full at least here.
        yield from band.small(Part.WHERE, cut(printable(_told(scene)), room.inner), Ink.TOLD)
        return
    text = f"{now.section} · {scene.title}" if now.section else scene.title
    yield from band.small(Part.WHERE, cut(printable(text), half - 1), Ink.FAINT)
    lasts_ms = now.section_ms or now.at_ms + now.left_ms
    left_ms = now.section_left_ms if now.section_ms else now.left_ms
    text = _thin(half, 1 - left_ms / max(1, lasts_ms))
    yield ScreenPiece(Part.SECTION_BAR, band.top, MARGIN + room.inner - half, (text,), Ink.TIME, 0)


def _thin(columns: int, share: float) -> str:
    """A thin bar that fills from the left."""
    full = round(min(1.0, max(0.0, share)) * columns)
    return OVER * full + TO_COME * (columns - full)


#: The parts of a breath in as few letters as can be.
_PHASES = {Phase.IN: "in", Phase.OUT: "out", Phase.FULL: "full", Phase.EMPTY: "empty"}


def _state(now: Moment, band: Band) -> Iterable[ScreenPiece]:
    """The side, on its side; in or out, or that the hold begins; which breath of how many, or how long yet."""
    if not is_large(band.room):
        return band.small(Part.BREATH, "  ".join(filter(None, (now.side, _breath(now), _counts(now)[-1][0]))), Ink.NOW)
    *counts, shortest = _counts(now)
    large = tuple(sizes(least_high(band.room, MOST), band.room))
    # Narrower letters before less that is told.
    tried = (*product(large, counts), *product(large, (shortest,)))
    return next(filter(None, (_side_by_side(_slots(now, *count), size, band) for size, count in tried)), ())


@dataclass(frozen=True, slots=True)
class _Slot:
    """A text that has the room of the widest that will stand there in this step, so that it moves nothing."""

    part: Part
    text: str
    widest: str
    ink: Ink


def _slots(now: Moment, count: str, widest: str) -> tuple[_Slot, _Slot, _Slot]:
    word = _breath(now)
    breath = _Slot(Part.BREATH, word, "out" if word == "in" else word, Ink.BREATH)
    # Both sides have letters of one size.
    side = _Slot(Part.SIDE, now.side, "right" if now.side else "", Ink.RIGHT if now.side == "right" else Ink.LEFT)
    counted = _Slot(Part.COUNT, count, widest, Ink.TIME)
    return (counted, breath, side) if now.side == "right" else (side, breath, counted)


def _side_by_side(slots: tuple[_Slot, _Slot, _Slot], size: Size, band: Band) -> list[ScreenPiece] | None:
    """Three texts at the left, in the middle and at the right; None where they have no room."""
    inner, wide = band.room.inner, [letters.width(slot.widest, size) for slot in slots]
    gaps = 3 * size.wide // 2 * (sum(map(bool, wide)) - 1)
    if sum(wide) + gaps > inner:
        return None
    lefts = (0, wide[0] + (inner - sum(wide)) // 2, inner - letters.width(slots[2].text, size))
    return [
        replace(band.piece(slot.part, slot.text, size, slot.ink), left=MARGIN + left)
        for slot, left in zip(slots, lefts, strict=True)
        if slot.text
    ]


def _breath(now: Moment) -> str:
    if now.begins_ms:
        return "begins"
    # Where nothing is breathed, the lungs count as empty.
    return _PHASES[now.phase] if now.breath or now.phase is not Phase.EMPTY else ""


def _counts(now: Moment) -> list[tuple[str, str]]:
    """What is counted, the fullest telling first; each with the widest that it will be in this step."""
    if now.begins_ms:
        return [(_up(now.begins_ms),) * 2]
    if not now.breath:
        return [("", "")]
    left = _up(now.hold_left_ms)
    if now.breaths < 2:
        return [(left, _widest(_up(now.hold_ms)))]
    most = max(now.breath, now.breaths)
    count, widest = f"{now.breath}/{now.breaths}", _widest(f"{most}/{now.breaths}")
    timed = (f"{count} {left}", f"{widest} {_widest(_up(now.hold_ms))}")
    return [timed, (count, widest), (f"{now.breath}", _widest(f"{most}"))]


def _widest(text: str) -> str:
    """The same with the widest digits."""
    return re.sub(r"\d", "0", text)


def _up(ms: int) -> str:
    """A time that is over when it shows 0:00."""
    return clock(1000 * -(-ms // 1000))


def _breath_bar(now: Moment, band: Band) -> Iterator[ScreenPiece]:
    """The breath: a bar that widens from the middle as the lungs fill, and narrows as they empty."""
    inner = band.room.inner
    # Each half of the bar grows by half columns.
    columns, is_half = divmod(round(now.fullness * (inner // 2) * 2), 2)
    full = f"{'▐' * is_half}{'█' * (2 * columns)}{'▌' * is_half}"
    left = (inner - cell_len(full)) // 2
    right = inner - cell_len(full) - left
    parts = ((0, "░" * left, Ink.FAINT), (left, full, Ink.BREATH), (inner - right, "░" * right, Ink.FAINT))
    for at, text, ink in parts:
        if text:
            yield ScreenPiece(Part.BREATH_BAR, band.top, MARGIN + at, (text,) * band.rows, ink, 0)


def _hold_bar(now: Moment, band: Band) -> Iterator[ScreenPiece]:
    """The breaths of a hold, those that are left still empty; a hold by the clock has a bar that fills."""
    inner = band.room.inner
    if now.breaths > 1 and inner >= 3 * now.breaths:
        done = now.breaths - now.breaths_left + bool(now.breath)
        edges = [inner * number // now.breaths for number in range(now.breaths + 1)]
        text = " ".join(
            (OVER if number < done else TO_COME) * (end - start - 1)
            for number, (start, end) in enumerate(pairwise((*edges[:-1], inner + 1)))
        )
        yield ScreenPiece(Part.HOLD_BAR, band.top, MARGIN, (text,), Ink.TIME, 0)
    elif now.breath or now.begins_ms:
        text = _thin(inner, 1 - now.hold_left_ms / max(1, now.hold_ms))
        yield ScreenPiece(Part.HOLD_BAR, band.top, MARGIN, (text,), Ink.TIME, 0)


def _words(scene: Scene, band: Band, has_next: bool) -> Iterable[ScreenPiece]:
    """The words that are said, as much as there is room for at once; or that the class waits."""
    told = "" if has_next else _told(scene)
    if scene.sound_lost:
        return _in_a_line(Part.WORDS, ("no sound: the class waits for it", "no sound"), Ink.ALARM, band)
    if told:
        return _said(Part.WORDS, told, Ink.TOLD, band)
    if scene.is_paused:
        return _in_a_line(Part.WORDS, ("paused: the key for pause goes on", "paused"), Ink.WAITS, band)
    return _said(Part.WORDS, scene.moment.words, Ink.NOW, band, scene.moment.words_said)


def _next_words(scene: Scene, band: Band) -> Iterable[ScreenPiece]:
    """What was just told; else the words that come next, which are those that were broken off while a class waits."""
    now, told = scene.moment, _told(scene)
    if told:
        return _said(Part.NEXT_WORDS, told, Ink.TOLD, band)
    waits = scene.is_paused or scene.sound_lost
    return _said(Part.NEXT_WORDS, (now.words if waits else "") or now.next_words, Ink.FAINT, band)


def _told(scene: Scene) -> str:
    """What was just told, and cannot be seen already."""
    now = scene.moment
    return "" if scene.told in (named(now.title, now.side), "paused") else scene.told


def _said(part: Part, words: str, ink: Ink, band: Band, share: float | None = None) -> Iterable[ScreenPiece]:
    """The words in the lines of a band; of more, the first, or those that are said when this share of all is."""
    room = band.room
    if not is_large(room) or not letters.can_write(words):
        return band.small(part, words, ink)
    size = _words_size(room)
    lines = max(1, band.rows // size.line_rows)
    shown = words if share is None else _page(words, size, room.inner, lines, share)
    return band.text(part, shown, size, ink, lines)


def _words_size(room: Room) -> Size:
    high = least_high(room, REST)
    most = max(room.narrowest, min(letters.as_wide_as_high(high), room.inner // COLUMNS_A_DOT))
    return next(size for size in sizes(high, room) if size.wide <= most)


def _page(words: str, size: Size, columns: int, lines: int, share: float) -> str:
    """The words in so many lines that are said when this share of all is."""
    broken = letters.broken(words, size, columns)
    pages = [" ".join(broken[first : first + lines]) for first in range(0, len(broken), lines)]
    said = share * sum(map(len, pages))
    for page in pages[:-1]:
        said -= len(page)
        if said < 0:
            return page
    return pages[-1] if pages else ""


def _next_pose(now: Moment, band: Band) -> Iterable[ScreenPiece]:
    """The pose that comes after this."""
    pose = named(now.next_pose, now.next_pose_side)
    texts = (f"next: {pose}", pose) if now.next_pose else ("then the end",)
    return _in_a_line(Part.NEXT_POSE, texts, Ink.PLAIN, band)


def _in_a_line(part: Part, texts: Sequence[str], ink: Ink, band: Band) -> Iterable[ScreenPiece]:
    """The first of the texts that has room in one line, as wide as can be; the last is shortened where it has none."""
    if not is_large(band.room) or not all(map(letters.can_write, texts)):
        return band.small(part, texts[0], ink)
    tried = product(texts, sizes(least_high(band.room, REST), band.room))
    fit = ((text, size) for text, size in tried if letters.width(text, size) <= band.room.inner)
    text, size = next(fit, (texts[-1], narrowest(REST, band.room)))
    return band.text(part, text, size, ink, 1)


def _times(now: Moment, day: Day, band: Band) -> Iterable[ScreenPiece]:
    """How long the class goes on, large; the clock, and when it ends."""
    room = band.room
    if not is_large(room):
        return band.small(Part.TIME_LEFT, f"{_left(now.left_ms)[0]}, {day.now}, ends {day.end}", Ink.TIME)
    clocks = (f"{day.now} ends {day.end}", f"{day.now}-{day.end}")
    large, small = (tuple(sizes(least_high(room, share), room)) for share in (MOST, REST))
    # Narrower letters before less that is told.
    for left, clocked, big, size in product(_left(now.left_ms), clocks, large, small):
        wide = letters.width(_widest(left), big) + letters.width(_widest(clocked), size)
        if wide + 2 * big.wide <= room.inner:
            told = band.below(band.rows - size.rows).piece(Part.CLOCK, clocked, size, Ink.TIME, 1)
            return band.piece(Part.TIME_LEFT, left, big, Ink.NOW), told
    return ()


def _left(ms: int) -> tuple[str, str]:
    """How long the class goes on, in minutes; in seconds when it is nearly over. The second is short."""
    seconds = -(-ms // 1000)
    minutes = -(-seconds // 60)
    return (f"{seconds} s", f"{seconds}''") if seconds < SECONDS_SHOWN else (f"{minutes} min", f"{minutes}'")
