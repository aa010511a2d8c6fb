"""One level of a class: the class as it would be if nothing marked for other levels were written in its file.

What is not marked belongs to every level. A class is read at one of them, the middle one unless another is asked for;
every level is unrolled, fitted, checked and advised as a class of its own.
"""

from collections.abc import Iterator
from dataclasses import replace

from guide.problem import Problem
from guide.sequence.model import (
    EVERY_LEVEL,
    Block,
    BlockEntry,
    BlockName,
    BreathingEntry,
    ClassFile,
    ClassLevel,
    Entry,
    Group,
    HoldEntry,
    LibraryPart,
    RoundsEntry,
    SectionEntry,
    SidesEntry,
    TalkEntry,
    WrittenCue,
)


def levels_of(class_file: ClassFile) -> tuple[ClassLevel, ...]:
    """The levels that a class has, from gentle to strong: the middle one and those that it marks.

    None where it marks nothing.
    """
    groups = (class_file.entries, *(block.entries for block in class_file.blocks.values()))
    marks = [levels for group in groups for levels in _marks(group) if levels != EVERY_LEVEL]
    known = frozenset[ClassLevel]().union(*marks) | {ClassLevel.MIDDLE}
    return tuple(level for level in ClassLevel if level in known) if marks else ()


def at_level(class_file: ClassFile, level: ClassLevel) -> ClassFile:
    """The class at one of its levels. The gentle and the strong one have theirs in the title.

    A group, a block or a section of which nothing is left goes too, and words of a pose of which none are left count as
    not written.
    """
    empty = frozenset[str]()
    while True:
        blocks = {name: _block(block, level, empty) for name, block in class_file.blocks.items()}
        now_empty = frozenset(name for name, block in blocks.items() if not block.entries)
        if now_empty == empty:
            break
        empty = now_empty
    entries = _without_bare_sections(_entries(class_file.entries, level, empty))
    title = class_file.title if level is ClassLevel.MIDDLE else f"{class_file.title}, {level.value}"
    return replace(class_file, title=title, entries=entries, blocks=blocks)


def empty_level(class_file: ClassFile, level: ClassLevel) -> Iterator[Problem]:
    """A problem where a level leaves no step of a class that has some."""
    if class_file.entries and not at_level(class_file, level).entries:
        what = f"every step of this class is marked for other levels, so the {level.value} one has none"
        fix = f"leave `level` out where a step is for all, or write `level: [{level.value}, …]`"
        yield Problem(class_file.entries[0].place, what, fix)


def _marks(group: Group) -> Iterator[frozenset[ClassLevel]]:
    """The levels of everything in a group."""
    for entry in () if isinstance(group, BlockName) else group:
        yield entry.levels
        match entry:
            case RoundsEntry(of=of):
                yield from _marks(of)
            case SidesEntry(of=of, between=between):
                yield from _marks(of)
                yield from _marks(between)
            case HoldEntry() | BreathingEntry() | TalkEntry():
                yield from (cue.levels for cue in _cues(entry))


def _cues(entry: HoldEntry | BreathingEntry | TalkEntry) -> tuple[WrittenCue, ...]:
    match entry:
        case HoldEntry():
            return (*entry.enter, *entry.say, *entry.leave)
        case BreathingEntry():
            return (*entry.enter, *entry.say)
        case TalkEntry():
            return entry.cues


def _block(block: Block, level: ClassLevel, empty: frozenset[str]) -> Block:
    return replace(block, entries=_entries(block.entries, level, empty))


def _entries(entries: tuple[Entry, ...], level: ClassLevel, empty: frozenset[str]) -> tuple[Entry, ...]:
    """The entries of a level. What a section says of its own level holds until the next."""
    made: list[Entry] = []
    is_in = True
    for entry in entries:
        if isinstance(entry, SectionEntry):
            is_in = level in entry.levels
        if is_in and level in entry.levels and (kept := _entry(entry, level, empty)) is not None:
            made.append(kept)
    return tuple(made)


def _entry(entry: Entry, level: ClassLevel, empty: frozenset[str]) -> Entry | None:
    """An entry with what of it belongs to a level; None where that is nothing."""
    match entry:
        case RoundsEntry():
            of = _group(entry.of, level, empty)
            return replace(entry, of=of) if of else None
        case SidesEntry():
            of = _group(entry.of, level, empty)
            return replace(entry, of=of, between=_group(entry.between, level, empty)) if of else None
        case BlockEntry():
            return None if entry.name.name in empty else entry
        case HoldEntry():
            return _hold(entry, level)
        case BreathingEntry():
            return replace(entry, enter=_said(entry.enter, level), say=_said(entry.say, level))
        case TalkEntry():
            cues = _said(entry.cues, level)
            return replace(entry, cues=cues) if cues else None
        case _:
            return entry


def _group(group: Group, level: ClassLevel, empty: frozenset[str]) -> Group:
    if isinstance(group, BlockName):
        return () if group.name in empty else group
    return _entries(group, level, empty)


def _hold(entry: HoldEntry, level: ClassLevel) -> HoldEntry:
    written = {LibraryPart.ENTER: entry.enter, LibraryPart.SAY: entry.say, LibraryPart.LEAVE: entry.leave}
    said = {part: _said(cues, level) for part, cues in written.items()}
    gone = {part for part, cues in written.items() if cues and not said[part]}
    enter, say, leave = (said[part] for part in (LibraryPart.ENTER, LibraryPart.SAY, LibraryPart.LEAVE))
    return replace(entry, enter=enter, say=say, leave=leave, written=entry.written - gone)


def _said(cues: tuple[WrittenCue, ...], level: ClassLevel) -> tuple[WrittenCue, ...]:
    return tuple(cue for cue in cues if level in cue.levels)


def _without_bare_sections(entries: tuple[Entry, ...]) -> tuple[Entry, ...]:
    return tuple(
        entry
        for entry, following in zip(entries, (*entries[1:], None), strict=False)
        if not (isinstance(entry, SectionEntry) and isinstance(following, SectionEntry | None))
    )
