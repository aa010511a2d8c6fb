"""Steps grouped: the other side of a thing, the same thing again, and blocks that come with the program."""

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate

from guide.draft.events import Event, Kind, plain
from guide.draft.joined_events import joined
from guide.draft.known_blocks import Called, free_templates, templates, with_blocks
from guide.draft.phrases import NUMBERS, these
from guide.draft.repeated_sides import RepeatedSides
from guide.draft.salutations import salutations
from guide.sequence.steps import Side

#: More things than this are not remembered until they are done again.
MOST_IN_A_ROUND = 24

#: Blocks of so many events may have both sides in them.
LONG_BLOCK = 8

#: Phrases as alike as this say the same, in 100.
ALIKE = 58

#: Words of so many letters are compared with as many of longer ones: more may have been heard after them.
LEAST_LETTERS = 12

#: Behind the call of a breath these say nothing of what to do; numbers neither.
BARE = NUMBERS.keys() | these("and again once more last time one good yes here now then")

#: So alike are the words of what was done on both sides twice.
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


def grouped(events: Sequence[Event], both: Sequence[RepeatedSides]) -> tuple[Node, ...]:
    """The events in groups, of which `both` are those done on both sides; each event is in one of them, in order."""
    events, found = salutations(events)
    edges = [0, *accumulate(len(event.words) for event in events)]
    nodes: list[Node] = []
    done = 0
    for one in found:
        nodes.extend(_rounds(tuple(_parts(events[done : one.start], _inside(both, edges[done], edges[one.start])))))
        passes = tuple((Called(one.name, each),) if one.name else each for each in one.passes)
        nodes.append(Again(passes) if len(passes) > 1 or not one.name else passes[0][0])
        done = one.end
    nodes.extend(_rounds(tuple(_parts(events[done:], _inside(both, edges[done], edges[-1])))))
    return tuple(nodes)


def _inside(both: Sequence[RepeatedSides], start: int, end: int) -> list[RepeatedSides]:
    """Those of two sides that are between two words, counted from the first of them."""
    return [
        replace(one, start=one.start - start, turn=one.turn - start, end=one.end - start)
        for one in both
        if start <= one.start and one.end <= end
    ]


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


def _parts(events: Sequence[Event], both: Sequence[RepeatedSides]) -> Iterator[Node]:
    """What was done on both sides, and what was not; a block that has both sides in it is left whole, and so is talk in
    which nothing was found."""
    edges = [0, *accumulate(len(event.words) for event in events)]
    blocks = tuple(_spans(with_blocks(events, templates())))
    done = 0
    for one in both:
        start, turn, end = (bisect_left(edges, place) for place in (one.start, one.turn, one.end))
        if start < done or not start < turn < end or any(first < turn < last for first, last in blocks):
            continue
        if all(event.kind is Kind.TALK for event in events[start:end]):
            continue
        yield from with_blocks(joined(events[done:start]), free_templates())
        first, other = (
            tuple(_rounds(tuple(with_blocks(joined(each), templates()))))
            for each in (events[start:turn], events[turn:end])
        )
        yield Sided(one.first, first, other)
        done = end
    yield from with_blocks(joined(events[done:]), free_templates())


def _spans(nodes: Iterable[Node]) -> Iterator[tuple[int, int]]:
    """Where blocks that are long enough to hold both sides begin and end, by numbers of events."""
    place = 0
    for node in nodes:
        count = len(events_of(node))
        if isinstance(node, Called) and count >= LONG_BLOCK:
            yield place, place + count
        place += count


def _alike(one: Node, other: Node) -> bool:
    """Whether two nodes are the same thing, sides apart."""
    match one, other:
        case Event(), Event():
            return _same_event(one, other)
        case Called(name), Called(again):
            return name == again
        case Sided(begun, here, _), Sided(again_begun, there, _):
            return begun is again_begun and _whole_alike(here, there)
    return False


def _whole_alike(one: Sequence[Node], other: Sequence[Node]) -> bool:
    """Whether all that was said in two passes is about the same."""
    from rapidfuzz.fuzz import ratio

    said = (
        plain(tuple(word for node in nodes for event in events_of(node) for word in event.words))
        for nodes in (one, other)
    )
    return ratio(*said) >= SURELY_ALIKE


def _same_event(one: Event, other: Event) -> bool:
    if Kind.MOVE in (one.kind, other.kind):
        same_half = one.kind is other.kind and one.breath is other.breath
        return same_half and (_adds_nothing(one, other) or _said_alike(one, other, ALIKE))
    if one.pose is not None and other.pose is not None:
        return one.pose == other.pose
    return _said_alike(one, other, ALIKE)


def _adds_nothing(before: Event, event: Event) -> bool:
    """Whether a breath is called with no word that tells anything else than those before: the same is meant again."""
    first = event.phrases[0]
    known = BARE.union(*(phrase.words for phrase in before.phrases))
    return event.pose is None and all(word in known for word in first.words[first.called :])


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
    for length in range(1, min(MOST_IN_A_ROUND, (len(nodes) - place) // 2) + 1):
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
