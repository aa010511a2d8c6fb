"""The entries of a class and of blocks: each is one mapping with exactly one head key that says what it is."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace

from guide.sequence import hold_entries
from guide.sequence.entry_parts import IN_CLASS, MOST_ROUNDS, Inside, Parts
from guide.sequence.fields import (
    Field,
    FileReading,
    close_to,
    fields,
    heading,
    listed,
    meant,
    spoken,
    whole_number,
    words,
    yes_no,
)
from guide.sequence.length_text import clipped
from guide.sequence.model import BlockEntry, BlockName, Entry, Group, MoveEntry, RoundsEntry, SectionEntry, SidesEntry
from guide.sequence.nodes import Faulty, Items, Node, Table, Text
from guide.sequence.other_words import IN_A_STEP, OF_A_SECTION
from guide.sequence.steps import Breath, Side
from guide.sequence.yaml_pitfalls import quoted

#: What may stand beside `both sides` where it names a pose.
POSE_ON_SIDES = ("hold", "name", "enter", "say", "leave", "count", "bell")

#: What may stand beside every head.
EVERYWHERE = ("level", "let be")

#: What may stand beside each head. `pose` and `say` are also options of others, so they are looked for last.
OPTIONS: Mapping[str, tuple[str, ...]] = {
    "section": ("bell", "pace", "count", "lead", "breath word", "music", *EVERYWHERE),
    "rest": ("pose", "name", "enter", "say", "leave", "share", "pace", "count", "chime every", "bell", *EVERYWHERE),
    "silence": ("chime every", "bell", *EVERYWHERE),
    "breathing": ("lasts", "name", "enter", "say", "count", "bell", *EVERYWHERE),
    "inhale": ("pose", "times", "pace", "count", "lead", "breath word", *EVERYWHERE),
    "exhale": ("pose", "times", "pace", "count", "lead", "breath word", *EVERYWHERE),
    "rounds": ("of", "pace", *EVERYWHERE),
    "both sides": ("first", "between", "equal", "second side", "pace", *POSE_ON_SIDES, *EVERYWHERE),
    "block": ("pace", *EVERYWHERE),
    "pose": ("hold", "name", "enter", "say", "leave", "pace", "count", "chime every", "bell", "side", *EVERYWHERE),
    "say": EVERYWHERE,
}

ENTRY_KEYS = frozenset(OPTIONS).union(*OPTIONS.values())


def group(reading: FileReading, field: Field, inside: Inside) -> Group:
    """The steps of a group: a list of entries, or the name of a block."""
    node = field.node
    if isinstance(node, Text) and not node.null:
        text = words(reading, field)
        return BlockName(spoken(text), reading.source.place(text.line, text.column)) if text else ()
    return entries(reading, field, inside)


def entries(reading: FileReading, field: Field, inside: Inside) -> tuple[Entry, ...]:
    """The entries of a list."""
    node = field.node
    if isinstance(node, Faulty):
        return ()
    if isinstance(node, Items) and node.nodes:
        made = tuple(entry for item in node.nodes for entry in _entry(reading, item, inside))
        if inside.heads == ("class",):
            _check_sections(reading, node, made)
        return tuple(_repeated(made))
    if isinstance(node, Items) or field.missing:
        reading.fault(field.key, f"`{clipped(field.name)}` holds no step", "write a list with a dash before each step")
    else:
        fix = "put a dash in front of each step: `- pose: mountain`"
        reading.fault(node, f"`{clipped(field.name)}` takes a list of steps", fix)
    return ()


def _repeated(made: tuple[Entry, ...]) -> Iterator[Entry]:
    """The entries, with rounds for every move that comes more than once: of it and of the other half of its breath.

    That is the move after it, where it is the other half and comes as often or says nothing of it, else a breath
    without words. So halves alternate.
    """
    waiting = list(reversed(made))
    while waiting:
        entry = waiting.pop()
        if not isinstance(entry, MoveEntry) or entry.times == 1:
            yield entry
            continue
        other = Breath.EXHALE if entry.breath is Breath.INHALE else Breath.INHALE
        after = waiting[-1] if waiting else None
        in_step = isinstance(after, MoveEntry) and after.breath is other and after.times in (1, entry.times)
        if isinstance(after, MoveEntry) and in_step and after.levels == entry.levels:
            half = replace(after, times=1)
            waiting.pop()
        else:
            half = replace(entry, breath=other, cue=None, pose=None, times=1)
        yield RoundsEntry(entry.times, (replace(entry, times=1), half), entry.place)


def _check_sections(reading: FileReading, items: Items, made: tuple[Entry, ...]) -> None:
    """Every section must hold a step; nothing is said of a list with entries that could not be read."""
    if len(made) != len(items.nodes):
        return
    for node, entry, following in zip(items.nodes, made, (*made[1:], None), strict=True):
        if isinstance(entry, SectionEntry) and (following is None or isinstance(following, SectionEntry)):
            what = f"the section `{clipped(entry.title)}` holds no step"
            reading.fault(node, what, "add a step, or leave the section out")


def _entry(reading: FileReading, node: Node, inside: Inside) -> Iterator[Entry]:
    if isinstance(node, Table) and node.pairs:
        found = fields(reading, node)
        head = _head(reading, found)
        if head is not None:
            _check_options(reading, head, found)
            parts = Parts(reading, head, found, inside)
            entry = READERS[head.name](parts)
            levels = parts.levels()
            if entry is not None:
                yield replace(entry, levels=levels)
    elif isinstance(node, Text) and node.value and not node.null:
        raw = clipped(node.value)
        kind, _, rest = raw.partition(" ")
        if kind in OPTIONS and rest:
            fix = f"a colon is missing: write `- {kind}: {rest.strip()}`"
        else:
            fix = f"write `- pose: {raw}`, `- say: {quoted(raw)}` or `- block: {raw}`"
        reading.fault(node, f"`{raw}` does not say what kind of step it is", fix)
    elif not isinstance(node, Faulty):
        what = "a list stands where a step belongs" if isinstance(node, Items) else "there is no step after this dash"
        reading.fault(node, what, "write one step after each dash, such as `- pose: mountain`")


def _head(reading: FileReading, found: dict[str, Field]) -> Field | None:
    """The one key that says what the entry is."""
    heads = [name for name in found if name in OPTIONS and name not in ("pose", "say")]
    if len(heads) > 1:
        second = found[heads[1]].key
        what = f"`{heads[0]}` and `{heads[1]}` are two steps"
        reading.fault(second, what, f"begin the second with a dash of its own: `- {heads[1]}: …`")
        return None
    names = heads or [name for name in ("pose", "say") if name in found]
    if names:
        return found[names[0]]
    if not found:
        return None
    first = next(iter(found.values()))
    near = "" if first.name in ENTRY_KEYS or first.name in IN_A_STEP else close_to(first.name, OPTIONS)
    what = f"`{clipped(first.name)}` does not say what kind of step this is"
    told = {**IN_A_STEP, **OF_A_SECTION}
    fix = f"did you mean `{near}`?" if near else told.get(first.name, f"a step begins with {listed(OPTIONS)}")
    reading.fault(first.key, what, fix)
    if not near:
        return None
    found[near] = meant(found.pop(first.name), near)
    return found[near]


def _check_options(reading: FileReading, head: Field, found: dict[str, Field]) -> None:
    """A problem for every other key that may not stand with the head; one that is misspelt is read as it was meant."""
    options = OPTIONS[head.name]
    for name, other in list(found.items()):
        if name == head.name or name in options:
            continue
        near = "" if name in ENTRY_KEYS or name in IN_A_STEP else close_to(name, options)
        fix = f"did you mean `{near}`?" if near else _option_fix(head.name, name)
        reading.fault(other.key, f"`{head.name}` has no `{clipped(name)}`", fix)
        if near and near not in found:
            found[near] = meant(other, near)


def _option_fix(head: str, name: str) -> str:
    options = OPTIONS[head]
    if name == "hold" and head in ("rest", "silence"):
        return f"write the length behind the head: `{head}: 2 min`"
    if head == "say" and name in OPTIONS["pose"]:
        return "words alone have no options; add `pose: …` if something is held"
    told = {**IN_A_STEP, **OF_A_SECTION}
    if name in told:
        return told[name]
    return f"it may have {listed(options)}" if options else "it stands alone"


def _section(parts: Parts) -> Entry | None:
    text = heading(parts.reading, parts.head)
    how = parts.bell(), parts.pace(), parts.count(), parts.lead_ms(), parts.breath_word()
    entry = SectionEntry(text, parts.place, *how, parts.let_be(), music=parts.music())
    if parts.inside != IN_CLASS:
        what = f"a section cannot stand inside `{parts.inside.heads[-1]}`"
        parts.reading.fault(parts.head.key, what, "move it into the list of `class`")
        return None
    return entry if text else None


def _rounds(parts: Parts) -> Entry | None:
    times = whole_number(parts.reading, parts.head, 1, MOST_ROUNDS)
    if "of" not in parts.found:
        fix = "add `of:` with the name of a block or a list of steps"
        parts.reading.fault(parts.head.key, "`rounds` needs `of`", fix)
        return None
    of = group(parts.reading, parts.found["of"], parts.inside.into("rounds"))
    pace, let_be = parts.pace(), parts.let_be()
    return RoundsEntry(times, of, parts.place, let_be, pace) if times and of else None


def _both_sides(parts: Parts) -> Entry | None:
    if "both sides" in parts.inside.heads:
        what = "`both sides` stands inside another `both sides`"
        parts.reading.fault(parts.head.key, what, "keep the outer one only")
    of = _of_both_sides(parts)
    between = group(parts.reading, parts.found["between"], parts.inside) if "between" in parts.found else ()
    first = parts.side("first")
    equal = yes_no(parts.reading, parts.found["equal"]) if "equal" in parts.found else True
    second = parts.second_side()
    if not of:
        return None
    let_be, pace = parts.let_be(), parts.pace()
    return SidesEntry(of, parts.place, first or Side.RIGHT, equal is not False, second, let_be, pace, between)


def _of_both_sides(parts: Parts) -> Group:
    """What is done on both sides: a list of steps, the block of a name, or, where anything is said of it, a pose."""
    own = [name for name in POSE_ON_SIDES if name in parts.found]
    if not own:
        return group(parts.reading, parts.head, parts.inside.into("both sides"))
    if isinstance(parts.head.node, Text):
        entry = hold_entries.pose_on_both_sides(parts)
        return (entry,) if entry else ()
    what = f"`{own[0]}` stands beside a list of steps, and belongs to one of them"
    parts.reading.fault(
        parts.found[own[0]].key, what, f"move it to the step in the list, such as `- pose: …` with `{own[0]}`"
    )
    return ()


def _block(parts: Parts) -> Entry | None:
    text = words(parts.reading, parts.head)
    if text is None:
        return None
    name = BlockName(spoken(text), parts.reading.source.place(text.line, text.column))
    pace = parts.pace()
    return BlockEntry(name, parts.place, parts.let_be(), pace)


#: How each kind of entry is read, by its head.
READERS: Mapping[str, Callable[[Parts], Entry | None]] = {
    "section": _section,
    "rest": hold_entries.rest,
    "silence": hold_entries.silence,
    "breathing": hold_entries.breathing,
    "inhale": hold_entries.move,
    "exhale": hold_entries.move,
    "rounds": _rounds,
    "both sides": _both_sides,
    "block": _block,
    "pose": hold_entries.pose,
    "say": hold_entries.talk,
}
