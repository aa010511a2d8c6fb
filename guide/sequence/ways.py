"""Where the way into a pose and the way out of it come from: the file, the moves beside it, or the pose library.

A move leads into a pose only where the file says so: by its `pose:`, or by the pose's name in its words ("Step back to
plank"). What else a move may mean is not guessed, as words too many are a nuisance and a way in that is missing leaves
people behind. Out of a pose lead a move, words alone, or an `enter` of the file for the next pose.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

from guide.problem import Place
from guide.sequence.model import (
    Block,
    BlockEntry,
    BlockName,
    Entry,
    Group,
    HoldEntry,
    LibraryPart,
    MoveEntry,
    OnPass,
    RoundsEntry,
    SectionEntry,
    SidesEntry,
    TalkEntry,
)
from guide.sequence.poses.pose import Pose
from guide.sequence.steps import Side, Step, StepKind
from guide.sequence.wording import Pass, says_side


@dataclass(slots=True)
class OnTheWay:
    """What the steps so far mean for the next one.

    `moves` are those since the last thing that was no move; `side_heard` whether the side has been named since this
    pass through `both sides` began; `led_by_library` the poses that the library has led into on the first side.
    """

    moves: list[Step] = field(default_factory=list)
    side_heard: bool = False
    led_by_library: set[Place] = field(default_factory=set)

    def add(self, step: Step) -> None:
        """Take in the next step of the class."""
        if step.kind is StepKind.MOVE:
            self.moves.append(step)
        else:
            self.moves.clear()
        self.side_heard = self.side_heard or says_side((*step.entry, *step.words))

    def side_known(self, where: Pass) -> bool:
        """Whether people know the side: it was named on this pass, or, of a pose on one side alone, by the moves."""
        if where.on_pass is OnPass.BOTH:
            return any(says_side(each.words) for each in self.moves)
        return self.side_heard


@dataclass(frozen=True, slots=True)
class Beside:
    """What stands beside a pose in the class: the moves that come right before it, and the entry after it."""

    moves: Sequence[Step]
    after: Entry | None


@dataclass(frozen=True, slots=True)
class Taken:
    """The words that a pose gets from the library, and what the teacher is told about it."""

    parts: frozenset[LibraryPart]
    told: tuple[str, ...] = ()


def taken(entry: HoldEntry, pose: Pose, side: Side | None, beside: Beside) -> Taken:
    """What a pose gets from the library in a class that has not ruled it out.

    A pose without words gets all. One with words of its own gets the way in and out that the file does not give. One of
    which the file only says `none` is left in quiet.
    """
    if entry.hushed:
        return Taken(entry.from_library)
    move = leading_in(beside.moves, pose, side)
    ways = {LibraryPart.ENTER, LibraryPart.LEAVE} - entry.written
    ways -= {LibraryPart.ENTER} if move else set()
    ways -= {LibraryPart.LEAVE} if leads_out(entry, beside.after) else set()
    told = tuple(_told(entry, pose, ways, move if LibraryPart.ENTER not in entry.written else None))
    return Taken(entry.from_library | ways | ({LibraryPart.SAY} if entry.bare else set()), told)


def _told(entry: HoldEntry, pose: Pose, ways: set[LibraryPart], move: Step | None) -> Iterator[str]:
    """That the library leads into a pose or out of it, where the file has words for it; that words of a move do."""
    if move is not None and move.pose is None and pose.enter:
        yield f"the words before it lead into “{entry.pose}”, so it gets no way in from the library"
    names = ((LibraryPart.ENTER, "way in", pose.enter), (LibraryPart.LEAVE, "way out", pose.leave))
    given = [name for part, name, words in names if part in ways and words]
    if given and not entry.bare:
        yield f"“{entry.pose}” gets its {' and its '.join(given)} from the library"


def leading_in(moves: Sequence[Step], pose: Pose, side: Side | None) -> Step | None:
    """The move that leads into a pose: of those right before it the last that names a pose, where it names this one."""
    for move in reversed(moves):
        if pose.sides and move.side is not side:
            return None
        if move.pose is not None:
            return move if move.known == pose.name else None
        if any(_arrives(pose).search(words.text.casefold()) for words in move.words):
            return move
    return None


@lru_cache(maxsize=512)
def _arriving(names: tuple[str, ...]) -> re.Pattern[str]:
    """A name at the beginning of a part of the words, or behind `to`, `into` and the like: not `hands to the chair`."""
    either = "|".join(re.escape(name.casefold()) for name in names if name)
    return re.compile(rf"(?:(?:^|[.,:;!–—])\s*|\b(?:to|into|for|through)\s+(?:an?\s+)?)(?:{either})(?!\w|['’-])")


def _arrives(pose: Pose) -> re.Pattern[str]:
    return _arriving((pose.name, *pose.also, pose.sanskrit))


def leads_out(entry: HoldEntry, after: Entry | None) -> bool:
    """Whether what comes after a pose leads out of it: a move, words alone, and, as nothing comes between two poses
    that the file has words for, an `enter` of the file."""
    if isinstance(after, HoldEntry):
        return not entry.bare and bool(after.enter)
    return isinstance(after, MoveEntry | TalkEntry)


def first_of(entries: Group, blocks: Mapping[str, Block], start: int = 0) -> Entry | None:
    """The first thing that is done in a group, from an entry on: of rounds, sides and blocks the first inside them."""
    inside: set[str] = set()
    while True:
        if isinstance(entries, BlockName):
            if entries.name in inside or entries.name not in blocks:
                return None
            inside.add(entries.name)
            entries = blocks[entries.name].entries
        while start < len(entries) and isinstance(entries[start], SectionEntry):
            start += 1
        entry = entries[start] if start < len(entries) else None
        match entry:
            case RoundsEntry() | SidesEntry():
                entries, start = entry.of, 0
            case BlockEntry():
                entries, start = entry.name, 0
            case _:
                return entry
