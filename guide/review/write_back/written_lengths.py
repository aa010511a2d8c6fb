"""Where in the bytes of a class file the length of a hold is written."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from guide.sequence import source
from guide.sequence.block_files import FILE_KEYS
from guide.sequence.compose import compose
from guide.sequence.nodes import Items, Node, Table, Text

#: Under which key each kind of entry has its length.
LENGTH_KEYS = {"pose": "hold", "rest": "rest", "silence": "silence", "breathing": "lasts", "both sides": "hold"}

_LINE_END = re.compile(r"\r\n|\r|\n")
#: An anchor, with what may stand between it and its length: spaces, line ends and comments.
_ANCHOR = re.compile(r"&\S+(?:\s+(?:#[^\r\n]*)?)+")

#: A stretch of the text, in characters from its beginning, the end not included.
Stretch = tuple[int, int]


@dataclass(frozen=True, slots=True)
class LengthEntry:
    """An entry with a length: its head's key and value, the length as written, None where it is not, its mapping."""

    key: Text
    head: Node
    length: Node | None
    table: Table


@dataclass(frozen=True, slots=True)
class FileText:
    """A class file as text, with the character at which each line begins, and its tree.

    A byte order mark and every line end are kept, so that the text becomes the very same bytes again.
    """

    text: str
    starts: tuple[int, ...]
    tree: Node | None

    @staticmethod
    def of(raw: bytes, name: str) -> "FileText":
        """The text of a file that has been read without a problem."""
        text = raw.decode("utf-8")
        first = 1 if text.startswith("\ufeff") else 0
        starts = (first, *(found.end() for found in _LINE_END.finditer(text)))
        checked, _ = source.check(raw, name)
        tree, _ = compose(checked, FILE_KEYS)
        return FileText(text, starts, tree)

    def offset(self, line: int, column: int) -> int:
        """The index in the text of a place; lines and columns count from 1."""
        return self.starts[line - 1] + column - 1

    def whole(self, node: Text) -> Stretch:
        """All of a text as it is written, with its quotes and its anchor."""
        start = self.offset(node.line, node.column)
        end = self.offset(node.end_line, node.end_column)
        return start, start + len(self.text[start:end].rstrip())

    def inner(self, node: Text) -> Stretch:
        """The text itself, without an anchor, quotes or the sign that opens several lines."""
        start, end = self.whole(node)
        anchor = _ANCHOR.match(self.text, start, end)
        start = anchor.end() if anchor else start
        if self.text[start] in "\"'":
            return start + 1, end - 1
        if self.text[start] in "|>":
            header = _LINE_END.search(self.text, start)
            start = header.end() if header else start
            start += len(self.text[start:end]) - len(self.text[start:end].lstrip())
        return start, end

    def line_end(self, offset: int) -> tuple[int, str]:
        """Where the line of a character ends, and the line end that stands there (or elsewhere, on the last line)."""
        found = _LINE_END.search(self.text, offset)
        if found:
            return found.start(), found[0]
        any_end = _LINE_END.search(self.text)
        return len(self.text), any_end[0] if any_end else "\n"


def entries_of(tree: Node | None) -> Mapping[tuple[int, int], LengthEntry]:
    """Every entry that has a length, or may have one, by the line and column of its head."""
    found: dict[tuple[int, int], LengthEntry] = {}
    for node in walk(tree):
        if isinstance(node, Table):
            by_name = {key.value: value for key, value in node.pairs}
            for key, value in node.pairs:
                if key.value in LENGTH_KEYS:
                    found[key.line, key.column] = LengthEntry(key, value, by_name.get(LENGTH_KEYS[key.value]), node)
    return found


def walk(tree: Node | None) -> Iterator[Node]:
    """Every value of a tree, in the order in which they are written."""
    waiting: list[Node] = [] if tree is None else [tree]
    while waiting:
        node = waiting.pop()
        yield node
        if isinstance(node, Items):
            waiting += reversed(node.nodes)
        elif isinstance(node, Table):
            waiting += [value for _, value in reversed(node.pairs)]
