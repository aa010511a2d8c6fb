"""The screen as rows of inked text: a pure function of a scene, the clock, and the room there is.

From the top: the class and the clock; what is done now; on which side, written on that side; how many breaths, in or
out, and how long yet; a bar that widens and narrows with the breath; what is next; what was just asked.
"""

from dataclasses import dataclass

from rich.cells import cell_len

from guide.live.scene import Scene
from guide.live.screen import letters
from guide.live.screen.rows import MARGIN, Day, Ink, Row, Run, apart, cut, exactly, fitted
from guide.plan.moment import Moment, Phase
from guide.units import clock


@dataclass(frozen=True, slots=True)
class ScreenLayout:
    """How the parts share so many columns and rows; it depends on nothing else, so that nothing on the screen jumps.

    `scale` is that of the large letters, 0 where there is room for none.
    """

    columns: int
    rows: int
    scale: int

    @property
    def line(self) -> int:
        """Rows of a line of letters."""
        return letters.rows_of(self.scale) if self.scale else 1

    @property
    def bar(self) -> int:
        """How many rows the bar of the breath takes."""
        return self.scale + 1

    @property
    def next(self) -> int:
        """How many rows the next step takes."""
        return letters.rows_of(1) if self.scale > 1 else 1

    @property
    def name(self) -> int:
        """What is left for the name of what is done now."""
        return self.rows - 2 - 2 * self.line - self.bar - self.next


#: Narrower than this there are no large letters; each scale asks for as much again.
COLUMNS_A_SCALE = 56

#: The largest scale that a name is written in.
LARGEST = 8


def layout_in(columns: int, rows: int) -> ScreenLayout:
    """The room of a screen, with the largest letters in which a name of two lines finds place."""
    for scale in (4, 3, 2, 1):
        made = ScreenLayout(columns, rows, scale)
        if columns >= COLUMNS_A_SCALE * scale and made.name >= 2 * made.line:
            return made
    return ScreenLayout(columns, rows, 0)


def scene_rows(scene: Scene, day: Day, columns: int, rows: int) -> tuple[Row, ...]:
    """The screen: `rows` rows (fewer where there is no room at all), each `columns` wide."""
    room, now = layout_in(columns, rows), scene.moment
    made = [
        apart(
            f"{scene.title} · {now.section}" if now.section else scene.title, f"{day.now}  ends {day.end}", room.columns
        ),
        *_name(now.title, room),
        *_side(now.side, room),
        *_state(scene, room),
        *_bar(now.fullness, room),
        *_next(now, room),
        (Run(fitted(f" {_news(scene)}", room.columns), Ink.ALARM if scene.sound_lost else Ink.TOLD),),
    ]
    return tuple(exactly(row, columns) for row in made[:rows])


def _news(scene: Scene) -> str:
    if scene.sound_lost:
        return "the sound is gone; the class waits for it"
    if scene.is_paused:
        return scene.told or "paused: the key for pause goes on"
    now = scene.moment
    return "" if scene.told == _named(now.title, now.side) else scene.told


def _named(title: str, side: str) -> str:
    return f"{title}, {side}" if side else title


def _placed(text: str, ink: Ink, room: ScreenLayout, share: float, scale: int | None = None) -> list[Row]:
    """Text in large letters where there is room for them: at the left (share 0), the right (1), or between."""
    scale = room.scale if scale is None else scale
    columns = room.columns - 2 * MARGIN
    if not scale or not letters.can_write(text) or letters.width(text, scale) > columns:
        lines: tuple[str, ...] = (cut(text, columns),)
    else:
        lines = letters.written(text, scale)
    before = MARGIN + int(share * (columns - max(map(cell_len, lines))))
    return [(Run(fitted(" " * before + line, room.columns), ink),) for line in lines]


def _empty(room: ScreenLayout, rows: int) -> list[Row]:
    return [(Run(" " * room.columns, Ink.PLAIN),)] * rows


def _filled(made: list[Row], room: ScreenLayout, rows: int) -> list[Row]:
    """The rows cut or filled up to so many, with as much above as below."""
    above = max(0, rows - len(made)) // 2
    return [*_empty(room, above), *made, *_empty(room, rows - above - len(made))][:rows]


