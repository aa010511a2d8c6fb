"""Tables with tabs, as editors of sound and recognisers write them: a start, perhaps an end or a length, and words.

The columns are told by what is in them: times, and the most letters. A line without times, as a header, is left out,
and one without a tab goes on with the words before it.
"""

import re
from collections.abc import Sequence
from itertools import pairwise

from guide.review.captions.base import Piece, ShownCaption, bare, over_by
from guide.review.captions.number_times import unit_ms

_CLOCK = re.compile(r"(?:(\d{1,6}):)?(\d{1,3}):([0-5]?\d)(?:[.,](\d{1,9})|[:;]\d{1,3})?", re.ASCII)
_NUMBER = re.compile(r"(\d{1,12}(?:[.,]\d{1,9})?) ?s?", re.ASCII)

#: A column holds times when so many of its cells under a header do; a file is a table when so many lines have tabs.
_MOST = 0.8
_HALF = 0.5

#: What stands beyond so many columns is one.
MOST_COLUMNS = 30

Rows = Sequence[Sequence[str]]


def is_table(text: str) -> bool:
    """Whether most lines of `text` are cells with tabs between them, three or more of them, with times and words."""
    lines = [line for line in text.split("\n") if line.strip()]
    rows = [_cells(line) for line in lines if line.count("\t") > 1]
    return len(rows) > _HALF * len(lines) and bool(_time_columns(rows))


def read_table(text: str) -> list[ShownCaption]:
    """The rows with their times, in the file's order."""
    rows = list[list[str]]()
    for line in text.split("\n"):
        if "\t" in line:
            rows.append(_cells(line))
        elif rows and line.strip():
            rows[-1][-1] += f"\n{line}"
    times = _time_columns(rows)
    rows = [row for row in rows if times and len(row) > times[0] and _seconds(row[times[0]]) is not None]
    if not rows:
        return []
    words = _words_column(rows, times)
    said = [row[words] if words < len(row) else "" for row in rows]
    starts, *others = _columns_ms(rows, times[:2], " ".join(said))
    ends = _ends_ms(starts, others[0] if others else [])
    return [
        ShownCaption(start, over_by(start, bare(text)) if end is None else end, (Piece(start, text),))
        for start, end, text in zip(starts, ends, said, strict=True)
    ]


def _ends_ms(starts: Sequence[int], others: Sequence[int]) -> list[int | None]:
    """When each row ends: the second time, or the start and the length that it is; else where the next begins."""
    if not others:
        return [*(after if after > one else None for one, after in pairwise(starts)), None]
    if all(end >= start for start, end in zip(starts, others, strict=True)):
        return list(others)
    return [start + length for start, length in zip(starts, others, strict=True)]


def _cells(line: str) -> list[str]:
    return [cell.strip().strip('"').strip() for cell in line.split("\t", MOST_COLUMNS)]


def _time_columns(rows: Rows) -> list[int]:
    """The columns that hold times; clocks where there are any, and no column that only numbers the rows."""
    width = max(map(len, rows), default=0)
    held = [[row[at] for row in rows if at < len(row) and row[at]] for at in range(width)]
    least = _MOST * max(len(rows) - 1, 1)
    times = [at for at, cells in enumerate(held) if sum(_seconds(cell) is not None for cell in cells) > least]
    clocks = [at for at in times if any(_CLOCK.fullmatch(cell) for cell in held[at])]
    return clocks or [at for at in times if len(times) == 1 or not _numbers_rows(held[at])]


def _numbers_rows(cells: Sequence[str]) -> bool:
    """Whether the cells that are numbers count on by one."""
    numbers = [seconds for cell in cells if (seconds := _seconds(cell)) is not None]
    return len(numbers) > 2 and all(after - one == 1 for one, after in pairwise(numbers))


def _words_column(rows: Rows, times: Sequence[int]) -> int:
    """The column with most letters that holds no times."""
    width = max(map(len, rows))
    letters = {
        at: sum(char.isalpha() for row in rows if at < len(row) for char in row[at])
        for at in range(width)
        if at not in times
    }
    return max(letters, key=lambda at: letters[at], default=width)


def _columns_ms(rows: Rows, times: Sequence[int], words: str) -> list[list[int]]:
    """The columns of times in ms; numbers that are no clock are all of one unit."""
    cells = [[row[at] if at < len(row) else "" for row in rows] for at in times]
    seconds = [[_seconds(cell) or 0.0 for cell in column] for column in cells]
    is_clock = any(_CLOCK.fullmatch(cell) for column in cells for cell in column)
    unit = 1000 if is_clock else unit_ms([number for column in seconds for number in column], words)
    return [[round(number * unit) for number in column] for column in seconds]


def _seconds(cell: str) -> float | None:
    """A cell as a clock in seconds, or as the number that it is; None where it is neither."""
    if clock := _CLOCK.fullmatch(cell):
        hours, minutes, seconds, fraction = clock.groups()
        return (int(hours or 0) * 60 + int(minutes)) * 60 + int(seconds) + float(f"0.{fraction or 0}")
    number = _NUMBER.fullmatch(cell)
    return float(number[1].replace(",", ".")) if number else None
