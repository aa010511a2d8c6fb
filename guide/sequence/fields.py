"""The values of keys: words, choices, yes and no, lengths; each checked at its place."""

import difflib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from types import MappingProxyType
from typing import TypeVar

from guide.problem import FaultyFile, Problem
from guide.sequence import length_text, yaml_pitfalls
from guide.sequence.length_text import NotALength, clipped
from guide.sequence.nodes import Faulty, Items, Node, Table, Text
from guide.sequence.source import MOST_PROBLEMS, Source
from guide.sequence.steps import InBreaths, InTime

T = TypeVar("T")

NO_OTHERS: Mapping[str, str] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Field:
    """A key with its value."""

    key: Text
    node: Node

    @property
    def name(self) -> str:
        """The key as it is written."""
        return self.key.value

    @property
    def missing(self) -> bool:
        """Whether nothing stands after the colon."""
        return isinstance(self.node, Text) and self.node.null


@dataclass(slots=True)
class FileReading:
    """One file while it is read: its text, the keys it may use, and every problem found so far.

    Other files that it names are looked for in `folder`.
    """

    source: Source
    keys: frozenset[str]
    problems: list[Problem] = field(default_factory=list)
    folder: Path = Path()

    def fault(self, at: Node, what: str, fix: str = "") -> None:
        """Note a problem at a node.

        Raises:
            FaultyFile: when there are more than `MOST_PROBLEMS`.
        """
        self.note(self.source.problem(at.line, at.column, what, fix))

    def note(self, problem: Problem) -> None:
        """Keep a problem. Raises FaultyFile when there are as many as are told."""
        if len(self.problems) >= MOST_PROBLEMS:
            line, column = problem.place.line, problem.place.column
            more = "there are more problems; these come first"
            raise FaultyFile([*self.problems, self.source.problem(line, column, more)])
        self.problems.append(problem)


def close_to(word: str, known: Iterable[str]) -> str:
    """The known name that a word is nearly, or nothing."""
    if len(word) > 40:
        return ""
    folded = {name.casefold(): name for name in known}
    close = difflib.get_close_matches(word.casefold().strip(), folded, n=1, cutoff=0.65)
    return folded[close[0]] if close else ""


def nearest(word: str, known: Iterable[str]) -> str:
    """`did you mean …?` for a word that is nearly a known one, else nothing."""
    near = close_to(word, known)
    return f"did you mean `{near}`?" if near else ""


def listed(names: Iterable[str]) -> str:
    """`a`, `b` or `c`."""
    *most, last = (f"`{name}`" for name in names)
    return f"{', '.join(most)} or {last}" if most else last


def fields(reading: FileReading, table: Table) -> dict[str, Field]:
    """The fields of a mapping by name; a key that comes twice is a problem."""
    found: dict[str, Field] = {}
    for key, node in table.pairs:
        first = found.get(key.value)
        if key.value == "<<":
            if not isinstance(node, Faulty):
                what = "`<<` merges mappings in YAML, which a sequence file does not use"
                reading.fault(key, what, "write a block instead")
        elif first is None:
            found[key.value] = Field(key, node)
        else:
            what = f"`{clipped(key.value)}` is given twice, first on line {first.key.line}"
            reading.fault(key, what, "keep one of them")
    return found


def known_fields(
    reading: FileReading, table: Table, known: Iterable[str], owner: str, others: Mapping[str, str] = NO_OTHERS
) -> dict[str, Field]:
    """The fields of a mapping, with a problem for every key that `owner` does not know.

    `others` are words that people write for those it knows, each with what to write.
    """
    names = tuple(known)
    found = fields(reading, table)
    for name in [name for name in found if name not in names]:
        unknown = found.pop(name)
        near = "" if name in others else close_to(name, names)
        fix = f"did you mean `{near}`?" if near else others.get(name, f"{owner} has {listed(names)}")
        reading.fault(unknown.key, f"{owner} has no `{clipped(name)}`", fix)
        if near and near not in found:
            found[near] = meant(unknown, near)
    return found


def meant(field: Field, name: str) -> Field:
    """A field with its name mended, so that its value is read as well."""
    return Field(replace(field.key, value=name), field.node)


def scalar(reading: FileReading, field: Field, fix: str) -> Text | None:
    """The one text that a key needs, or None and a problem."""
    node = field.node
    if isinstance(node, Faulty):
        return None
    if field.missing:
        _missing(reading, field, fix)
        return None
    if isinstance(node, Text):
        return node
    reading.fault(node, f"`{field.name}` takes one value, not a {kind(node)}", fix)
    return None


def _missing(reading: FileReading, field: Field, fix: str) -> None:
    node, name = field.node, field.name
    taken = lost(reading, field)
    if taken:
        fix = f"write `{name}: {yaml_pitfalls.quoted(clipped(taken))}`"
        reading.fault(field.key, f"YAML takes `{clipped(taken)}` for a comment, so `{name}` has no value", fix)
    elif isinstance(node, Text) and node.value:
        what = f"`{node.value}` without quotes means nothing at all to YAML"
        reading.fault(node, what, f"write `{name}: {yaml_pitfalls.quoted(node.value)}`")
    else:
        reading.fault(field.key, f"`{name}` has no value", fix)


def lost(reading: FileReading, field: Field) -> str:
    """The words that a `#` right after a key has taken away, or nothing."""
    return yaml_pitfalls.swallowed(reading.source, field.key.line, field.key.end_column + 1)


def kind(node: Node) -> str:
    """What YAML calls a node that is no text."""
    return "list" if isinstance(node, Items) else "mapping"


def words(reading: FileReading, field: Field) -> Text | None:
    """The words of a key that may have sides in them, checked for the traps of YAML."""
    text = _text(reading, field)
    return checked_words(reading, text) if text else None


