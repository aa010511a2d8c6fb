"""A length in a class file as it is and as it should be, and the edits of the text that lead from one to the other."""

import re
from collections.abc import Collection, Iterator
from dataclasses import dataclass, replace

from guide.rehearse.keeping.finding import Entry, FileText, Stretch
from guide.rehearse.keeping.lengths import Length
from guide.rehearse.keeping.manner import likewise
from guide.rehearse.keeping.taught import Left, SidesKept, TaughtHold, Why
from guide.rehearse.keeping.wanted import same, sided_texts, wanted, wanted_without_cues, written_hold
from guide.sequence.holds import SIDED_KEYS
from guide.sequence.model import SidedHold, WrittenHold
from guide.sequence.nodes import Table, Text

_ONE_LINE_TABLE = re.compile(r"\{[^{}#\r\n]*\}")


@dataclass(frozen=True, slots=True)
class Edit:
    """Characters of a text, from `start` up to `end`, that become `text`."""

    start: int
    end: int
    text: str


@dataclass(frozen=True, slots=True)
class Draft:
    """A hold as the file has it, and as it should be."""

    hold: TaughtHold
    entry: Entry
    was: WrittenHold
    to: WrittenHold

    def left(self, why: Why) -> Left:
        return Left(self.hold.place, self.hold.title, None, why)

    @property
    def lengths(self) -> tuple[tuple[Text, Length, Length], ...]:
        """Each length that only becomes another one: where it is written, what it was and what it will be."""
        node, was, to = self.entry.length, self.was, self.to
        if isinstance(node, Table) and isinstance(was, SidedHold) and isinstance(to, SidedHold):
            first, second = sided_texts(node)
            return (first, was.first, to.first), (second, was.second, to.second)
        if isinstance(node, Text) and not isinstance(was, SidedHold) and not isinstance(to, SidedHold):
            return ((node, was, to),)
        return ()

    def before(self, file: FileText) -> str:
        """The hold as it is written, on one line; nothing where it is not."""
        node = self.entry.length
        if isinstance(node, Table):
            return _sided(*(said(file, text) for text in sided_texts(node)))
        return said(file, node) if isinstance(node, Text) else ""

    def after(self, file: FileText) -> str:
        """The hold as it will be written, on one line."""
        node, was, to = self.entry.length, self.was, self.to
        if isinstance(node, Table) and isinstance(was, SidedHold):
            first, second = sided_texts(node)
            if not isinstance(to, SidedHold):
                return likewise(said(file, first), was.first, to)
            sides = (first, was.first, to.first), (second, was.second, to.second)
            return _sided(*(likewise(said(file, text), old, new) for text, old, new in sides))
        assert not isinstance(was, SidedHold), "only a mapping has a length for each side"
        manner = said(file, node) if isinstance(node, Text) else ""
        if isinstance(to, SidedHold):
            return _sided(likewise(manner, was, to.first), likewise(manner, was, to.second))
        return likewise(manner, was, to)


def drafted(file: FileText, hold: TaughtHold, entry: Entry, sides: SidesKept) -> Draft | Left | None:
    """What should become of a hold; None where it stays because it is right as it is."""
    was = written_hold(hold, entry.length)
    to = wanted(hold, was, sides)
    draft = Draft(hold, entry, was, to)
    if not same(was, to):
        return replace(draft, to=_joined(file, draft))
    return None if same(was, wanted_without_cues(hold, was, sides)) else draft.left(Why.CUE)


def _joined(file: FileText, draft: Draft) -> WrittenHold:
    """One length in place of two that are alike, where they stand in braces on one line."""
    to, node = draft.to, draft.entry.length
    if not (isinstance(to, SidedHold) and isinstance(node, Table) and same(to.first, to.second)):
        return to
    named = any(text.anchor and not text.again for text in sided_texts(node))
    return to.first if _one_line(file, node) and not named and not same(draft.was, to) else to


def _one_line(file: FileText, table: Table) -> Stretch | None:
    found = _ONE_LINE_TABLE.match(file.text, file.offset(table.line, table.column))
    return found.span() if found else None


def edits(file: FileText, draft: Draft, following: Collection[tuple[int, int]]) -> Iterator[Edit]:
    """What changes in the text; lengths at the places `following` change with the one that they call."""
    node = draft.entry.length
    if draft.lengths:
        for text, old, new in draft.lengths:
            if not same(old, new) and (text.line, text.column) not in following:
                start, end = file.inner(text)
                manner = said(file, text) if text.again else file.text[start:end]
                yield Edit(start, end, likewise(manner, old, new))
    elif isinstance(node, Text):
        yield Edit(*file.whole(node), draft.after(file))
    elif isinstance(node, Table):
        found = _one_line(file, node)
        assert found is not None, "only a mapping on one line becomes one length"
        yield Edit(*found, draft.after(file))
    else:
        yield _inserted(file, draft)


def _inserted(file: FileText, draft: Draft) -> Edit:
    """A `hold` behind the head of its entry: on a line of its own, or behind a comma in braces."""
    head, key = draft.entry.head, draft.entry.key
    assert isinstance(head, Text), "the head of a pose is its name"
    _, end = file.whole(head)
    if head.flow:
        return Edit(end, end, f", hold: {draft.after(file)}")
    line_end, ending = file.line_end(end)
    return Edit(line_end, line_end, f"{ending}{' ' * (key.column - 1)}hold: {draft.after(file)}")


def said(file: FileText, text: Text) -> str:
    """A length as it is written, on one line; that of an alias, as the one that it calls."""
    if text.again:
        return " ".join(text.value.split())
    start, end = file.inner(text)
    return " ".join(file.text[start:end].split())


def _sided(first: str, second: str) -> str:
    return f"{{{SIDED_KEYS[0]}: {first}, {SIDED_KEYS[1]}: {second}}}"
