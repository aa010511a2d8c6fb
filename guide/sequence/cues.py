"""Cues: words in `enter`, `say` and `leave`, with their kind and their place in a hold."""

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from guide.pauses import LONGEST_MS, PARAGRAPH_MS, pause
from guide.sequence import length_text, yaml_pitfalls
from guide.sequence.fields import (
    Field,
    FileReading,
    checked_words,
    choice,
    choices,
    fields,
    known_fields,
    length,
    listed,
    nearest,
    scalar,
    spoken,
    time_ms,
    words,
    yes_no,
)
from guide.sequence.length_text import NotALength, clipped
from guide.sequence.model import EVERY_LEVEL, BreathPlace, ClassLevel, EndPlace, OnPass, TimePlace, WrittenCue
from guide.sequence.nodes import Faulty, Items, Node, Table, Text
from guide.sequence.other_words import IN_A_CUE
from guide.sequence.steps import Breath, CueKind

#: The kinds that a cue may be written with; bare text is `how`. Counts are made by the plan, not written.
KINDS = {kind.value: kind for kind in CueKind if kind is not CueKind.COUNT}

CUE_KEYS = (*KINDS, "at", "if room", "on", "level")

_LEVELS = {each.value: each for each in ClassLevel}

#: Quiet after words, as an entry of their list.
PAUSE = "pause"

AT_FIX = "write `breath 3`, `inhale 3`, `breath 2.5`, `last breath`, a time such as `30 s`, or `5 s before end`"

#: In place of words: nothing is said, or what the pose library says.
NOTHING, LIBRARY = "none", "library"

_AT = re.compile(r"(breath|inhale|exhale) ([1-9][0-9]{0,2})")
_HALF = re.compile(r"breath ([1-9][0-9]{0,2})\.5")
_BEFORE_END = re.compile(r"(.+?)\s+before\s+(?:the\s+)?end")


@dataclass(frozen=True, slots=True)
class InHold:
    """Cues that are said in a hold, where `at` has a meaning."""


@dataclass(frozen=True, slots=True)
class OutsideHold:
    """Cues that are said in a time of their own; `why` tells that `at` has no meaning."""

    why: str


def cues(reading: FileReading, field: Field, spot: InHold | OutsideHold) -> tuple[WrittenCue, ...]:
    """The cues of an `enter`, `say` or `leave`: one text, or a list of texts and mappings."""
    node = field.node
    if isinstance(node, Items):
        if not node.nodes:
            reading.fault(node, f"`{field.name}` is an empty list", "write some words, or leave the key out")
        return _several(reading, field, _alone(node), spot)
    if isinstance(node, Table):
        return tuple(_written(reading, field, node, spot))
    text = words(reading, field)
    return (bare_cue(reading, text, CueKind.HOW),) if text else ()


def _alone(items: Items) -> Items:
    """The list, in which a single text between brackets is as good as one with quotes: no comma has split it."""
    match items.nodes:
        case (Text(flow=True) as only,):
            return replace(items, nodes=(replace(only, flow=False),))
        case _:
            return items


def bare_cue(reading: FileReading, text: Text, kind: CueKind) -> WrittenCue:
    """The cue that a text is by itself."""
    return WrittenCue(_said(reading, text), kind, reading.source.place(text.line, text.column))


def _said(reading: FileReading, text: Text) -> str:
    """The words of a text on one line, with a pause where a blank line stands."""
    if all(reading.source.line(line).strip() for line in range(text.line, text.end_line)):
        return spoken(text)
    # YAML keeps the line ends of `|`; elsewhere a blank line is all that leaves one.
    literal = reading.source.line(text.line)[text.column - 1 :].startswith("|")
    paragraphs = re.split(r"\n\s*\n" if literal else r"\n", text.value)
    return pause(PARAGRAPH_MS).join(filter(None, (" ".join(paragraph.split()) for paragraph in paragraphs)))


def _several(reading: FileReading, field: Field, items: Items, spot: InHold | OutsideHold) -> tuple[WrittenCue, ...]:
    """The cues of a list; a `pause` among them belongs to the one before it."""
    made: list[WrittenCue] = []
    for item in items.nodes:
        asked = fields(reading, item).get(PAUSE) if isinstance(item, Table) and _is_pause(item) else None
        if asked is None:
            made += _item(reading, field, item, spot)
        elif ms := time_ms(reading, asked, 100, LONGEST_MS):
            if made:
                made[-1] = replace(made[-1], text=made[-1].text + pause(ms))
            else:
                what = "a `pause` belongs to the words before it, and there are none"
                reading.fault(asked.key, what, "write it after words; for quiet before them, a step with `silence:`")
    return tuple(made)


def _is_pause(table: Table) -> bool:
    return len(table.pairs) == 1 and table.pairs[0][0].value == PAUSE


def _item(reading: FileReading, field: Field, node: Node, spot: InHold | OutsideHold) -> Iterator[WrittenCue]:
    match node:
        case Text():
            text = _list_text(reading, field, node)
            if text:
                yield bare_cue(reading, text, CueKind.HOW)
        case Table():
            yield from _written(reading, field, node, spot)
        case Items():
            reading.fault(node, f"a list inside the list of `{field.name}`", "write one dash for each cue")
        case Faulty():
            pass


