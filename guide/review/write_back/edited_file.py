"""What was done, put into the bytes of a class file, with nothing else changed and that proved."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from guide.problem import FaultyFile, UnusableChoice
from guide.review.write_back.length_edits import Edit, LengthDraft, edits, length_draft
from guide.review.write_back.proof import is_proved
from guide.review.write_back.taught_hold import Done, Left, ToKeep, Why
from guide.review.write_back.written_lengths import FileText, entries_of
from guide.review.write_back.yaml_anchors import WritableDrafts, writable
from guide.sequence.model import ClassFile as ClassAsWritten
from guide.sequence.reader import read_text


@dataclass(frozen=True, slots=True)
class LengthChange:
    """A length that changes, as it stands in the file and as it will; `before` is nothing where none stands.

    `line` is that of its entry, and `done` every time that it was done.
    """

    line: int
    title: str
    before: str
    after: str
    done: tuple[Done, ...]


@dataclass(frozen=True, slots=True)
class EditedFile:
    """A class file with what was done in it, every length that changes, and every hold that stays, with the reason."""

    after: bytes
    changes: tuple[LengthChange, ...]
    left: tuple[Left, ...]


def write_lengths(raw: bytes, name: str, folder: Path, keep: ToKeep) -> EditedFile:
    """The file `raw`, called `name` as when it was planned, with what is to be kept; its block files are in `folder`.

    Only the characters of lengths differ, and the class reads the same but for them. A length that cannot be changed so
    stays, with the reason.

    Raises:
        FaultyFile: the file is no class without a problem.
        UnusableChoice: it is another file than the one that was planned, or cannot be changed so.
    """
    before = read_text(raw, name, folder)
    file = FileText.of(raw, name)
    drafts, left = _drafts(file, name, keep)
    found = writable(file, drafts)

    def proves(some: Sequence[LengthDraft]) -> bool:
        return _proves(before, file, replace(found, drafts=tuple(some)), name, folder)

    sure = _provable(found.drafts, proves)
    if len(sure) < len(found.drafts) and not proves(sure):
        what = "the lengths cannot be written into it without changing more than them"
        raise UnusableChoice(f"{name}: {what} (change them by hand)")
    proved = {one.hold.place for one in sure}
    by_hand = (one.left(Why.BY_HAND) for one in found.drafts if one.hold.place not in proved)
    kept = replace(found, drafts=sure)
    changes = tuple(_change(file, one) for one in sure)
    return EditedFile(_after(file, kept), changes, (*keep.left, *left, *found.left, *by_hand))


def _drafts(file: FileText, name: str, keep: ToKeep) -> tuple[list[LengthDraft], list[Left]]:
    entries = entries_of(file.tree)
    drafts: list[LengthDraft] = []
    left: list[Left] = []
    for hold in keep.holds:
        entry = entries.get((hold.place.line, hold.place.column))
        if entry is None:
            raise UnusableChoice(f"{name}: this is not the file that was planned (plan it again)")
        made = length_draft(file, hold, entry, keep.sides)
        if isinstance(made, LengthDraft):
            drafts.append(made)
        elif made is not None:
            left.append(made)
    return drafts, left


def _provable(
    drafts: tuple[LengthDraft, ...], proves: Callable[[Sequence[LengthDraft]], bool]
) -> tuple[LengthDraft, ...]:
    """All the drafts if they can be proved together, or else those that can be in halves, in quarters, or alone."""
    if proves(drafts):
        return drafts
    if len(drafts) <= 1:
        return ()
    half = len(drafts) // 2
    return (*_provable(drafts[:half], proves), *_provable(drafts[half:], proves))


def _proves(before: ClassAsWritten, file: FileText, found: WritableDrafts, name: str, folder: Path) -> bool:
    """Whether the class stays the same but for what is meant, and every comment stays."""
    holds = {draft.hold.place: draft.to for draft in found.drafts}
    if any("#" in file.text[edit.start : edit.end] for edit in _edits(file, found)):
        return False
    try:
        return is_proved(before, _after(file, found), name, folder, holds)
    except FaultyFile:
        return False


def _after(file: FileText, found: WritableDrafts) -> bytes:
    return _edited(file.text, _edits(file, found)).encode("utf-8")


def _edits(file: FileText, found: WritableDrafts) -> list[Edit]:
    return [edit for draft in found.drafts for edit in edits(file, draft, found.following)]


def _edited(text: str, made: Iterable[Edit]) -> str:
    for edit in sorted(made, key=lambda one: one.start, reverse=True):
        text = f"{text[: edit.start]}{edit.text}{text[edit.end :]}"
    return text


def _change(file: FileText, draft: LengthDraft) -> LengthChange:
    return LengthChange(draft.entry.key.line, draft.hold.title, draft.before(file), draft.after(file), draft.hold.done)
