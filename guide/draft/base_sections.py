"""Sections of a draft: where a class changes what carries the body, and where it lies down to rest at its end.

A pose or two on another base does not part a class: a section is named where what is done otherwise is longer than
`LEAST_MS`, or an eighth of a short class. The best sections of all are found together, by dynamic programming.
"""

from collections.abc import Mapping, Sequence
from itertools import pairwise

from guide.draft.events import Kind
from guide.draft.grouping import Again, Node, Sided, events_of
from guide.draft.known_blocks import Called
from guide.sequence.poses.pose import Base
from guide.sequence.poses.shipped_library import shipped

#: What a section is called, by what carries the body in it; what is done on the arms or upside down belongs to what
#: is around it.
NAMES = {
    Base.STANDING: "Standing",
    Base.KNEELING: "Kneeling",
    Base.ALL_FOURS: "Hands and knees",
    Base.PRONE: "On the front",
    Base.SUPINE: "On the back",
    Base.SEATED: "Seated",
}
REST = "Rest"

#: The rests that end a class.
RESTS = frozenset(("final rest", "supported final rest", "side-lying rest"))

#: A section is worth so much time that is spent in it; of a short class this part, but never less than the last.
LEAST_MS, LEAST_PART, SHORTEST_MS = 75_000, 8, 45_000


def base_sections(nodes: Sequence[Node]) -> Mapping[int, str]:
    """The names of sections, by the numbers of the nodes that begin them; empty where all of a class is one."""
    closing = _closing(nodes)
    held = [_held_ms(node) if number < closing else {} for number, node in enumerate(nodes)]
    named = _likeliest(held[:closing])
    if not named:
        return {}
    named += [REST] * (len(nodes) - closing)
    begun = {0: named[0]}
    for number, (before, name) in enumerate(pairwise(named), start=1):
        if name != before:
            begun[_with_way(nodes, number)] = name
    return begun if len(begun) > 1 else {}


def _closing(nodes: Sequence[Node]) -> int:
    """The number of the node with which the rest at the end begins; how many there are where none does."""
    found = len(nodes)
    for number in range(len(nodes) - 1, -1, -1):
        poses = {event.pose for event in events_of(nodes[number]) if event.kind is Kind.HOLD}
        if poses & RESTS:
            found = number
        elif poses and found < len(nodes):
            break
    return found


def _held_ms(node: Node) -> Mapping[str, int]:
    """For how long something was held in a node, by the name of the section that it belongs to."""
    found: dict[str, int] = {}
    for event in events_of(node):
        pose = shipped().find(event.pose or "") if event.kind is Kind.HOLD else None
        if pose is not None and pose.base in NAMES:
            found[NAMES[pose.base]] = found.get(NAMES[pose.base], 0) + event.end_ms - event.start_ms
    if not found and _is_salutation(node):
        events = events_of(node)
        found[NAMES[Base.STANDING]] = events[-1].end_ms - events[0].start_ms
    return found


def _is_salutation(node: Node) -> bool:
    parts = node.passes[0] if isinstance(node, Again) else node.one if isinstance(node, Sided) else (node,)
    return any(isinstance(part, Called) and part.name.startswith("sun salutation") for part in parts)


def _likeliest(held: Sequence[Mapping[str, int]]) -> list[str]:
    """The name for each node with which the least time lies in a section of another name; empty where none is held.

    A change of name costs as much as a section is worth. It comes with the first node that is on the new base.
    """
    held_ms = sum(sum(each.values()) for each in held)
    least_ms = min(LEAST_MS, max(SHORTEST_MS, held_ms // LEAST_PART))
    names = sorted({name for each in held for name in each})
    if not names:
        return []
    cost = dict.fromkeys(names, 0)
    ways: list[dict[str, str]] = []
    for each in held:
        best = min(names, key=cost.__getitem__)
        way = {name: name if cost[name] <= cost[best] + least_ms else best for name in names}
        whole_ms = sum(each.values())
        changed = {name: 0 if way[name] == name else least_ms for name in names}
        cost = {name: cost[way[name]] + changed[name] + whole_ms - each.get(name, 0) for name in names}
        ways.append(way)
    named = [min(names, key=cost.__getitem__)]
    for way in reversed(ways[1:]):
        named.append(way[named[-1]])
    return _late(held, named[::-1])


def _late(held: Sequence[Mapping[str, int]], named: list[str]) -> list[str]:
    """The same with each change where something is first held on the new base."""
    for number in range(1, len(named)):
        if named[number] != named[number - 1] and named[number] not in held[number]:
            named[number] = named[number - 1]
    return named


def _with_way(nodes: Sequence[Node], number: int) -> int:
    """The number of the first of the moves that lead into a node."""
    while number > 1:
        events = events_of(nodes[number - 1])
        if len(events) > 1 or events[0].kind is not Kind.MOVE:
            break
        number -= 1
    return number
