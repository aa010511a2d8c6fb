"""The entries of a class and of blocks: each is one mapping with exactly one head key that says what it is."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from guide.problem import Place
from guide.sequence.cues import Held, Unheld, cues, name_cue
from guide.sequence.fields import (
    Field,
    Reading,
    choice,
    close_to,
    fields,
    hold,
    length,
    listed,
    lost,
    meant,
    pace,
    pace_parts,
    spoken,
    title,
    whole_number,
    words,
    yes_no,
)
from guide.sequence.lengths import clipped, read_pattern
from guide.sequence.model import (
    BlockEntry,
    BlockName,
    BreathingEntry,
    Entry,
    Group,
    HoldEntry,
    MoveEntry,
    Pattern,
    RoundsEntry,
    SectionEntry,
    SidesEntry,
    TalkEntry,
    WrittenCue,
)
from guide.sequence.nodes import Faulty, Items, Node, Table, Text
from guide.sequence.steps import BellWhen, Breath, Count, CueKind, InBreaths, InTime, Pace, Side
from guide.sequence.traps import quoted

#: A full mala has 108 beads (common practice, no source).
MOST_ROUNDS = 108

#: What may stand beside each head. `pose` and `say` are also options of others, so they are looked for last.
OPTIONS: Mapping[str, tuple[str, ...]] = {
    "section": ("bell", "pace", "count"),
    "rest": ("pose", "name", "enter", "say", "pace", "count", "bell"),
    "silence": ("bell",),
    "breathing": ("lasts", "name", "enter", "say", "count", "bell"),
    "inhale": ("pose", "pace", "count"),
    "exhale": ("pose", "pace", "count"),
    "rounds": ("of",),
    "both sides": ("first", "equal"),
    "block": (),
    "pose": ("hold", "name", "enter", "say", "pace", "count", "bell", "side"),
    "say": (),
}

ENTRY_KEYS = frozenset(OPTIONS).union(*OPTIONS.values())

_BELLS = {each.value: each for each in BellWhen}
_COUNTS = {each.value: each for each in Count}
_SIDES = {each.value: each for each in Side}


@dataclass(frozen=True, slots=True)
class Inside:
    """What a list of entries stands in, from the outside in: `class` or `blocks`, then `rounds` and `both sides`."""

    heads: tuple[str, ...]

    def into(self, head: str) -> "Inside":
        return Inside((*self.heads, head))


IN_CLASS = Inside(("class",))
IN_BLOCK = Inside(("blocks",))


@dataclass(frozen=True, slots=True)
class Parts:
    """One entry being read: its head, its other fields, and where it stands."""

    reading: Reading
    head: Field
    found: Mapping[str, Field]
    inside: Inside

    @property
    def place(self) -> Place:
        return self.reading.source.place(self.head.key.line, self.head.key.column)

    def words(self, name: str) -> str:
        return title(self.reading, self.found[name]) if name in self.found else ""

    def pace(self) -> Pace | None:
        return pace(self.reading, self.found["pace"]) if "pace" in self.found else None

    def count(self) -> Count | None:
        return choice(self.reading, self.found["count"], _COUNTS) if "count" in self.found else None

    def bell(self) -> BellWhen | None:
        return choice(self.reading, self.found["bell"], _BELLS) if "bell" in self.found else None

    def side(self, name: str) -> Side | None:
        return choice(self.reading, self.found[name], _SIDES) if name in self.found else None

    def cues(self, name: str, spot: Held | Unheld) -> tuple[WrittenCue, ...]:
        return cues(self.reading, self.found[name], spot) if name in self.found else ()

    def name(self) -> WrittenCue | None:
        return name_cue(self.reading, self.found["name"]) if "name" in self.found else None

    def silent(self) -> bool:
        """Whether the name is to be left unspoken."""
        node = self.found["name"].node if "name" in self.found else None
        return isinstance(node, Text) and node.value == "none"


ENTERING = Unheld("`enter` is said before the hold, in a time of its own")
TALKING = Unheld("these words have a time of their own, with nothing held")


def group(reading: Reading, field: Field, inside: Inside) -> Group:
    """The steps of a group: a list of entries, or the name of a block."""
    node = field.node
    if isinstance(node, Text) and not node.null:
        text = words(reading, field)
        return BlockName(spoken(text), reading.source.place(text.line, text.column)) if text else ()
    return entries(reading, field, inside)


def entries(reading: Reading, field: Field, inside: Inside) -> tuple[Entry, ...]:
    """The entries of a list."""
    node = field.node
    if isinstance(node, Faulty):
        return ()
    if isinstance(node, Items) and node.nodes:
        made = tuple(entry for item in node.nodes for entry in _entry(reading, item, inside))
        if inside.heads == ("class",):
            _check_sections(reading, node, made)
        return made
    if isinstance(node, Items) or field.missing:
        reading.fault(field.key, f"`{clipped(field.name)}` holds no step", "write a list with a dash before each step")
    else:
        fix = "put a dash in front of each step: `- pose: mountain`"
        reading.fault(node, f"`{clipped(field.name)}` takes a list of steps", fix)
    return ()


def _check_sections(reading: Reading, items: Items, made: tuple[Entry, ...]) -> None:
    """Every section must hold a step; nothing is said of a list with entries that could not be read."""
    if len(made) != len(items.nodes):
        return
    for node, entry, following in zip(items.nodes, made, (*made[1:], None), strict=True):
        if isinstance(entry, SectionEntry) and (following is None or isinstance(following, SectionEntry)):
            what = f"the section `{clipped(entry.title)}` holds no step"
            reading.fault(node, what, "add a step, or leave the section out")


def _entry(reading: Reading, node: Node, inside: Inside) -> Iterator[Entry]:
    if isinstance(node, Table) and node.pairs:
        found = fields(reading, node)
        head = _head(reading, found)
        if head is not None:
            _check_options(reading, head, found)
            entry = READERS[head.name](Parts(reading, head, found, inside))
            if entry is not None:
                yield entry
    elif isinstance(node, Text) and node.value and not node.null:
        raw = clipped(node.value)
        fix = f"write `- pose: {raw}`, `- say: {quoted(raw)}` or `- block: {raw}`"
        reading.fault(node, f"`{raw}` does not say what kind of step it is", fix)
    elif not isinstance(node, Faulty):
        what = "a list stands where a step belongs" if isinstance(node, Items) else "there is no step after this dash"
        reading.fault(node, what, "write one step after each dash, such as `- pose: mountain`")


def _head(reading: Reading, found: dict[str, Field]) -> Field | None:
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
    near = "" if first.name in ENTRY_KEYS else close_to(first.name, OPTIONS)
    what = f"`{clipped(first.name)}` does not say what kind of step this is"
    reading.fault(first.key, what, f"did you mean `{near}`?" if near else f"a step begins with {listed(OPTIONS)}")
    if not near:
        return None
    found[near] = meant(found.pop(first.name), near)
    return found[near]


def _check_options(reading: Reading, head: Field, found: dict[str, Field]) -> None:
    """A problem for every other key that may not stand with the head; one that is misspelt is read as it was meant."""
    options = OPTIONS[head.name]
    for name, other in list(found.items()):
        if name == head.name or name in options:
            continue
        near = "" if name in ENTRY_KEYS else close_to(name, options)
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
    return f"it may have {listed(options)}" if options else "it stands alone"


def _section(parts: Parts) -> Entry | None:
    text = parts.words("section")
    entry = SectionEntry(text, parts.place, parts.bell(), parts.pace(), parts.count())
    if parts.inside != IN_CLASS:
        what = f"a section cannot stand inside `{parts.inside.heads[-1]}`"
        parts.reading.fault(parts.head.key, what, "move it into the list of `class`")
        return None
    return entry if text else None


def _pose(parts: Parts) -> Entry | None:
    pose = parts.words("pose")
    kept = hold(parts.reading, parts.found["hold"]) if "hold" in parts.found else None
    entry = _hold_entry(parts, "pose", pose, kept)
    return entry if pose else None


def _rest(parts: Parts) -> Entry | None:
    kept = hold(parts.reading, parts.head)
    return _hold_entry(parts, "rest", parts.words("pose") or "rest", kept)


def _hold_entry(parts: Parts, what: str, pose: str, kept: InBreaths | InTime | None) -> HoldEntry:
    return HoldEntry(
        kind=what,
        pose=pose,
        place=parts.place,
        hold=kept,
        name_cue=parts.name(),
        name_silent=parts.silent(),
        enter=parts.cues("enter", ENTERING),
        say=parts.cues("say", Held()),
        pace=parts.pace(),
        count=parts.count(),
        bell=parts.bell(),
        side=parts.side("side"),
    )


def _silence(parts: Parts) -> Entry | None:
    kept = hold(parts.reading, parts.head)
    return HoldEntry("silence", "silence", parts.place, kept, bell=parts.bell())


def _breathing(parts: Parts) -> Entry | None:
    pattern = _pattern(parts.reading, parts.head)
    lasts = hold(parts.reading, parts.found["lasts"]) if "lasts" in parts.found else None
    named, enter, say = parts.name(), parts.cues("enter", ENTERING), parts.cues("say", Held())
    count, bell = parts.count(), parts.bell()
    if "lasts" not in parts.found:
        parts.reading.fault(parts.head.key, "`breathing` needs `lasts`", "add `lasts: 8 breaths` or `lasts: 3 min`")
    if pattern is None or lasts is None:
        return None
    return BreathingEntry(pattern, parts.place, lasts, named, enter, say, count, bell)


def _pattern(reading: Reading, field: Field) -> Pattern | None:
    if isinstance(field.node, Table):
        made = pace_parts(reading, field, field.node)
        if made is None:
            return None
        seconds = (made.inhale_ms / 1000, made.full_ms / 1000, made.exhale_ms / 1000, made.empty_ms / 1000)
        return Pattern(seconds, True, "-".join(f"{float(part):g}" for part in seconds))
    return length(reading, field, read_pattern, "write `box`, `even`, `4-7-8`, `1:2` or a mapping as in `pace`")


def _move(parts: Parts) -> Entry | None:
    breath = Breath(parts.head.name)
    wordless = parts.head.missing and not lost(parts.reading, parts.head)
    text = None if wordless else words(parts.reading, parts.head)
    cue = WrittenCue(spoken(text), CueKind.BREATH, parts.reading.source.place(text.line, text.column)) if text else None
    return MoveEntry(breath, parts.place, cue, parts.words("pose") or None, parts.pace(), parts.count())


def _talk(parts: Parts) -> Entry | None:
    said = parts.cues("say", TALKING)
    return TalkEntry(said, parts.place) if said else None


def _rounds(parts: Parts) -> Entry | None:
    times = whole_number(parts.reading, parts.head, 1, MOST_ROUNDS)
    if "of" not in parts.found:
        fix = "add `of:` with the name of a block or a list of steps"
        parts.reading.fault(parts.head.key, "`rounds` needs `of`", fix)
        return None
    of = group(parts.reading, parts.found["of"], parts.inside.into("rounds"))
    return RoundsEntry(times, of, parts.place) if times and of else None


def _both_sides(parts: Parts) -> Entry | None:
    if "both sides" in parts.inside.heads:
        what = "`both sides` stands inside another `both sides`"
        parts.reading.fault(parts.head.key, what, "keep the outer one only")
    of = group(parts.reading, parts.head, parts.inside.into("both sides"))
    first = parts.side("first")
    equal = yes_no(parts.reading, parts.found["equal"]) if "equal" in parts.found else True
    return SidesEntry(of, parts.place, first or Side.RIGHT, equal is not False) if of else None


def _block(parts: Parts) -> Entry | None:
    text = words(parts.reading, parts.head)
    if text is None:
        return None
    return BlockEntry(BlockName(spoken(text), parts.reading.source.place(text.line, text.column)), parts.place)


#: How each kind of entry is read, by its head.
READERS: Mapping[str, Callable[[Parts], Entry | None]] = {
    "section": _section,
    "rest": _rest,
    "silence": _silence,
    "breathing": _breathing,
    "inhale": _move,
    "exhale": _move,
    "rounds": _rounds,
    "both sides": _both_sides,
    "block": _block,
    "pose": _pose,
    "say": _talk,
}