def _name(name: str, room: ScreenLayout) -> list[Row]:
    """What is done now, as large as it can be written in the room there is."""
    for scale in range(LARGEST if room.scale else 0, 0, -1):
        lines = letters.wrapped(name, scale, room.columns - 2 * MARGIN) if letters.can_write(name) else None
        if lines is not None and len(lines) * letters.rows_of(scale) <= room.name:
            return _filled([row for line in lines for row in _placed(line, Ink.NOW, room, 0, scale)], room, room.name)
    return _filled(_placed(name, Ink.NOW, room, 0, 0), room, room.name)


def _side(side: str, room: ScreenLayout) -> list[Row]:
    """The side, written on that side of the screen."""
    if not side:
        return _empty(room, room.line)
    is_left = side == "left"
    return _filled(_placed(side, Ink.LEFT if is_left else Ink.RIGHT, room, 0 if is_left else 1), room, room.line)


#: The parts of a breath in as few letters as can be.
_PHASES = {Phase.IN: "in", Phase.OUT: "out", Phase.FULL: "full", Phase.EMPTY: "empty"}


def _state(scene: Scene, room: ScreenLayout) -> list[Row]:
    """Breaths, in or out, and the time left in the hold; or that the class waits."""
    if scene.sound_lost:
        return _filled(_placed("no sound", Ink.ALARM, room, 0.5), room, room.line)
    if scene.is_paused:
        return _filled(_placed("paused", Ink.TOLD, room, 0.5), room, room.line)
    now = scene.moment
    parts = [
        (f"{now.breath}/{now.breaths}" if now.breaths > 1 else "", Ink.PLAIN),
        # Before a hold, and where nothing is breathed, the lungs count as empty.
        (_PHASES[now.phase] if now.breath or now.phase is not Phase.EMPTY else "", Ink.BREATH),
        (clock(1000 * -(-now.hold_left_ms // 1000)) if now.breath else "", Ink.TIME),
    ]
    return _filled(_side_by_side(parts, room), room, room.line)


def _side_by_side(parts: list[tuple[str, Ink]], room: ScreenLayout) -> list[Row]:
    """Three texts in large letters, left, middle and right; the middle goes where it has no room."""
    inner, scale = room.columns - 2 * MARGIN, room.scale

    def size(text: str) -> int:
        return letters.width(text, scale) if scale else cell_len(text)

    left, middle, right = (size(text) for text, _ in parts)
    if middle + 2 * max(left, right) + 4 * max(1, scale) > inner:
        parts, middle = [parts[0], ("", Ink.PLAIN), parts[2]], 0
    before = (inner - middle) // 2
    gaps = (MARGIN, before - left, inner - before - middle - right)
    drawings = [letters.written(text, scale) if scale and text else (text,) * room.line for text, _ in parts]
    rows: list[Row] = []
    for row in range(room.line):
        made = [
            Run(" " * max(0, gap) + drawing[row], ink)
            for gap, drawing, (_, ink) in zip(gaps, drawings, parts, strict=True)
        ]
        rows.append((*made, Run(" " * MARGIN, Ink.PLAIN)))
    return rows


def _bar(fullness: float, room: ScreenLayout) -> list[Row]:
    """The breath: a bar that widens from the middle as the lungs fill, and narrows as they empty."""
    inner = room.columns - 2 * MARGIN
    # Each half of the bar grows by half columns.
    columns, is_half = divmod(round(fullness * (inner // 2) * 2), 2)
    full = f"{'▐' * is_half}{'█' * (2 * columns)}{'▌' * is_half}"
    beside = inner - cell_len(full)
    left = beside // 2
    row = (
        Run(" " * MARGIN + "░" * left, Ink.FAINT),
        Run(full, Ink.BREATH),
        Run("░" * (beside - left) + " " * MARGIN, Ink.FAINT),
    )
    return [row] * room.bar


def _next(now: Moment, room: ScreenLayout) -> list[Row]:
    """What comes after this; large where there is room."""
    if not now.next_title:
        return _filled(_placed("then the end", Ink.FAINT, room, 0, 0), room, room.next)
    named = _named(now.next_title, now.next_side)
    if room.scale > 1 and letters.can_write(named) and letters.width(named, 1) <= room.columns - 2 * MARGIN:
        return _placed(named, Ink.FAINT, room, 0, 1)
    return _filled(_placed(f"next: {named}", Ink.FAINT, room, 0, 0), room, room.next)
