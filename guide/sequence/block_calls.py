"""Calls of blocks: every name must be known, no block may call itself, and sides do not stand in sides."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from guide.problem import Problem
from guide.sequence.fields import nearest
from guide.sequence.length_text import clipped
from guide.sequence.model import Block, BlockEntry, BlockName, Entry, Group, RoundsEntry, SidesEntry
from guide.sequence.poses.library import Library
from guide.sequence.source import Source

#: Rounds, sides and blocks inside each other; deeper than this no teacher keeps count.
DEEPEST = 20


@dataclass(frozen=True, slots=True)
class Call:
    """A block's name where it is called, how deep in rounds and sides, and whether inside `both sides`.

    `or_pose` where the name may be that of a pose.
    """

    name: BlockName
    depth: int
    in_sides: bool
    or_pose: bool = False


@dataclass(frozen=True, slots=True)
class GroupShape:
    """What a group does that a caller must know: the blocks it calls, how deep it goes, whether it has sides."""

    calls: tuple[Call, ...]
    depth: int
    has_sides: bool


def shape(entries: tuple[Entry, ...]) -> GroupShape:
    """The shape of a list of entries, not looking into the blocks it calls."""
    calls: list[Call] = []
    deepest, sides = 0, False
    for depth, in_sides, entry in _walk(entries, 1, False):
        deepest = max(deepest, depth)
        sides = sides or isinstance(entry, SidesEntry)
        calls += _calls(entry, depth, in_sides)
    return GroupShape(tuple(calls), deepest, sides)


def _walk(group: Group, depth: int, in_sides: bool) -> Iterator[tuple[int, bool, Entry]]:
    for entry in () if isinstance(group, BlockName) else group:
        yield depth, in_sides, entry
        if isinstance(entry, RoundsEntry):
            yield from _walk(entry.of, depth + 1, in_sides)
        elif isinstance(entry, SidesEntry):
            yield from _walk(entry.of, depth + 1, True)
            yield from _walk(entry.between, depth + 1, in_sides)


def _calls(entry: Entry, depth: int, in_sides: bool) -> Iterator[Call]:
    match entry:
        case BlockEntry(name) | RoundsEntry(_, BlockName() as name):
            yield Call(name, depth, in_sides)
        case SidesEntry(of=of, between=between):
            if isinstance(of, BlockName):
                yield Call(of, depth, True, or_pose=True)
            if isinstance(between, BlockName):
                yield Call(between, depth, in_sides)


@dataclass(frozen=True, slots=True)
class Shelf:
    """Where blocks are looked for: those at hand, and `more` to look into when a name is not among them.

    `whole` is False when a file of blocks could not be read, so that a missing block means nothing. `poses` are those
    that may be named in place of a block.
    """

    at_hand: Mapping[str, Block]
    more: Callable[[], Mapping[str, Block]]
    poses: Library
    whole: bool = True

    def find(self, name: str) -> Block | None:
        """The block of this name, from the files that are named first."""
        return self.at_hand.get(name) or self.more().get(name)

    def names(self) -> set[str]:
        """The names of all blocks."""
        return {*self.at_hand, *self.more()}


@dataclass(frozen=True, slots=True)
class ResolvedCalls:
    """The blocks that a class uses or defines, and what is wrong with how they are called."""

    blocks: Mapping[str, Block]
    problems: tuple[Problem, ...]


def resolve(
    entries: tuple[Entry, ...], own: Mapping[str, Block], shelf: Shelf, sources: Mapping[str, Source]
) -> ResolvedCalls:
    """Look up every block that `entries` and `own` call, and what those call in turn."""
    calls = _Calls(shelf, sources)
    top = shape(entries)
    for call in top.calls:
        calls.enter(call)
        calls.walk()
    for name, block in own.items():
        calls.open(name, block)
        calls.walk()
    calls.check(top)
    return ResolvedCalls({**own, **calls.found}, tuple(dict.fromkeys(calls.problems)))


class _Calls:
    """One run of `resolve`: the blocks found, their shapes with all they call, the way walked now, the problems."""

    def __init__(self, shelf: Shelf, sources: Mapping[str, Source]) -> None:
        self.shelf = shelf
        self.sources = sources
        self.found: dict[str, Block] = {}
        self.shapes: dict[str, GroupShape] = {}
        self.way: dict[str, Iterator[Call]] = {}
        self.problems: list[Problem] = []
        self.too_deep = False

    def fault(self, name: BlockName, what: str, fix: str) -> None:
        place = name.place
        source = self.sources.get(place.file)
        made = source.problem(place.line, place.column, what, fix) if source else Problem(place, what, fix)
        self.problems.append(made)

    def walk(self) -> None:
        """Walk the open blocks and all they call, each once, without recursion; going in a circle is a problem."""
        while self.way:
            name = next(reversed(self.way))
            call = next(self.way[name], None)
            if call is None:
                del self.way[name]
                self._leave(name)
            elif call.name.name in self.way:
                self._circle(call)
            else:
                self.enter(call)

    def enter(self, call: Call) -> None:
        """Open the block that a call names; a problem when there is none."""
        name = call.name.name
        block = self.shelf.find(name)
        if block is not None:
            self.open(name, block)
        elif self.shelf.whole and not (call.or_pose and self.shelf.poses.find(name)):
            fix = nearest(name, self.shelf.names()) or "define it under `blocks:`, or name its file in `blocks from:`"
            near = self.shelf.poses.nearest(name) if call.or_pose else ""
            what = (
                f"there is no block or pose `{clipped(name)}`"
                if call.or_pose
                else f"there is no block `{clipped(name)}`"
            )
            self.fault(call.name, what, f"did you mean `{near}`?" if near else fix)

    def open(self, name: str, block: Block) -> None:
        if name not in self.found:
            self.found[name] = block
            self.shapes[name] = shape(block.entries)
            self.way[name] = iter(self.shapes[name].calls)

    def _circle(self, call: Call) -> None:
        name = call.name.name
        names = list(self.way)
        circle = " → ".join(clipped(each) for each in [*names[names.index(name) :][:5], name])
        self.fault(call.name, f"the block `{clipped(name)}` calls itself: {circle}", "take one of these calls out")

    def _leave(self, name: str) -> None:
        """All that the block calls is known: check its calls, and sum up how deep it goes and whether it has sides."""
        own = self.shapes[name]
        self.check(own)
        called = [(call, self.shapes[call.name.name]) for call in own.calls if call.name.name in self.shapes]
        depth = max([own.depth, *(call.depth + below.depth for call, below in called)])
        sides = own.has_sides or any(below.has_sides for _, below in called)
        self.shapes[name] = GroupShape((), depth, sides)

    def check(self, own: GroupShape) -> None:
        """Check the calls of a group whose blocks are all known."""
        for call in own.calls:
            below = self.shapes.get(call.name.name)
            if below is None:
                continue
            if call.in_sides and below.has_sides:
                what = f"`{clipped(call.name.name)}` has `both sides` in it and is called inside `both sides`"
                self.fault(call.name, what, "keep the sides in one of the two places")
            if call.depth + below.depth > DEEPEST and not self.too_deep:
                self.too_deep = True
                what = f"rounds, sides and blocks stand inside each other more than {DEEPEST} deep"
                self.fault(call.name, what, "call fewer blocks from blocks")