def _text(reading: FileReading, field: Field) -> Text | None:
    node = field.node
    if isinstance(node, Table) and node.pairs:
        raw = reading.source.line(node.line)[node.column - 1 :].strip()
        what = f"`{field.name}` takes words; a colon and a space, or a brace, make YAML see a mapping"
        reading.fault(node, what, f"write `{field.name}: {yaml_pitfalls.quoted(clipped(raw))}`")
        return None
    return scalar(reading, field, f"write `{field.name}: …` with the words on one line")


def checked_words(reading: FileReading, text: Text) -> Text | None:
    """`text` when it fell into no trap and knows all that it asks to be put in, else None."""
    unknown = yaml_pitfalls.unknown_places(reading.source, text)
    return _untrapped(reading, text, [*yaml_pitfalls.in_words(reading.source, text, keys=reading.keys), *unknown])


def _untrapped(reading: FileReading, text: Text, trapped: list[Problem]) -> Text | None:
    for problem in trapped:
        reading.note(problem)
    if not trapped and not text.value.strip():
        reading.fault(text, "there are no words here", "write some, or leave the key out")
        return None
    return None if trapped else text


def spoken(text: Text) -> str:
    """The words of a text on one line."""
    return " ".join(text.value.split())


def title(reading: FileReading, field: Field) -> str:
    """The words of a key on one line, or nothing when they are faulty."""
    text = words(reading, field)
    return spoken(text) if text else ""


def heading(reading: FileReading, field: Field) -> str:
    """The same of a key whose words are never said: nothing is put into them, and angle brackets are words."""
    text = _text(reading, field)
    if text:
        text = _untrapped(reading, text, list(yaml_pitfalls.in_words(reading.source, text, keys=reading.keys)))
    return spoken(text) if text else ""


def choice(reading: FileReading, field: Field, values: Mapping[str, T]) -> T | None:
    """One of a few values by its name."""
    text = scalar(reading, field, f"write {listed(values)}")
    if text is None or text.value in values:
        return values[text.value] if text else None
    fix = nearest(text.value, values) or f"write {listed(values)}"
    reading.fault(text, f"`{field.name}` cannot be `{clipped(text.value)}`", fix)
    return None


def choices(reading: FileReading, field: Field, values: Mapping[str, T]) -> tuple[T, ...]:
    """One of a few values by its name, or a list of them; each is given once."""
    if not isinstance(field.node, Items):
        nodes: tuple[Node, ...] = (field.node,)
    elif field.node.nodes:
        nodes = field.node.nodes
    else:
        reading.fault(field.node, f"`{field.name}` is an empty list", "name something, or leave the key out")
        nodes = ()
    chosen = (choice(reading, Field(field.key, node), values) for node in nodes)
    return tuple(dict.fromkeys(value for value in chosen if value is not None))


YES_NO = {"yes": True, "no": False, "true": True, "false": False}


def yes_no(reading: FileReading, field: Field) -> bool | None:
    """Yes or no, in any spelling of YAML; None where it is neither, which is noted."""
    text = scalar(reading, field, "write `yes` or `no`")
    if text is not None and text.value.lower() in YES_NO and (text.boolean or text.value in YES_NO):
        return YES_NO[text.value.lower()]
    if text is not None:
        reading.fault(text, f"`{field.name}` cannot be `{clipped(text.value)}`", "write `yes` or `no`")
    return None


def length(reading: FileReading, field: Field, read: Callable[[str], T], fix: str) -> T | None:
    """A value that `read` makes of the text."""
    text = scalar(reading, field, fix)
    if text is None:
        return None
    try:
        return read(text.value.strip())
    except NotALength as error:
        reading.fault(text, error.what, error.fix)
        return None


def hold(reading: FileReading, field: Field) -> InBreaths | InTime | None:
    """A hold in breaths or by the clock; None where it is neither, which is noted."""
    return length(reading, field, length_text.read_hold, length_text.HOLD_FIX)


def time_ms(reading: FileReading, field: Field, least_ms: int, most_ms: int) -> int | None:
    """A time between two limits, in milliseconds."""

    def read(text: str) -> int:
        ms = length_text.read_time(text)
        if not least_ms <= ms <= most_ms:
            span = f"{length_text.write_time(least_ms)} to {length_text.write_time(most_ms)}"
            raise NotALength(f"`{field.name}` lasts {span}", "write a time between them")
        return ms

    return length(reading, field, read, length_text.TIME_FIX)


def whole_number(reading: FileReading, field: Field, least: int, most: int) -> int | None:
    """A whole number inside its limits; None where it is none, which is noted."""
    text = scalar(reading, field, f"write a number from {least} to {most}")
    if text is None:
        return None
    if not text.plain:
        reading.fault(text, f"`{field.name}` is a number and stands without quotes", f"write `{clipped(text.value)}`")
        return None
    if text.value.isascii() and text.value.isdigit() and least <= int(text.value[:9]) <= most:
        return int(text.value)
    fix = f"write a whole number from {least} to {most}"
    reading.fault(text, f"`{field.name}` cannot be `{clipped(text.value)}`", fix)
    return None


def decimal(reading: FileReading, field: Field, least: float, most: float) -> float | None:
    """A number inside its limits; None where it is none, which is noted."""
    text = scalar(reading, field, f"write a number from {least:g} to {most:g}")
    if text is None:
        return None
    if text.number and "x" not in text.value and "o" not in text.value and least <= float(text.value) <= most:
        return float(text.value)
    fix = f"write a number from {least:g} to {most:g}, without quotes"
    reading.fault(text, f"`{field.name}` cannot be `{clipped(text.value)}`", fix)
    return None
