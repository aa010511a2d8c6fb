"""Plainly written YAML, read quickly: the library's own files, which every plan needs.

The whole of YAML takes the library's files half a second; these few forms, a twentieth of it. A text with anything else
in it (words over several lines, a comment after words, an anchor, a tab) is left to `compose`, so that there is one
reader for what is hard. A test holds that both give the same tree.
"""

import re
from dataclasses import dataclass

from guide.sequence.nodes import Items, Node, Table, Text
from guide.sequence.source import Source

#: Words that YAML takes as they stand, with no `: `, no ` #`, and no sign in front that means something to it.
_PLAIN = re.compile(
    r"""(?!---|\.\.\.)[^\s\-?:,\[\]{}#&*!|>'"%@`](?:[^:#\s]|:(?=\S)|(?<=\S)\#|\ (?=[^\s#]))*(?<!:)""", re.VERBOSE
)
_KEY = re.compile(r"""([^\s\-?:,\[\]{}#&*!|>'"%@`<=~](?:[\w',-]|\ (?=[\w(]))*):(?:\ |$)""", re.VERBOSE)
_QUOTED = re.compile(r'"([^"\\]*)"|\'([^\']*)\'')
_LIST = re.compile(r"\[((?:\w[\w' -]*(?:, \w[\w' -]*)*)?)\]")
_BLANK = re.compile(r" *(?:#.*)?")

#: What `nodes` takes out of words, and a line too long to be a cue.
_NO_WIDTH = re.compile("[\u200b\ufeff]")
_LONGEST = 300


class _NotPlain(Exception):
    """Here stands something that needs the whole of YAML."""


@dataclass(frozen=True, slots=True)
class _Line:
    number: int
    indent: int
    text: str


def plain_tree(source: Source) -> Node | None:
    """The tree of a file that is written plainly, the same as `compose` gives; None where it is not."""
    lines = []
    for number, text in enumerate(source.clean, start=1):
        if len(text) > _LONGEST or _NO_WIDTH.search(text):
            return None
        if not _BLANK.fullmatch(text):
            bare = text.lstrip(" ")
            lines.append(_Line(number, len(text) - len(bare), bare))
    try:
        node, end = _block(lines, 0, 0)
    except (_NotPlain, RecursionError):
        return None
    return node if end == len(lines) else None


def _block(lines: list[_Line], start: int, indent: int) -> tuple[Node, int]:
    """The list or mapping whose lines all stand at `indent`, and the index of the line after it."""
    if start == len(lines) or lines[start].indent != indent:
        raise _NotPlain
    first = lines[start]
    if first.text.startswith("- "):
        nodes, start = _entries(lines, start, indent)
        return Items(tuple(nodes), first.number, indent + 1), start
    pairs, start = _pairs(lines, start, indent)
    return Table(tuple(pairs), first.number, indent + 1), start


def _entries(lines: list[_Line], start: int, indent: int) -> tuple[list[Node], int]:
    nodes: list[Node] = []
    while start < len(lines) and lines[start].indent == indent:
        line = lines[start]
        if not line.text.startswith("- "):
            raise _NotPlain
        nodes.append(_scalar(line.text[2:], line.number, indent + 3))
        start += 1
    return nodes, _closed(lines, start, indent)


def _pairs(lines: list[_Line], start: int, indent: int) -> tuple[list[tuple[Text, Node]], int]:
    pairs: list[tuple[Text, Node]] = []
    while start < len(lines) and lines[start].indent == indent:
        line = lines[start]
        found = _KEY.match(line.text)
        if not found:
            raise _NotPlain
        key = _text(found[1], line.number, indent + 1, flow=False)
        start += 1
        value: Node
        if found.end() < len(line.text):
            value = _value(line.text[found.end() :], line.number, indent + 1 + found.end())
        else:
            value, start = _block(lines, start, indent + 2)
        pairs.append((key, value))
    return pairs, _closed(lines, start, indent)


def _closed(lines: list[_Line], start: int, indent: int) -> int:
    """`start`, when the line there closes a block at `indent` by standing further left, or none is left."""
    if start < len(lines) and lines[start].indent >= indent:
        raise _NotPlain
    return start


def _value(text: str, line: int, column: int) -> Node:
    found = _LIST.fullmatch(text)
    if not found:
        return _scalar(text, line, column)
    nodes = []
    column_of = column + 1
    for name in found[1].split(", ") if found[1] else ():
        if name != name.strip() or not _PLAIN.fullmatch(name):
            raise _NotPlain
        nodes.append(_text(name, line, column_of, flow=True))
        column_of += len(name) + 2
    return Items(tuple(nodes), line, column)


def _scalar(text: str, line: int, column: int) -> Text:
    if _PLAIN.fullmatch(text):
        return _text(text, line, column, flow=False)
    found = _QUOTED.fullmatch(text)
    if not found:
        raise _NotPlain
    return Text(found[1] or found[2] or "", line, column, line, column + len(text), plain=False, flow=False)


def _text(value: str, line: int, column: int, *, flow: bool) -> Text:
    return Text(value, line, column, line, column + len(value), plain=True, flow=flow)
