"""Blocks that come with the program, recognised by their moves: sun salutations, and ways up and down."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache

from guide.draft.events import Event, Kind, plain
from guide.review.captions.transcript import folded
from guide.sequence.block_files import shipped_blocks
from guide.sequence.model import Entry, HoldEntry, MoveEntry
from guide.sequence.steps import Breath

_SIGN = re.compile(r"<(?:other )?side>")

#: So many of a block's moves must be found in their order, as a share.
BLOCK_SHARE = 0.7


@dataclass(frozen=True, slots=True)
class Called:
    """A shipped block that was done."""

    name: str
    events: tuple[Event, ...]


@dataclass(frozen=True, slots=True)
class Template:
    """A shipped block as the moves that it has: the breath, and the words by their sound.

    `sided` is whether it needs a side given, and so can only be used inside `both sides`.
    """

    name: str
    moves: tuple[tuple[Breath, str], ...]
    sided: bool


@cache
def templates() -> tuple[Template, ...]:
    """The blocks that are moves, the longest first; those of words are left out."""
    made = [
        Template(name, _moves(block.entries), any(_sided(entry) for entry in block.entries))
        for name, block in shipped_blocks().items()
    ]
    return tuple(sorted((one for one in made if len(one.moves) >= 2), key=lambda one: -len(one.moves)))


@cache
def free_templates() -> tuple[Template, ...]:
    """The blocks that can be used anywhere."""
    return tuple(one for one in templates() if not one.sided)


def _sided(entry: Entry) -> bool:
    return isinstance(entry, MoveEntry) and entry.cue is not None and "side>" in entry.cue.text


def _moves(entries: Sequence[Entry]) -> tuple[tuple[Breath, str], ...]:
    found = []
    for entry in entries:
        if isinstance(entry, MoveEntry) and entry.cue:
            found.append((entry.breath, plain(folded(_SIGN.sub("right", entry.cue.text)))))
        elif not isinstance(entry, HoldEntry):
            return ()
    return tuple(found)


def with_blocks(events: Sequence[Event], blocks: Sequence[Template]) -> Iterator[Event | Called]:
    """The events, with those that are one of the blocks taken together."""
    place = 0
    while place < len(events):
        found = _called(events, place, blocks)
        if found is None:
            yield events[place]
            place += 1
        else:
            yield found
            place += len(found.events)


def _called(events: Sequence[Event], place: int, blocks: Sequence[Template]) -> Called | None:
    """The shipped block whose moves begin at `place`."""
    if events[place].kind is not Kind.MOVE:
        return None
    best: tuple[float, Called] | None = None
    for template in blocks:
        end, found = _followed(events, place, template)
        moves = sum(event.kind is Kind.MOVE for event in events[place:end])
        share = min(found / len(template.moves), 1 - (moves - found) / len(template.moves))
        least = BLOCK_SHARE if len(template.moves) > 4 else 1.0
        if share < least or (best is not None and found <= best[0]):
            continue
        if max(_followed(events, place + more, template)[1] for more in (1, 2)) < found:
            best = found, Called(template.name, tuple(events[place:end]))
    return best[1] if best else None


def _followed(events: Sequence[Event], place: int, template: Template) -> tuple[int, int]:
    """Where the last of a block's moves that are found in order ends, and how many are found."""
    number, found, end, at = 0, 0, place, place
    while at < len(events) and number < len(template.moves) and at - place < 2 * len(template.moves):
        near = next(
            (
                ahead
                for ahead in range(number, min(number + 3, len(template.moves)))
                if _is_move(events[at], *template.moves[ahead])
            ),
            None,
        )
        if near is not None:
            number, found, end = near + 1, found + 1, at + 1
        elif at == place:
            return place, 0
        at += 1
    return end, found


def _is_move(event: Event, breath: Breath, words: str) -> bool:
    from rapidfuzz.fuzz import ratio

    if event.kind is not Kind.MOVE or event.breath is not breath:
        return False
    phrase = event.phrases[0]
    return ratio(plain(phrase.words[phrase.called :]), words) >= 70