def _list_text(reading: FileReading, field: Field, text: Text) -> Text | None:
    if text.plain and text.flow and text.value:
        what = "words in a list in brackets need quotes: a comma would split them"
        reading.fault(
            text, what, f"write {yaml_pitfalls.quoted(clipped(text.value))}, or a line with a dash for each cue"
        )
        return None
    if text.null and not text.value:
        reading.fault(text, "there are no words after this dash", "write some, or delete the dash")
        return None
    if text.plain and text.value in (NOTHING, LIBRARY):
        fix = f'write `{field.name}: {text.value}` without a list; if the word is to be said, write "{text.value}"'
        reading.fault(text, f"`{text.value}` stands for all that is said, so it cannot be one cue of a list", fix)
        return None
    return checked_words(reading, text)


def _written(reading: FileReading, field: Field, table: Table, spot: InHold | OutsideHold) -> Iterator[WrittenCue]:
    """The cue that a mapping writes; a problem when it is words that only look like one to YAML."""
    if table.pairs and not any(key.value in (*CUE_KEYS, "say") for key, _ in table.pairs):
        _words_after_all(reading, field, table)
        return
    found = known_fields(reading, table, CUE_KEYS, "a cue", IN_A_CUE)
    if any(key.value in IN_A_CUE for key, _ in table.pairs):
        return
    kinds = [name for name in KINDS if name in found]
    if len(kinds) != 1:
        what = f"a cue is one of {listed(KINDS)}" + (f"; this one is {listed(kinds)}" if kinds else "")
        reading.fault(found[kinds[1]].key if kinds else table, what, "begin each cue with a dash of its own")
        return
    text = words(reading, found[kinds[0]])
    at = _at(reading, found["at"], spot) if "at" in found else None
    if_room = yes_no(reading, found["if room"]) if "if room" in found else False
    on = choice(reading, found["on"], {each.value: each for each in OnPass}) if "on" in found else OnPass.BOTH
    marked = levels(reading, found["level"]) if "level" in found else EVERY_LEVEL
    if text:
        cue = bare_cue(reading, text, KINDS[kinds[0]])
        yield replace(cue, at=at, if_room=bool(if_room), on_pass=on or OnPass.BOTH, levels=marked)


def levels(reading: FileReading, field: Field) -> frozenset[ClassLevel]:
    """The levels under `level`: one, or a list; all of them where none could be read."""
    return frozenset(choices(reading, field, _LEVELS)) or EVERY_LEVEL


def _words_after_all(reading: FileReading, field: Field, table: Table) -> None:
    """`Option: bend your knees` without quotes."""
    fields(reading, table)
    key = table.pairs[0][0]
    raw = reading.source.line(table.line)[table.column - 1 :].strip()
    dash = "- " if isinstance(field.node, Items) else f"{field.name}: "
    fix = f"if these are words, write `{dash}{yaml_pitfalls.quoted(clipped(raw))}`"
    near = f"{IN_A_CUE[key.value]};" if key.value in IN_A_CUE else nearest(key.value, CUE_KEYS)
    what = f"`{clipped(key.value)}:` makes YAML see a key and a value, and a cue has no such key"
    reading.fault(table, what, f"{near} {fix}" if near else fix)


def _at(reading: FileReading, field: Field, spot: InHold | OutsideHold) -> BreathPlace | TimePlace | EndPlace | None:
    if isinstance(spot, OutsideHold):
        what = f"`at` has no meaning here: {spot.why}"
        reading.fault(field.key, what, "leave it out, or move the cue to the `say` of a hold")
        return None
    return length(reading, field, read_at, AT_FIX)


def read_at(text: str) -> BreathPlace | TimePlace | EndPlace:
    """A place in a hold: `breath 3` (its exhale), `inhale 3`, `exhale 3`, `last breath`, a time, or one before the end.

    `breath 2.5` is half a breath after `breath 2`: the third inhale.

    Raises:
        NotALength: when it is none.
    """
    if text == "last breath":
        return BreathPlace(None, Breath.EXHALE)
    found = _AT.fullmatch(text)
    if found:
        breath = Breath.INHALE if found[1] == "inhale" else Breath.EXHALE
        return BreathPlace(int(found[2]), breath)
    if half := _HALF.fullmatch(text):
        return BreathPlace(int(half[1]) + 1, Breath.INHALE)
    before_end = _BEFORE_END.fullmatch(text)
    try:
        if before_end:
            return EndPlace(length_text.read_time(before_end[1]))
        return TimePlace(length_text.read_time(text))
    except NotALength as error:
        raise NotALength(f"`{clipped(text)}` is no place in a hold", AT_FIX) from error


def name_cue(reading: FileReading, field: Field) -> WrittenCue | None:
    """What is said for a name; None for `none` (and for a faulty one)."""
    text = scalar(reading, field, "write the words, or `none`")
    if text is None or text.value == NOTHING:
        return None
    checked = checked_words(reading, text)
    return WrittenCue(spoken(checked), CueKind.NAME, reading.source.place(text.line, text.column)) if checked else None
