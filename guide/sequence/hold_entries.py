"""The entries in which something is kept, done on one breath, or said: read one by one from their parts."""

from dataclasses import replace

from guide.sequence.cues import LIBRARY, InHold, bare_cue
from guide.sequence.entry_parts import ENTERING, LEAVING, TALKING, Parts
from guide.sequence.fields import Field, FileReading, close_to, hold, known_fields, length, lost, words
from guide.sequence.length_text import SHARE_FIX, read_pattern, read_share, split_each_side
from guide.sequence.model import (
    BreathingEntry,
    ElasticPace,
    Entry,
    HoldEntry,
    LibraryPart,
    MoveEntry,
    OnPass,
    Pattern,
    SidedHold,
    SidesEntry,
    TalkEntry,
    WrittenHold,
)
from guide.sequence.nodes import Table, Text
from guide.sequence.steps import Breath, CueKind, InBreaths
from guide.sequence.written_paces import pace_parts

#: A hold of its own for each pass through `both sides`; the words are those of `on`.
SIDED_KEYS = (OnPass.FIRST.value, OnPass.SECOND.value)


def pose(parts: Parts) -> Entry | None:
    """`pose:`, a pose that is held; None where it cannot be made, which is noted."""
    name = parts.words("pose")
    length, each_side = _of_sides(parts, parts.found["hold"]) if "hold" in parts.found else (None, False)
    entry = _hold_entry(parts, "pose", name, _kept(parts.reading, length) if length else None)
    return _on_each_side(parts, entry, each_side) if name else None


def rest(parts: Parts) -> Entry | None:
    """`rest:`, a rest in a pose or in none; None where it cannot be made, which is noted."""
    length, each_side = _of_sides(parts, parts.head)
    entry = _hold_entry(parts, "rest", parts.words("pose") or "rest", _kept(parts.reading, length))
    return _on_each_side(parts, entry, each_side)


def pose_on_both_sides(parts: Parts) -> Entry | None:
    """The pose that stands behind `both sides:`; None where it cannot be made, which is noted."""
    return pose(replace(parts, found={**parts.found, "pose": parts.head}))


def _of_sides(parts: Parts, field: Field) -> tuple[Field, bool]:
    """A length without `each side`, and whether that stood behind it."""
    if not isinstance(field.node, Text):
        return field, False
    length, sides = split_each_side(field.node.value)
    if sides and "side" in parts.found:
        what = f"`{field.name}` is for each side, and `side` is one of them"
        parts.reading.fault(parts.found["side"].key, what, "leave one of them out")
    return Field(field.key, replace(field.node, value=length)), bool(sides)


def _on_each_side(parts: Parts, entry: HoldEntry, each_side: bool) -> Entry:
    """The pose on both sides, where its length is one for each and nothing around it does both."""
    alone = not each_side or "both sides" in (*parts.inside.heads, parts.head.name)
    return entry if alone else SidesEntry((entry,), entry.place)


def _hold_entry(parts: Parts, what: str, pose: str, kept: WrittenHold | None) -> HoldEntry:
    return HoldEntry(
        kind=what,
        pose=pose,
        place=parts.place,
        hold=kept,
        name_cue=parts.name(),
        name_silent=parts.silent(),
        enter=parts.cues("enter", ENTERING),
        say=parts.cues("say", InHold()),
        pace=parts.pace(),
        count=parts.count(),
        bell=parts.bell(),
        side=parts.side("side"),
        leave=parts.cues("leave", LEAVING),
        from_library=frozenset(part for part in LibraryPart if parts.asks(part.value) == LIBRARY),
        written=frozenset(part for part in LibraryPart if part.value in parts.found),
        chime_every_ms=parts.chime_every_ms(),
        share=length(parts.reading, parts.found["share"], read_share, SHARE_FIX) if "share" in parts.found else None,
        let_be=parts.let_be(),
    )


