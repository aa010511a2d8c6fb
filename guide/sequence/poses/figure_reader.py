"""The one reader of `figure:`, which describes the body in a pose."""

from __future__ import annotations

from typing import TYPE_CHECKING

from guide.sequence import fields as read
from guide.sequence.fields import Field, FileReading
from guide.sequence.nodes import Faulty, Table, Text

if TYPE_CHECKING:
    from guide.figures.description import Description

_FIX = "write lines below it: `right knee: 90`, `feet: on floor`, or `like: mountain`"


def read_figure(reading: FileReading, field: Field) -> Description | None:
    """The description under `figure`; None, and a problem for each line that means nothing."""
    from guide.figures.description import NotAClaim, described

    table = field.node
    if not isinstance(table, Table) or not table.pairs:
        if not isinstance(table, Faulty):
            reading.fault(field.key, "nothing is said of `figure`", _FIX)
        return None
    lines: dict[str, str] = {}
    for key, found in read.fields(reading, table).items():
        if not isinstance(found.node, Text):
            if not isinstance(found.node, Faulty):
                reading.fault(found.key, f"`{key}` takes one line", "write it with commas: `on floor, forward`")
            continue
        try:
            described({key: found.node.value})
        except NotAClaim as error:
            reading.fault(found.key, error.what, error.fix)
        else:
            lines[key] = found.node.value
    return described(lines, reading.source.place(field.key.line, field.key.column))
