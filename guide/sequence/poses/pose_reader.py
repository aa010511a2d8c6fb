"""The one reader of `poses:`, in a class, in a file of blocks, and in the library's own files."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from guide.sequence import fields as read
from guide.sequence import yaml_pitfalls
from guide.sequence.cues import CUE_KEYS
from guide.sequence.fields import Field, FileReading
from guide.sequence.length_text import clipped, write_hold
from guide.sequence.nodes import Faulty, Items, Node, Table, Text
from guide.sequence.poses.figure_reader import read_figure
from guide.sequence.poses.library import Library
from guide.sequence.poses.names import folded
from guide.sequence.poses.pose import Base, Condition, Does, Pose, Strength, Way
from guide.sequence.steps import InBreaths

POSE_KEYS = (
    "also",
    "sanskrit",
    "base",
    "sides",
    "does",
    "strength",
    "after",
    "rests",
    "props",
    "easier",
    "stronger",
    "enter",
    "say",
    "leave",
    "cautions",
    "hold",
    "usual",
    "on wrists",
    "head low",
    "figure",
)
WAY_KEYS = ("say", "pose")

#: The keys whose words are spoken or shown to a student, and so may name a side.
WORD_KEYS = ("easier", "stronger", "enter", "say", "leave", "cautions")

BASES = {each.value: each for each in Base}
DOES = {each.value: each for each in Does}
STRENGTHS = {each.value: each for each in Strength}
CONDITIONS = {each.value: each for each in Condition}

HOLD_FIX = "write `5 breaths` or `3 to 8 breaths`"

_SIDE = re.compile(r"<(?:other )?side>", re.IGNORECASE)


def read_poses(reading: FileReading, field: Field, known: Library | None) -> dict[str, Pose]:
    """The poses under a `poses` key, by name.

    An entry whose name `known` has is that pose, under the library's name for it, with what the entry gives changed:
    other names and cautions are added to those it has, all else goes before it.
    """
    table = field.node
    if not isinstance(table, Table) or not table.pairs:
        if not isinstance(table, Faulty):
            fix = "write the name of each pose, and what there is to know of it below"
            reading.fault(field.key, f"`{field.name}` holds no pose", fix)
        return {}
    owners = _Owners(reading, {}, {})
    poses: dict[str, Pose] = {}
    for entry in read.fields(reading, table).values():
        pose = _pose(reading, entry, known)
        if pose is not None and owners.take(entry, pose):
            poses[pose.name] = pose
    if known is not None and any(pose.figure for pose in poses.values()):
        from guide.sequence.poses.class_figures import faults

        for problem in faults(poses, known):
            reading.note(problem)
    return poses


@dataclass(frozen=True, slots=True)
class _Owners:
    """Whose each name is in this file: `names` by the form that is compared, `lines` where each pose is given."""

    reading: FileReading
    names: dict[str, str]
    lines: dict[str, int]

    def take(self, entry: Field, pose: Pose) -> bool:
        """Whether this is the first entry for its pose; a problem for every name that another pose has here."""
        line = self.lines.setdefault(pose.name, entry.key.line)
        if line != entry.key.line:
            what = f"`{clipped(entry.name)}` is the pose `{clipped(pose.name)}`, which is given on line {line}"
            self.reading.fault(entry.key, what, "keep one of them")
            return False
        for text in (entry.key, *_written_names(entry.node)):
            owner = self.names.setdefault(folded(text.value), pose.name)
            if owner != pose.name:
                what = f"`{clipped(text.value)}` is a name of `{clipped(owner)}` too"
                self.reading.fault(text, what, "leave it to one of them")
        return True


def _written_names(node: Node) -> Iterator[Text]:
    for key, value in node.pairs if isinstance(node, Table) else ():
        if key.value in ("also", "sanskrit"):
            yield from (each for each in _texts(value) if each.value)


def _texts(node: Node) -> Iterator[Text]:
    """Every text at or below a node, keys left out."""
    match node:
        case Text():
            yield node
        case Items():
            for each in node.nodes:
                yield from _texts(each)
        case Table():
            for _, value in node.pairs:
                yield from _texts(value)


def _pose(reading: FileReading, entry: Field, known: Library | None) -> Pose | None:
    """The pose of one entry; None where nothing can be known of it."""
    word = read.checked_words(reading, entry.key)
    if word is None:
        return None
    name = read.spoken(word)
    if _SIDE.search(name):
        reading.fault(entry.key, "the name of a pose says no side", "leave the side out, and write `sides: yes` below")
        return None
    before = known.find(name) if known is not None else None
    table = _table(reading, entry, "`base: standing`, or what there is to change", "below it")
    if table is None:
        return before
    found = read.known_fields(reading, table, POSE_KEYS, "a pose")
    if before is None and "base" not in found:
        near = known.nearest(name) if known is not None else ""
        fix = f"add `base:` with {read.listed(BASES)}" + (f"; or did you mean `{near}`?" if near else "")
        reading.fault(entry.key, f"the new pose `{clipped(name)}` needs `base`", fix)
    given = _Given(reading, found)
    pose = _worded(given, _described(given, before or Pose(name, Base.STANDING)))
    pose = replace(pose, hold=_hold(given, pose.hold))
    _check_sides(given, pose)
    return pose


def _table(reading: FileReading, field: Field, example: str, where: str) -> Table | None:
    node = field.node
    if isinstance(node, Table) and node.pairs:
        return node
    if field.missing or isinstance(node, Table):
        reading.fault(field.key, f"nothing is said of `{clipped(field.name)}`", f"write {example}, {where}")
    elif not isinstance(node, Faulty):
        what = "a list" if read.kind(node) == "list" else "one value"
        reading.fault(node, f"`{clipped(field.name)}` takes a mapping, not {what}", f"write {example}, {where}")
    return None


@dataclass(frozen=True, slots=True)
class _Given:
    """What an entry gives, by key; each method reads one kind of value, or keeps what there is."""

    reading: FileReading
    found: Mapping[str, Field]

    def yes_no(self, key: str, before: bool) -> bool:
        given = read.yes_no(self.reading, self.found[key]) if key in self.found else None
        return before if given is None else given

    def names(self, key: str, before: tuple[str, ...]) -> tuple[str, ...]:
        return _names(self.reading, self.found[key]) if key in self.found else before

    def cues(self, key: str, before: tuple[str, ...]) -> tuple[str, ...]:
        return _cues(self.reading, self.found[key]) if key in self.found else before

    def way(self, key: str, before: Way | None) -> Way | None:
        return (_way(self.reading, self.found[key]) if key in self.found else None) or before


def _described(given: _Given, before: Pose) -> Pose:
    """A pose with what an entry says of it, its words aside."""
    reading, found = given.reading, given.found
    return replace(
        before,
        also=tuple(dict.fromkeys((*before.also, *given.names("also", ())))),
        sanskrit=(read.title(reading, found["sanskrit"]) if "sanskrit" in found else "") or before.sanskrit,
        base=(read.choice(reading, found["base"], BASES) if "base" in found else None) or before.base,
        sides=given.yes_no("sides", before.sides),
        does=_does(reading, found["does"]) if "does" in found else before.does,
        strength=(read.choice(reading, found["strength"], STRENGTHS) if "strength" in found else None)
        or before.strength,
        after=given.names("after", before.after),
        rests=given.names("rests", before.rests),
        props=given.names("props", before.props),
        on_wrists=given.yes_no("on wrists", before.on_wrists),
        head_low=given.yes_no("head low", before.head_low),
        figure=read_figure(reading, found["figure"]) if "figure" in found else before.figure,
    )


def _worded(given: _Given, before: Pose) -> Pose:
    """A pose with the words that an entry gives it."""
    cautions = _cautions(given.reading, given.found["cautions"]) if "cautions" in given.found else {}
    return replace(
        before,
        easier=given.way("easier", before.easier),
        stronger=given.way("stronger", before.stronger),
        enter=given.cues("enter", before.enter),
        say=given.cues("say", before.say),
        leave=given.cues("leave", before.leave),
        cautions={**before.cautions, **cautions},
    )


def _parts(reading: FileReading, field: Field) -> Iterator[Field]:
    """The one value of a key, or each value of its list."""
    if not isinstance(field.node, Items):
        yield field
        return
    for node in field.node.nodes:
        if isinstance(node, Text) and node.null and not node.value:
            reading.fault(node, "there is nothing after this dash", "write something, or delete the dash")
        else:
            yield Field(field.key, node)


def _names(reading: FileReading, field: Field) -> tuple[str, ...]:
    """One name, or a list of names, which may be empty."""
    return tuple(name for part in _parts(reading, field) if (name := read.title(reading, part)))


def _does(reading: FileReading, field: Field) -> tuple[Does, ...]:
    return tuple(does for part in _parts(reading, field) if (does := read.choice(reading, part, DOES)))


def _cues(reading: FileReading, field: Field) -> tuple[str, ...]:
    """One cue, or a list of cues; none for `none`."""
    if isinstance(field.node, Text) and field.node.value == "none":
        return ()
    if isinstance(field.node, Items) and not field.node.nodes:
        reading.fault(field.node, f"`{field.name}` is an empty list", "write some words, or `none`")
    return tuple(words for part in _parts(reading, field) if (words := _cue(reading, part)))


def _cue(reading: FileReading, field: Field) -> str:
    node = field.node
    if isinstance(node, Table) and any(key.value in CUE_KEYS for key, _ in node.pairs):
        what = f"`{node.pairs[0][0].value}` belongs in a class; here a cue is its words alone"
        reading.fault(node, what, "write only the words")
        return ""
    if isinstance(node, Text) and node.plain and node.flow and node.value:
        what = "words in a list in brackets need quotes: a comma would split them"
        fix = f"write {yaml_pitfalls.quoted(clipped(node.value))}, or a line with a dash for each cue"
        reading.fault(node, what, fix)
        return ""
    return read.title(reading, field)


def _way(reading: FileReading, field: Field) -> Way | None:
    """An easier or a stronger way: the words that offer it, or a mapping with the pose that it is as well."""
    table = field.node
    if not isinstance(table, Table) or not any(key.value in WAY_KEYS for key, _ in table.pairs):
        words = read.title(reading, field)
        return Way(words) if words else None
    found = read.known_fields(reading, table, WAY_KEYS, f"`{field.name}`")
    if "say" not in found:
        reading.fault(table, f"`{field.name}` needs `say`", "add `say: …` with the words that offer it")
        return None
    words = read.title(reading, found["say"])
    pose = read.title(reading, found["pose"]) if "pose" in found else ""
    return Way(words, pose) if words else None


def _cautions(reading: FileReading, field: Field) -> Mapping[Condition, str]:
    table = _table(reading, field, "`knee: Keep a blanket under the knee.`", "with one line for each condition")
    found = read.known_fields(reading, table, CONDITIONS, f"`{field.name}`") if table else {}
    said = {CONDITIONS[name]: read.title(reading, each) for name, each in found.items()}
    return {condition: words for condition, words in said.items() if words}


def _hold(given: _Given, before: InBreaths) -> InBreaths:
    """How long the pose is usually held; of a new range the middle is usual, where nothing says more."""
    hold = _breaths(given, "hold") or before
    usual = _breaths(given, "usual")
    if usual is None:
        return hold
    node = given.found["usual"].node
    if usual.least != usual.most:
        given.reading.fault(node, "`usual` is one number of breaths", f"write `{usual.usual} breaths`")
    elif not hold.least <= usual.usual <= hold.most:
        what = f"`usual` is {write_hold(usual)}, outside `hold`, which is {write_hold(hold)}"
        given.reading.fault(node, what, "write breaths within it")
    return replace(hold, usual=usual.usual)


def _breaths(given: _Given, key: str) -> InBreaths | None:
    hold = read.hold(given.reading, given.found[key]) if key in given.found else None
    if hold is None or isinstance(hold, InBreaths):
        return hold
    what = f"`{key}` of a pose in the library is in breaths; only a class says a time"
    given.reading.fault(given.found[key].node, what, HOLD_FIX)
    return None


def _check_sides(given: _Given, pose: Pose) -> None:
    """A problem wherever words name a side of a pose that has none."""
    if pose.sides:
        return
    written = [text for key in WORD_KEYS if key in given.found for text in _texts(given.found[key].node)]
    sided = [text for text in written if _SIDE.search(text.value)]
    for text in sided:
        what = f"the words name a side, and `{clipped(pose.name)}` has no sides"
        given.reading.fault(text, what, "write `sides: yes`, or leave the side out")
    if not sided and "sides" in given.found and any(map(_SIDE.search, _words(pose))):
        what = f"`{clipped(pose.name)}` cannot be without sides: the library's words for it name them"
        fix = "give `enter`, `say` and `leave` of its own, or leave `sides` out"
        given.reading.fault(given.found["sides"].node, what, fix)


def _words(pose: Pose) -> Iterator[str]:
    ways = [way.say for way in (pose.easier, pose.stronger) if way]
    yield from (*pose.enter, *pose.say, *pose.leave, *pose.cautions.values(), *ways)