def _kept(reading: FileReading, field: Field) -> WrittenHold | None:
    """A hold as written: one for both sides, or a mapping with one for each."""
    if not isinstance(field.node, Table) or not any(close_to(key.value, SIDED_KEYS) for key, _ in field.node.pairs):
        return hold(reading, field)
    found = known_fields(reading, field.node, SIDED_KEYS, f"`{field.name}`")
    for name in [name for name in SIDED_KEYS if name not in found]:
        what = f"`{field.name}` with a length for each side needs `{name}` too"
        reading.fault(field.node, what, f"add `{name}: 5 breaths`, or write one length for both sides")
    lengths = [hold(reading, found[name]) for name in SIDED_KEYS if name in found]
    first, second = lengths if len(lengths) == len(SIDED_KEYS) else (None, None)
    place = reading.source.place(field.node.line, field.node.column)
    return SidedHold(first, second, place) if first and second else None


def silence(parts: Parts) -> Entry | None:
    """`silence:`, time without words; None where it cannot be made, which is noted."""
    kept = hold(parts.reading, parts.head)
    every_ms, bell, let_be = parts.chime_every_ms(), parts.bell(), parts.let_be()
    return HoldEntry("silence", "silence", parts.place, kept, bell=bell, chime_every_ms=every_ms, let_be=let_be)


def breathing(parts: Parts) -> Entry | None:
    """`breathing:`, a breath practice; None where it cannot be made, which is noted."""
    pattern = _pattern(parts.reading, parts.head)
    lasts = hold(parts.reading, parts.found["lasts"]) if "lasts" in parts.found else None
    named, enter, say = parts.name(), parts.own_cues("enter", ENTERING), parts.own_cues("say", InHold())
    count, bell, let_be = parts.count(), parts.bell(), parts.let_be()
    if "lasts" not in parts.found:
        parts.reading.fault(parts.head.key, "`breathing` needs `lasts`", "add `lasts: 8 breaths` or `lasts: 3 min`")
    if isinstance(lasts, InBreaths) and lasts.and_a_half:
        parts.reading.fault(parts.found["lasts"].node, "a breathing pattern is done whole", "write whole breaths")
    if pattern is None or lasts is None:
        return None
    return BreathingEntry(pattern, parts.place, lasts, named, enter, say, count, bell, let_be)


def _pattern(reading: FileReading, field: Field) -> Pattern | None:
    if isinstance(field.node, Table):
        made = pace_parts(reading, field, field.node)
        if made is None:
            return None
        if isinstance(made, ElasticPace):
            what = "a breathing pattern keeps its breath, so it has no ranges"
            reading.fault(field.node, what, "write one time for each part, such as `inhale: 4 s`")
            return None
        seconds = (made.inhale_ms / 1000, made.full_ms / 1000, made.exhale_ms / 1000, made.empty_ms / 1000)
        return Pattern(seconds, True, "-".join(f"{float(part):g}" for part in seconds))
    return length(reading, field, read_pattern, "write `box`, `even`, `4-7-8`, `1:2` or a mapping as in `pace`")


def move(parts: Parts) -> Entry | None:
    """`inhale:` or `exhale:`, a move carried by one breath; None where it cannot be made, which is noted."""
    breath = Breath(parts.head.name)
    wordless = parts.head.missing and not lost(parts.reading, parts.head)
    text = None if wordless else words(parts.reading, parts.head)
    cue = bare_cue(parts.reading, text, CueKind.BREATH) if text else None
    pose = parts.words("pose") or None
    how = parts.move_pace(), parts.move_count(), parts.lead_ms(), parts.breath_word()
    return MoveEntry(breath, parts.place, cue, pose, *how, parts.let_be(), parts.times())


def talk(parts: Parts) -> Entry | None:
    """`say:` on its own; None where it cannot be made, which is noted."""
    said = parts.own_cues("say", TALKING)
    return TalkEntry(said, parts.place, parts.let_be()) if said else None
