"""Steps grouped: the other side of a thing, the same thing again, and blocks that come with the program."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from guide.rehearse.drafting.blocks import Called, with_blocks
from guide.rehearse.drafting.events import Event, Kind, plain
from guide.sequence.steps import Side

#: More things than this are not remembered for the other side.
MOST_ON_A_SIDE = 24

#: Phrases as alike as this say the same, in 100.
ALIKE = 58

#: Words of so many letters are compared with as many of longer ones: more may have been heard after them.
LEAST_LETTERS = 12

#: So alike are the words of a pose whose name was not heard again.
SURELY_ALIKE = 70


@dataclass(frozen=True, slots=True)
class Sided:
    """The same thing done on both sides, `first` first."""

    first: Side
    one: tuple["Node", ...]
    other: tuple["Node", ...]


@dataclass(frozen=True, slots=True)
class Again:
    """The same thing done several times."""

    passes: tuple[tuple["Node", ...], ...]


Node = Event | Sided | Again | Called


def grouped(events: Sequence[Event]) -> tuple[Node, ...]:
    """The events in groups; each event is in one of them, in order."""
    return tuple(_rounds(tuple(_sides(tuple(with_blocks(events))))))


def events_of(node: Node) -> tuple[Event, ...]:
    """All events of a node in order."""
    match node:
        case Sided(_, one, other):
            return tuple(event for part in (*one, *other) for event in events_of(part))
        case Again(passes):
            return tuple(event for each in passes for part in each for event in events_of(part))
        case Called(_, events):
            return events
        case Event():
            return (node,)


def _sides(nodes: Sequence[Node]) -> Iterator[Node]:
    place = 0
    while place < len(nodes):
        found = _sided(nodes, place)
        if found is None:
            yield nodes[place]
            place += 1
        else:
            sided, place = found
            yield sided


def _sided(nodes: Sequence[Node], place: int) -> tuple[Sided, int] | None:
    """The thing that begins at `place` and is done again for the other side, and where what follows begins."""
    lengths = range(1, min(MOST_ON_A_SIDE, len(nodes) - place - 1) + 1)
    for length in lengths:
        for end in _ends(nodes, place, length):
            one, other = nodes[place : place + length], nodes[place + length : end]
            first = _first_side(one, other)
            if first is not None and _alike(one[-1], other[-1]) and _agree(one, other, 7):
                return Sided(first, tuple(one), tuple(other)), end
    for length in lengths:
        if _other_side(nodes[place], nodes[place + length]):
            return _loosely(nodes, place, length)
    return None


def _ends(nodes: Sequence[Node], place: int, length: int) -> Iterator[int]:
    """Where the second pass may end when the first is so long; a thing or two more or fewer was said on it."""
    if _alike(nodes[place], nodes[place + length]):
        for more in (0, -1, 1, -2, 2):
            end = place + 2 * length + more
            if length + more >= 1 and end <= len(nodes):
                yield end


def _loosely(nodes: Sequence[Node], place: int, length: int) -> tuple[Sided, int] | None:
    """The two sides of a pose whose name was said with both, whatever else was heard."""
    one = nodes[place : place + length]
    first = _led(nodes[place])
    for more in sorted(range(-length + 1, 3), key=abs):
        end = place + 2 * length + more
        other = nodes[place + length : end]
        if end <= len(nodes) and first is not None and _agree(one, other, 4):
            return Sided(first, tuple(one), tuple(other)), end
    return None


def _other_side(one: Node, other: Node) -> bool:
    """Whether a pose is named or meant with one side, and again with the other."""
    if not isinstance(one, Event) or not isinstance(other, Event) or one.pose is None or one.kind is not Kind.HOLD:
        return False
    first, second = _led(one), _led(other)
    if first is None or second is None or first is second:
        return False
    return one.pose == other.pose or (other.kind is not Kind.MOVE and _said_alike(one, other, SURELY_ALIKE))


def _first_side(one: Sequence[Node], other: Sequence[Node]) -> Side | None:
    """The side that comes first, where the two passes name opposite sides: that of a pose before that of other words.

    None where they name none, or the same one for the same thing.
    """
    found: list[tuple[bool, Side]] = []
    for before, after in zip(one, other, strict=False):
        if not isinstance(before, Event) or not isinstance(after, Event) or not _alike(before, after):
            continue
        spoken, again = _led(before), _led(after)
        if spoken and spoken is again:
            return None
        if spoken and again:
            found.append((before.side is None, spoken))
    return min(found, key=lambda each: each[0])[1] if found else None


def _led(event: Node) -> Side | None:
    """The side that an event names first, its own before one in its words."""
    if not isinstance(event, Event):
        return None
    named = [side for phrase in event.phrases for side in phrase.sides]
    return event.side or (named[0] if named else None)


def _agree(one: Sequence[Node], other: Sequence[Node], tenths: int) -> bool:
    """Whether so much of the two passes is the same, in the same order, and no pose is in the second alone."""
    if not _kept(other) <= _kept(one):
        return False
    pairs = sum(_alike(before, after) for before, after in zip(one, other, strict=False))
    backwards = sum(_alike(before, after) for before, after in zip(reversed(one), reversed(other), strict=False))
    return max(pairs, backwards, _common(one, other, _alike)) * 10 >= tenths * max(len(one), len(other))


def _kept(nodes: Sequence[Node]) -> set[str | None]:
    return {event.pose for node in nodes for event in events_of(node) if event.kind is Kind.HOLD and event.pose}


def _common(one: Sequence[Node], other: Sequence[Node], alike: Callable[[Node, Node], bool]) -> int:
    """How many nodes two passes have in common in the same order."""
    row = [0] * (len(other) + 1)
    for before in one:
        last = row
        row = [0]
        for number, after in enumerate(other):
            row.append(last[number] + 1 if alike(before, after) else max(last[number + 1], row[number]))
    return row[-1]


def _alike(one: Node, other: Node) -> bool:
    """Whether two nodes are the same thing, sides apart."""
    match one, other:
        case Event(), Event():
            return _same_event(one, other)
        case Called(name), Called(again):
            return name == again
        case Sided(_, here, _), Sided(_, there, _):
            return len(here) == len(there) and all(map(_alike, here, there))
    return False


def _same_event(one: Event, other: Event) -> bool:
    if Kind.MOVE in (one.kind, other.kind):
        return one.kind is other.kind and one.breath is other.breath and _said_alike(one, other, ALIKE)
    if one.pose is not None and other.pose is not None:
        return one.pose == other.pose
    return _said_alike(one, other, ALIKE)


def _said_alike(one: Event, other: Event, least: float) -> bool:
    from rapidfuzz.fuzz import ratio

    first, again = (plain(event.phrases[0].words[event.phrases[0].called :]) for event in (one, other))
    whole, twice = (plain(event.words[event.phrases[0].called :]) for event in (one, other))
    most = max(ratio(first, again), ratio(whole, twice))
    letters = min(len(whole), len(twice))
    if letters >= LEAST_LETTERS:
        most = max(most, ratio(whole[:letters], twice[:letters]))
    return most >= least


def _rounds(nodes: Sequence[Node]) -> Iterator[Node]:
    place = 0
    while place < len(nodes):
        passes = _again(nodes, place)
        if passes is None:
            yield nodes[place]
            place += 1
        else:
            yield Again(passes)
            place += sum(map(len, passes))


def _again(nodes: Sequence[Node], place: int) -> tuple[tuple[Node, ...], ...] | None:
    """What begins at `place` and comes again at once, pass by pass."""
    for length in range(1, min(MOST_ON_A_SIDE, (len(nodes) - place) // 2) + 1):
        first = tuple(nodes[place : place + length])
        if length == 1 and isinstance(first[0], Event):
            continue
        passes, end = [first], place + length
        while end + length <= len(nodes) and all(map(_alike, first, nodes[end : end + length])):
            passes.append(tuple(nodes[end : end + length]))
            end += length
        if len(passes) > 1:
            return tuple(passes)
    return None
