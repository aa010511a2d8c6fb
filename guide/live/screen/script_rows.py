"""The screen of a rehearsal as rows of inked text: a pure function of a script, the clock, and the room there is.

From the top: the class and the clock; what is taught now, and on which side; how long it has gone on beside its plan,
and how much later the class is; a bar that fills until the next change is due; the words, those to say now marked; what
is next; what was just asked.
"""

from collections.abc import Iterator
from textwrap import wrap

from guide.live.scene import LineKind, Script, ScriptLine
from guide.live.screen import letters
from guide.live.screen.rows import MARGIN, Day, Ink, Room, Row, Run, apart, cut, exactly, fitted
from guide.units import clock

#: From so many rows on the name is written large, and words have an empty row between them.
ROWS_FOR_LARGE = 26

#: The words are as narrow as in a book, so that the eye finds the next row.
WIDEST = 66

#: What stands before the words that are to be said now; the Linux console has it (Source: WGL4 and code page 437).
MARK = "► "

#: The words to say now stand below so much of the room for words.
ABOVE = 0.25

#: Less than this off its plan, a class is on time.
ON_TIME_MS = 5000


def script_rows(script: Script, day: Day, room: Room) -> tuple[Row, ...]:
    """The screen: `room.rows` rows (fewer where there is no room at all), each `room.columns` wide."""
    columns, rows = room.columns, room.rows
    top = [
        apart(_where(script), f"{day.now}  ends {day.end}", columns),
        *_name(script, columns, rows),
        apart(_how_long(script), _behind(script), columns),
        _bar(script, columns),
        _blank(columns),
    ]
    bottom = [_next(script, columns), _news(script, columns)]
    left = max(0, rows - len(top) - len(bottom))
    made = [*top, *_words(script, columns, left, rows >= ROWS_FOR_LARGE), *bottom]
    return tuple(exactly(row, columns) for row in made[:rows])


def _blank(columns: int) -> Row:
    return (Run(" " * columns, Ink.PLAIN),)


def _where(script: Script) -> str:
    return f"{script.title} · {script.section}" if script.section else script.title


def _name(script: Script, columns: int, rows: int) -> Iterator[Row]:
    """What is taught now, large where there is room; the side stands beside it in its own ink."""
    name = script.name[:1].upper() + script.name[1:]
    inner, side = columns - 2 * MARGIN, f" {script.side}" if script.side else ""
    text = name + side
    if rows >= ROWS_FOR_LARGE and letters.can_write(text) and letters.width(text, letters.PLAIN) <= inner:
        before = MARGIN + (letters.width(name, letters.PLAIN) if side else inner)
        for row in letters.written(text, letters.PLAIN):
            cells = f"{' ' * MARGIN}{row}"
            yield Run(cells[:before], Ink.NOW), Run(cells[before:], _ink_of(script))
        return
    yield Run(f"{' ' * MARGIN}{cut(name, max(1, inner - len(side)))}", Ink.NOW), Run(side, _ink_of(script))


def _ink_of(script: Script) -> Ink:
    return {"left": Ink.LEFT, "right": Ink.RIGHT}.get(script.side, Ink.NOW)


def _how_long(script: Script) -> str:
    """How long this has gone on, beside the plan, and which breath the plan has."""
    breath = f"  breath {script.breath} of {script.breaths}" if script.breath else ""
    over_ms = script.into_ms - script.planned_ms
    over = f"  {clock(over_ms)} over" if over_ms >= 1000 else ""
    return f"{clock(script.into_ms)} of {clock(script.planned_ms)}{breath}{over}"


def _behind(script: Script) -> str:
    if abs(script.behind_ms) < ON_TIME_MS:
        return "on time"
    return f"{clock(abs(script.behind_ms))} {'behind' if script.behind_ms > 0 else 'ahead'}"


def _bar(script: Script, columns: int) -> Row:
    """Full when the next change is due."""
    inner = columns - 2 * MARGIN
    full = min(inner, inner * script.into_ms // max(1, script.planned_ms))
    edge = " " * MARGIN
    return Run(f"{edge}{'█' * full}", Ink.BREATH), Run(f"{'░' * (inner - full)}{edge}", Ink.FAINT)


def _words(script: Script, columns: int, room: int, is_wide: bool) -> list[Row]:
    """So many rows of the script, with the words to say now near the top of them."""
    rows: list[Row] = []
    marked = 0
    for number, line in enumerate(script.lines):
        if number == script.due:
            rows.append(_due(columns))
        if number == script.marked:
            marked = len(rows)
        rows += _line(line, _ink(script, number), number == script.marked, columns)
        if is_wide or line.kind is LineKind.STEP:
            rows += [_blank(columns)] * is_wide
    if script.due >= len(script.lines):
        rows.append(_due(columns))
    above = int(ABOVE * room)
    shown = [_blank(columns)] * max(0, above - marked) + rows[max(0, marked - above) :]
    return (shown + [_blank(columns)] * room)[:room]


def _ink(script: Script, number: int) -> Ink:
    if number == script.marked:
        return Ink.NOW
    return Ink.FAINT if number < script.marked else Ink.PLAIN


def _line(line: ScriptLine, ink: Ink, is_marked: bool, columns: int) -> Iterator[Row]:
    """One line of the script in as many rows as it needs."""
    if line.kind is LineKind.STEP:
        mark = MARK if is_marked else ""
        text = cut(mark + line.text, columns - 2 * MARGIN)
        yield (Run(fitted(" " * MARGIN + text, columns), Ink.NOW if is_marked else Ink.TIME),)
        return
    inner = min(columns - 2 * MARGIN - len(MARK), WIDEST)
    for number, row in enumerate(wrap(line.text, max(1, inner)) or [""]):
        mark = MARK if is_marked and not number else " " * len(MARK)
        yield (Run(fitted(f"{' ' * MARGIN}{mark}{row}", columns), ink),)


def _due(columns: int) -> Row:
    """Where the key is due."""
    edge = " " * MARGIN
    word = " the key "
    return (Run(f"{edge}{word:─^{max(0, columns - 2 * MARGIN)}}{edge}", Ink.FAINT),)


def _next(script: Script, columns: int) -> Row:
    text = f"next: {script.next_name}" if script.next_name else "then the end"
    return (Run(fitted(f"{' ' * MARGIN}{text}", columns), Ink.TIME),)


def _news(script: Script, columns: int) -> Row:
    if script.sound_lost:
        return (Run(fitted(f"{' ' * MARGIN}the sound is gone; the rehearsal goes on", columns), Ink.ALARM),)
    waits = "paused: the key for pause goes on" if script.is_paused else ""
    told = script.told if script.told and not script.is_paused else waits or script.listens
    return (Run(fitted(f"{' ' * MARGIN}{told}", columns), Ink.TOLD),)
