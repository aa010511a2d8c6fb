"""Lengths with an anchor, and those that call them again: none changes that was not meant to."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from guide.review.write_back.length_edits import LengthDraft
from guide.review.write_back.new_hold import same
from guide.review.write_back.new_length import Length
from guide.review.write_back.taught_hold import Left, Why
from guide.review.write_back.written_lengths import FileText, walk
from guide.sequence.nodes import Text

Spot = tuple[int, int]

#: A length that is to be changed: what it becomes, None where it does not become one length.
To = Length | None


@dataclass(frozen=True, slots=True)
class WritableDrafts:
    """The drafts that can be written; `following` are the places of aliases that change with the length they call."""

    drafts: tuple[LengthDraft, ...]
    left: tuple[Left, ...]
    following: frozenset[Spot]


def writable(file: FileText, drafts: Sequence[LengthDraft]) -> WritableDrafts:
    """The drafts without those that would change a length that other steps call and that is to stay for them.

    An alias is replaced by a length of its own, unless the one that it calls becomes the same.
    """
    meant: dict[Spot, To] = {}
    for draft in drafts:
        meant.update(_meant(draft))
    stuck: set[Spot] = set()
    following: set[Spot] = set()
    for named, callers in _called(file):
        spot = _spot(named)
        if spot not in meant or not callers:
            continue
        if any(_spot(caller) not in meant for caller in callers):
            stuck.add(spot)
        else:
            new = meant[spot]
            following |= {_spot(one) for one in callers if _alike(meant[_spot(one)], new)}
    made = [(draft, _without(draft, stuck)) for draft in drafts]
    kept = tuple(new for _, new in made if not same(new.was, new.to))
    left = tuple(draft.left(Why.CALLED_AGAIN) for draft, new in made if new != draft)
    return WritableDrafts(kept, left, frozenset(following))


def _meant(draft: LengthDraft) -> Iterable[tuple[Spot, To]]:
    """Every place of a length that a draft changes, with what it becomes."""
    if draft.lengths:
        return [(_spot(text), new) for text, old, new in draft.lengths if not same(old, new)]
    node = draft.entry.length
    return [(_spot(node), None)] if isinstance(node, Text) else []


def _called(file: FileText) -> Iterable[tuple[Text, Sequence[Text]]]:
    """Every length with an anchor, and the aliases that call it."""
    found: list[tuple[Text, list[Text]]] = []
    latest: dict[str, list[Text]] = {}
    for node in walk(file.tree):
        if isinstance(node, Text) and node.again:
            latest[node.anchor].append(node)
        elif isinstance(node, Text) and node.anchor:
            latest[node.anchor] = []
            found.append((node, latest[node.anchor]))
    return found


def _without(draft: LengthDraft, stuck: set[Spot]) -> LengthDraft:
    """The draft, or the hold as it was where one of its lengths is stuck."""
    return replace(draft, to=draft.was) if any(spot in stuck for spot, _ in _meant(draft)) else draft


def _spot(text: Text) -> Spot:
    return text.line, text.column


def _alike(one: To, other: To) -> bool:
    return one is not None and other is not None and same(one, other)
