"""What is counted aloud in a hold, worked out afresh: every number with the time in which it may be said."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from guide.plan.checks.breach import GAP_MS, NUMBER_GAP_MS
from guide.plan.checks.evidence import Evidence, Seen
from guide.plan.checks.word_room import WordRoom, whole_breaths, word_room_of
from guide.plan.timeline import Cue, RingRole
from guide.sequence.steps import CueKind, InBreaths, Numbers, Step, StepKind, Words


@dataclass(frozen=True, slots=True)
class Slot:
    """What begins at `begins_ms` of the class is told with `text`, begun at `from_ms` or later and over by `until_ms`.

    `role` is the ring that stands in for it, None for a second, `breath` the number of its breath, from 0.
    """

    text: str
    begins_ms: int
    from_ms: int
    until_ms: int
    role: RingRole | None
    breath: int = -1


def counts_seconds(step: Step) -> bool:
    """Whether the numbers of a step may follow each other from second to second."""
    if step.count.numbers is Numbers.DOWN:
        return not isinstance(step.hold, InBreaths)
    return step.count.numbers is Numbers.SECONDS


def slots(seen: Seen) -> list[Slot]:
    """Everything that is counted aloud in a step, in order; nothing comes within the quiet at the end of its hold."""
    step = seen.step
    if step.count.numbers is None or not seen.is_held or step.kind is StepKind.SILENCE:
        return []
    latest_ms = seen.span.held_ms - GAP_MS
    return [replace(slot, until_ms=min(slot.until_ms, latest_ms)) for slot in _slots(seen, step.count.numbers)]


def _slots(seen: Seen, numbers: Numbers) -> list[Slot]:
    if numbers is Numbers.DOWN:
        return _left(seen)
    if seen.step.kind is StepKind.BREATHING:
        return list(_told(seen, numbers))
    if numbers is Numbers.BREATHS:
        return [_of_breath(seen, breath, breath + 1) for breath in range(whole_breaths(seen, seen.length_ms))]
    start_ms, whole_s = seen.span.hold_ms, seen.length_ms // 1000
    return [_of_second(n, start_ms + 1000 * n) for n in range(1, whole_s) if n <= 10 or n % 5 == 0]


def _left(seen: Seen) -> list[Slot]:
    """Breaths, or seconds by the clock, counted down to one."""
    first, end_ms = seen.step.count.down_from, seen.span.held_ms
    if isinstance(seen.step.hold, InBreaths):
        breaths = seen.span.breaths
        return [
            _of_breath(seen, breath, breaths - breath)
            for breath in range(breaths)
            if first is None or breaths - breath <= first
        ]
    whole_s = seen.length_ms // 1000
    if first is None:
        first = whole_s - 1 if whole_s * 1000 == seen.length_ms else whole_s
    numbers = range(min(first, whole_s), 0, -1)
    early_ms = min(150, end_ms - 1000 - seen.span.hold_ms)
    return [_of_second(n, end_ms - 1000 * n, early_ms if n == 1 else 0) for n in numbers if n <= 10 or n % 5 == 0]


def _of_breath(seen: Seen, breath: int, number: int) -> Slot:
    begins_ms, next_ms = (seen.span.hold_ms + seen.grid.inhale_ms(one) for one in (breath, breath + 1))
    return Slot(str(number), begins_ms, begins_ms + GAP_MS, next_ms, RingRole.INHALE, breath)


def _of_second(number: int, begins_ms: int, early_ms: int = 0) -> Slot:
    return Slot(str(number), begins_ms, begins_ms - early_ms, begins_ms + (1000 if number <= 10 else 2000), None)


def _told(seen: Seen, numbers: Numbers) -> Iterator[Slot]:
    """The parts of a breathing pattern, within their first second, and from two on the seconds of each."""
    grid = seen.grid
    parts = (
        (0, grid.full, "In", RingRole.INHALE),
        (grid.full, grid.exhale, "Hold", RingRole.PAUSE),
        (grid.exhale, grid.empty, "Out", RingRole.EXHALE),
        (grid.empty, grid.period, "Hold", RingRole.PAUSE),
    )
    for breath in range(seen.span.breaths):
        for into, end, text, role in parts:
            if end <= into:
                continue
            begins_ms, end_ms = (seen.span.hold_ms + grid.nearest_ms(breath, ticks) for ticks in (into, end))
            yield _within(text, begins_ms, end_ms, role)
            if numbers is Numbers.SECONDS:
                for second in range(1, (end_ms - begins_ms) // 1000):
                    yield _within(str(second + 1), begins_ms + 1000 * second, end_ms, None)


def _within(text: str, begins_ms: int, end_ms: int, role: RingRole | None) -> Slot:
    from_ms = begins_ms + GAP_MS
    return Slot(text, begins_ms, from_ms, min(end_ms, from_ms + 1000 - NUMBER_GAP_MS), role)


def is_over(seen: Seen, slot: Slot) -> bool:
    """Whether an earlier plan has settled a slot: something is said in it, or its ring rings, or it is past."""
    laid = seen.step.laid
    if laid is None:
        return False
    hold_ms = seen.span.hold_ms
    first_ms = min(slot.begins_ms, slot.from_ms)
    spoken = any(first_ms <= hold_ms + one.offset_ms < slot.until_ms for one in laid.counts)
    return spoken or slot.begins_ms - hold_ms in laid.chimes or slot.until_ms - hold_ms <= laid.until_ms


def first_place(seen: Seen, slot: Slot, length_ms: int, cues: Iterable[Cue]) -> int | None:
    """The first moment at which a number of this length keeps its distance from all these cues; None for none."""
    number_gap_ms = NUMBER_GAP_MS if counts_seconds(seen.step) or seen.step.kind is StepKind.BREATHING else GAP_MS
    hold_ms, laid = seen.span.hold_ms, seen.step.laid
    earliest_ms = max(
        slot.from_ms,
        min(slot.begins_ms, slot.until_ms - length_ms),
        hold_ms + (GAP_MS if seen.step.entry else 0),
        hold_ms + (0 if laid is None else laid.until_ms),
    )
    kept = [(cue, number_gap_ms if cue.kind is CueKind.COUNT else GAP_MS) for cue in cues]
    for start_ms in sorted([earliest_ms, *(cue.end_ms + gap_ms for cue, gap_ms in kept)]):
        end_ms = start_ms + length_ms
        is_free = all(cue.end_ms + gap_ms <= start_ms or end_ms + gap_ms <= cue.start_ms for cue, gap_ms in kept)
        if is_free and start_ms >= earliest_ms and end_ms <= slot.until_ms:
            return start_ms
    return None


def number_room(evidence: Evidence, seen: Seen) -> WordRoom:
    """The room for the words of a hold that leave their places to the numbers of breaths, or to a countdown."""
    room, hold_ms = word_room_of(seen, seen.length_ms), seen.span.hold_ms
    to_come = [slot for slot in slots(seen) if slot.text.isdigit() and not is_over(seen, slot)]
    if counts_seconds(seen.step):
        run = [slot.from_ms - hold_ms for slot in to_come if int(slot.text) <= 10]
        counts_down = seen.step.count.numbers is Numbers.DOWN
        return replace(room, counted_ms=min(run) - GAP_MS) if run and counts_down else room
    numbers = {
        slot.breath: (slot.from_ms - hold_ms, slot.until_ms - hold_ms, evidence.word_ms.get(slot.text, 0))
        for slot in to_come
        if slot.breath >= 0
    }
    return replace(room, numbers=numbers)


def makes_room(evidence: Evidence, seen: Seen) -> bool:
    """Whether the words that have to be said can leave their places to the numbers."""
    needed: Sequence[Words] = [one for one in seen.step.words if not one.if_room or one in seen.said_before]
    return number_room(evidence, seen).holds_calmly(evidence.wishes(seen, needed))
