"""The file as a tree of texts, lists and mappings, each with its place, made from the events of ruamel.yaml.

The tree is made from events and not with a recursive composer, so that a file nested a thousand deep is a problem and
not a crash, and so that aliases and tags are met where they stand. Every value stays the text that was written:
nothing is turned into a number, a date or a yes and no before the reader asks for one.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from enum import Enum
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.events import (
    AliasEvent,
    DocumentStartEvent,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
)

#: A class nests about ten deep (class, entry, both sides, entry, say, cue). Deeper than this is a mistake or an attack.
DEEPEST = 40

#: A class has one event of YAML for each 16 letters or more, so that the longest file that is read has 12,000.
MOST_EVENTS = 16_000

#: Characters without width, left behind by copying from other programs.
_NO_WIDTH = dict.fromkeys((0x200B, 0xFEFF))

#: What may have an anchor: a length or a number, to be called again by an alias. Words may not, as they may begin so.
_ANCHORED = re.compile(r"\s*[0-9]")

_NULL = re.compile(r"~|null|Null|NULL|")
_BOOLEAN = re.compile(r"true|True|TRUE|false|False|FALSE")
_NUMBER = re.compile(
    r"[-+]?[0-9]+|0o[0-7]+|0x[0-9a-fA-F]+|[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?"
    r"|[-+]?\.(inf|Inf|INF)|\.(nan|NaN|NAN)"
)


@dataclass(frozen=True, slots=True)
class Text:
    """A text as written; `plain` when it stands without quotes, `flow` when it stands inside brackets or braces.

    Lines and columns count from 1; the end is the first column after the text. `anchor` is the name that a length has
    been given (`&long 8 breaths`), or, with `again`, the one by which it is called (`*long`).
    """

    value: str
    line: int
    column: int
    end_line: int
    end_column: int
    plain: bool
    flow: bool
    anchor: str = ""
    again: bool = False

    @property
    def null(self) -> bool:
        """Whether YAML 1.2 reads this as nothing at all."""
        return self.plain and bool(_NULL.fullmatch(self.value))

    @property
    def oddity(self) -> "Oddity":
        """What its anchor is where none may be."""
        return Oddity.ALIAS if self.again else Oddity.ANCHOR

    @property
    def boolean(self) -> bool:
        """Whether YAML 1.2 reads this as true or false."""
        return self.plain and bool(_BOOLEAN.fullmatch(self.value))

    @property
    def number(self) -> bool:
        """Whether YAML 1.2 reads this as a number."""
        return self.plain and bool(_NUMBER.fullmatch(self.value))


@dataclass(frozen=True, slots=True)
class Items:
    """A list."""

    nodes: "tuple[Node, ...]"
    line: int
    column: int


@dataclass(frozen=True, slots=True)
class Table:
    """A mapping, in the order written; a key may come twice."""

    pairs: "tuple[tuple[Text, Node], ...]"
    line: int
    column: int


@dataclass(frozen=True, slots=True)
class Faulty:
    """Something that has been reported already and is read no further."""

    line: int
    column: int


Node = Text | Items | Table | Faulty


class Oddity(Enum):
    """Something that YAML allows and a sequence file does not use."""

    ALIAS = "alias"
    ANCHOR = "anchor"
    TAG = "tag"
    KEY = "key"
    DOCUMENT = "document"
    DEEP = "deep"
    LONG = "long"


@dataclass(frozen=True, slots=True)
class Odd:
    """Where an oddity stands."""

    oddity: Oddity
    line: int
    column: int


@dataclass(slots=True)
class Growing:
    """A tree in the making: what has been found so far, and the last text met (a YAML error is often its fault).

    `named` are the lengths that have an anchor.
    """

    root: Node | None = None
    last: Text | None = None
    named: dict[str, Text] = field(default_factory=dict)
    odd: list[Odd] = field(default_factory=list)


@dataclass(slots=True)
class _Open:
    """A list or mapping whose end has not come yet."""

    event: Any
    nodes: list[Node] = field(default_factory=list)


def grow(text: str, tree: Growing) -> None:
    """Make the tree of the one document in `text` into `tree`.

    Raises:
        ruamel.yaml.error.YAMLError: where the text is not YAML; `tree` then holds what was found before.
    """
    waiting: list[_Open] = []
    documents = 0
    for number, event in enumerate(_events(text)):
        if number == MOST_EVENTS:
            tree.odd.append(Odd(Oddity.LONG, *_spot(event)))
            tree.root = None
            return
        if isinstance(event, DocumentStartEvent):
            documents += 1
            if documents == 2:
                tree.odd.append(Odd(Oddity.DOCUMENT, *_spot(event)))
                return
            continue
        node = _node(event, tree, waiting)
        if node is None:
            if len(waiting) > DEEPEST:
                tree.odd.append(Odd(Oddity.DEEP, *_spot(event)))
                tree.root = None
                return
        elif waiting:
            waiting[-1].nodes.append(node)
        else:
            tree.root = node


def _events(text: str) -> Iterator[Any]:
    yield from YAML(typ="safe", pure=True, plug_ins=[]).parse(text)


def _node(event: Any, tree: Growing, waiting: list[_Open]) -> Node | None:
    """The node that `event` completes, or None when it only opens one or says nothing."""
    if isinstance(event, ScalarEvent):
        text = _text(event, bool(waiting) and bool(waiting[-1].event.flow_style))
        tree.last = text
        if event.anchor is not None and event.tag is None and _ANCHORED.match(text.value):
            tree.named[event.anchor] = replace(text, anchor=event.anchor)
            return tree.named[event.anchor]
        return text if _undecorated(event, tree) else Faulty(text.line, text.column)
    if isinstance(event, SequenceStartEvent | MappingStartEvent):
        _undecorated(event, tree)
        waiting.append(_Open(event))
    elif isinstance(event, SequenceEndEvent):
        opened = waiting.pop()
        return Items(tuple(opened.nodes), *_spot(opened.event))
    elif isinstance(event, MappingEndEvent):
        return _table(waiting.pop(), tree)
    elif isinstance(event, AliasEvent) and event.anchor in tree.named:
        return _again(event, tree)
    elif isinstance(event, AliasEvent):
        tree.odd.append(Odd(Oddity.ALIAS, *_spot(event)))
        return Faulty(*_spot(event))
    return None


def _text(event: Any, flow: bool) -> Text:
    start, end = event.start_mark, event.end_mark
    plain = not event.style
    value = event.value if event.value.isascii() else event.value.translate(_NO_WIDTH)
    return Text(value, start.line + 1, start.column + 1, end.line + 1, end.column + 1, plain, flow)


def _again(event: Any, tree: Growing) -> Text:
    """The length that an alias calls, at the place of the alias."""
    start, end = event.start_mark, event.end_mark
    place = {"line": start.line + 1, "column": start.column + 1, "end_line": end.line + 1, "end_column": end.column + 1}
    return replace(tree.named[event.anchor], **place, again=True)


def _spot(event: Any) -> tuple[int, int]:
    return event.start_mark.line + 1, event.start_mark.column + 1


def _undecorated(event: Any, tree: Growing) -> bool:
    """Whether the node stands without an anchor and a tag; each is a problem."""
    tree.named.pop(event.anchor, None)
    if event.anchor is None and event.tag is None:
        return True
    oddity = Oddity.ANCHOR if event.anchor is not None else Oddity.TAG
    tree.odd.append(Odd(oddity, *_spot(event)))
    return False


def _table(opened: _Open, tree: Growing) -> Table | Faulty:
    pairs: list[tuple[Text, Node]] = []
    for key, value in zip(opened.nodes[::2], opened.nodes[1::2], strict=True):
        if isinstance(key, Text) and key.anchor:
            tree.odd.append(Odd(key.oddity, key.line, key.column))
        elif isinstance(key, Text):
            pairs.append((key, value))
        elif not isinstance(key, Faulty):
            tree.odd.append(Odd(Oddity.KEY, key.line, key.column))
    spot = _spot(opened.event)
    return Table(tuple(pairs), *spot) if pairs or not opened.nodes else Faulty(*spot)
