"""What a hold should be in the file, after it was done so: one length, or one for each side."""

from collections.abc import Callable, Sequence

from guide.review.write_back.new_length import Length, as_done, differ, ends, new_length, with_room, with_usual
from guide.review.write_back.taught_hold import Done, SidesKept, TaughtHold
from guide.sequence.length_text import read_hold, split_each_side
from guide.sequence.model import OnPass, SidedHold, WrittenHold
from guide.sequence.nodes import Node, Table, Text
from guide.sequence.steps import StepKind

#: Only these may have a length for each side.
SIDED_KINDS = (StepKind.POSE, StepKind.REST)

FIRST, SECOND = 1, 2

Give = Callable[[Length, Sequence[Done]], Length]


def written_hold(hold: TaughtHold, node: Node | None) -> WrittenHold:
    """The hold as the file has it; the usual one where it writes none."""
    if isinstance(node, Table):
        first, second = (read_hold(text.value.strip()) for text in sided_texts(node))
        return SidedHold(first, second, hold.place)
    return read_hold(split_each_side(node.value.strip())[0]) if isinstance(node, Text) else with_usual(hold.usual)


def sided_texts(table: Table) -> tuple[Text, Text]:
    """The lengths of the first and the second side."""
    found = {key.value: node for key, node in table.pairs}
    first, second = found[OnPass.FIRST.value], found[OnPass.SECOND.value]
    assert isinstance(first, Text) and isinstance(second, Text)
    return first, second


def wanted(hold: TaughtHold, was: WrittenHold, sides: SidesKept) -> WrittenHold:
    """What the hold should be, long enough for the cues that ask for a place in it."""

    def give(old: Length, done: Sequence[Done]) -> Length:
        return with_room(old, new_length(old, done), hold.asked, hold.periods_ms) if done else old

    return _wanted(hold, was, sides, give)


def wanted_without_cues(hold: TaughtHold, was: WrittenHold, sides: SidesKept) -> WrittenHold:
    """What the hold should be if no cue asked for a place in it."""

    def give(old: Length, done: Sequence[Done]) -> Length:
        return new_length(old, done) if done else old

    return _wanted(hold, was, sides, give)


def _wanted(hold: TaughtHold, was: WrittenHold, sides: SidesKept, give: Give) -> WrittenHold:
    first, second = hold.on_pass(FIRST), hold.on_pass(SECOND)
    if isinstance(was, SidedHold):
        if sides is SidesKept.AS_TAUGHT or (_is_usual(hold) and not same(was.first, was.second)):
            return SidedHold(give(was.first, first), give(was.second, second), was.place)
        if same(was, SidedHold(was.first, was.first, was.place)):
            return _alike(give(was.first, hold.done), was)
        return _alike(with_room(was.first, as_done(was.first, hold.done), hold.asked, hold.periods_ms), was)
    if sides is SidesKept.AS_TAUGHT and _may_differ(hold) and differ(first, second):
        apart = SidedHold(give(was, first), give(was, second), hold.place)
        if ends(apart.first) != ends(apart.second):
            return apart
    return give(was, hold.done)


def _alike(length: Length, was: SidedHold) -> SidedHold:
    return SidedHold(length, length, was.place)


def _is_usual(hold: TaughtHold) -> bool:
    """Whether it is known from several performances: sides that are written apart then stay apart."""
    return all(one.performances > 1 for one in hold.done)


def _may_differ(hold: TaughtHold) -> bool:
    """Whether it may have a length for each side, and both are known."""
    may = hold.kind in SIDED_KINDS and hold.passes == {FIRST, SECOND}
    return may and all(map(hold.on_pass, (FIRST, SECOND)))


def same(one: WrittenHold, other: WrittenHold) -> bool:
    """Whether two holds are alike but for the style in which they are written."""
    return _parts(one) == _parts(other)


def _parts(hold: WrittenHold) -> tuple[tuple[type[Length], tuple[int, int]], ...]:
    lengths = (hold.first, hold.second) if isinstance(hold, SidedHold) else (hold,)
    return tuple((type(length), ends(length)) for length in lengths)
