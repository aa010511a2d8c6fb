"""`count` and `chime every`: how a hold is counted, and the chimes that ring in it at an interval."""

import re

from guide.sequence import length_text
from guide.sequence.fields import Field, FileReading, nearest, scalar, time_ms
from guide.sequence.length_text import MOST_BREATHS, clipped
from guide.sequence.nodes import Items, Node
from guide.sequence.steps import UNCOUNTED, Counting, Numbers

CHIME, NONE = "chime", "none"

#: What one way of counting may be called, save for `down from 5`.
WAYS = (CHIME, *(numbers.value for numbers in Numbers), NONE)

COUNT_FIX = "write `chime`, `voice`, `seconds`, `down`, `down from 5`, `none`, or a list: `[chime, down from 3]`"
MOVE_FIX = "write `chime` or `none`"

#: Chimes that come closer together than this are no longer single ones (common practice, no source).
LEAST_EVERY_MS = 5000

_DOWN_FROM = re.compile(r"down from ([1-9][0-9]{0,2})")


def counting(reading: FileReading, field: Field) -> Counting | None:
    """How a hold is counted: one way, or a list of chimes and one kind of numbers; None where that is faulty."""
    node = field.node
    if not isinstance(node, Items):
        return _way(reading, field)
    if not node.nodes:
        reading.fault(node, "`count` is an empty list", COUNT_FIX)
        return None
    ways = [(each, _way(reading, Field(field.key, each))) for each in node.nodes]
    whole = UNCOUNTED
    for each, way in ways:
        if way is None:
            return None
        if way == UNCOUNTED or (way.chimes and whole.chimes) or (way.numbers and whole.numbers):
            _unlike(reading, each, way, whole)
            return None
        whole = way if whole == UNCOUNTED else Counting(True, way.numbers or whole.numbers, _from(way, whole))
    return whole


def _from(one: Counting, other: Counting) -> int | None:
    return other.down_from if one.down_from is None else one.down_from


def _unlike(reading: FileReading, node: Node, way: Counting, whole: Counting) -> None:
    """A problem for a way of counting that cannot stand beside those before it in a list."""
    if way == UNCOUNTED:
        reading.fault(node, "`none` stands alone: nothing is counted then", "write `count: none` without a list")
    elif way.chimes:
        reading.fault(node, "`chime` stands twice in this list", "leave one of them out")
    else:
        what = "two kinds of numbers would be said at the same time"
        reading.fault(node, what, "write one of them, with `chime` beside it if you like: `[chime, down from 3]`")


def _way(reading: FileReading, field: Field) -> Counting | None:
    text = scalar(reading, field, COUNT_FIX)
    if text is None:
        return None
    found = _DOWN_FROM.fullmatch(text.value)
    if found and int(found[1]) <= MOST_BREATHS:
        return Counting(numbers=Numbers.DOWN, down_from=int(found[1]))
    if text.value not in WAYS:
        fix = nearest(text.value, WAYS) if not text.value.startswith("down ") else ""
        reading.fault(text, f"`count` cannot be `{clipped(text.value)}`", fix or COUNT_FIX)
        return None
    if text.value in (CHIME, NONE):
        return Counting(chimes=text.value == CHIME)
    return Counting(numbers=Numbers(text.value))


def move_counting(reading: FileReading, field: Field) -> Counting | None:
    """How a move is counted, which has one breath and so no numbers; None where that is faulty."""
    made = counting(reading, field)
    if made is None or made.numbers is None:
        return made
    reading.fault(field.node, "a move lasts one breath, in which there is nothing to count", MOVE_FIX)
    return None


def every_ms(reading: FileReading, field: Field) -> int | None:
    """How far apart the chimes of an interval are; None where that is faulty."""
    return time_ms(reading, field, LEAST_EVERY_MS, length_text.LONGEST_HOLD_MS)
