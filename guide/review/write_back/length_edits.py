"""A length in a class file as it is and as it should be, and the edits of the text that lead from one to the other."""

import re
from collections.abc import Collection, Iterator
from dataclasses import dataclass, replace

from guide.review.write_back.length_style import in_style_of
from guide.review.write_back.new_hold import same, sided_texts, wanted, wanted_without_cues, written_hold
from guide.review.write_back.new_length import Length
from guide.review.write_back.taught_hold import Left, SidesKept, TaughtHold, Why
from guide.review.write_back.written_lengths import FileText, LengthEntry, Stretch
from guide.sequence.hold_entries import SIDED_KEYS
from guide.sequence.length_text import split_each_side
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
class LengthDraft:
    """A hold as the file has it, and as it should be."""

    hold: TaughtHold
    entry: LengthEntry
    was: WrittenHold
    to: WrittenHold

    def left(self, why: Why) -> Left:
        """The hold as one that is left as it was, and why."""
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
                return in_style_of(said(file, first), was.first, to)
            sides = (first, was.first, to.first), (second, was.second, to.second)
            return _sided(*(in_style_of(said(file, text), old, new) for text, old, new in sides))
        assert not isinstance(was, SidedHold), "only a mapping has a length for each side"
        style = said(file, node) if isinstance(node, Text) else ""
        if isinstance(to, SidedHold):
            return _sided(in_style_of(style, was, to.first), in_style_of(style, was, to.second))
        return in_style_of(style, was, to)


def length_draft(file: FileText, hold: TaughtHold, entry: LengthEntry, sides: SidesKept) -> LengthDraft | Left | None:
    """What should become of a hold; None where it stays because it is right as it is."""
    was = written_hold(hold, entry.length)
    if isinstance(entry.length, Text) and split_each_side(entry.length.value)[1]:
        # A length that is one for each side stays one.
        sides = SidesKept.EQUAL
    to = wanted(hold, was, sides)
    draft = LengthDraft(hold, entry, was, to)
    if not same(was, to):
        return replace(draft, to=_joined(file, draft))
    return None if same(was, wanted_without_cues(hold, was, sides)) else draft.left(Why.CUE)


def _joined(file: FileText, draft: LengthDraft) -> WrittenHold:
    """One length in place of two that are alike, where they stand in braces on one line."""
    to, node = draft.to, draft.entry.length
    if not (isinstance(to, SidedHold) and isinstance(node, Table) and same(to.first, to.second)):
        return to
    named = any(text.anchor and not text.again for text in sided_texts(node))
    return to.first if _one_line(file, node) and not named and not same(draft.was, to) else to


def _one_line(file: FileText, table: Table) -> Stretch | None:
    found = _ONE_LINE_TABLE.match(file.text, file.offset(table.line, table.column))
    return found.span() if found else None


def edits(file: FileText, draft: LengthDraft, following: Collection[tuple[int, int]]) -> Iterator[Edit]:
    """What changes in the text; lengths at the places `following` change with the one that they call."""
    node = draft.entry.length
    if draft.lengths:
        for text, old, new in draft.lengths:
            if not same(old, new) and (text.line, text.column) not in following:
                start, end = file.inner(text)
                style = said(file, text) if text.again else file.text[start:end]
                yield Edit(start, end, in_style_of(style, old, new))
    elif isinstance(node, Text):
        yield Edit(*file.whole(node), draft.after(file))
    elif isinstance(node, Table):
        found = _one_line(file, node)
        assert found is not None, "only a mapping on one line becomes one length"
        yield Edit(*found, draft.after(file))
    else:
        yield _inserted(file, draft)


def _inserted(file: FileText, draft: LengthDraft) -> Edit:
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
