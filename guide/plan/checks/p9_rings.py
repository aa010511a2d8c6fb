"""Promise 9, the sounds: every bell and chime that the file asks for rings, at its moment, and no other."""

from collections import Counter
from collections.abc import Iterator

from guide.plan.checks.breach import Breach, moment
from guide.plan.checks.evidence import Evidence, Seen
from guide.plan.checks.opening_bells import openings
from guide.plan.checks.slots import Slot, is_over, slots
from guide.plan.checks.word_room import whole_breaths
from guide.plan.timeline import RingRole
from guide.problem import Place
from guide.sequence.steps import Breath, Sounds, StepKind

#: When, why, and with which sound something rings.
Rung = tuple[int, RingRole, str]


def check(evidence: Evidence) -> Iterator[Breach]:
    wide = [bell for opening in openings(evidence) for bell in opening.bells]
    rung = [(ring.start_ms, ring.role, ring.sound) for ring in evidence.timeline.rings if ring.step is None]
    if wide != rung:
        yield from _different(None, wide, rung)
    for seen in evidence.seen:
        wanted = _wanted(evidence.steps.sounds, seen)
        given = [(ring.start_ms, ring.role, ring.sound) for ring in seen.rings]
        if wanted != given:
            yield from _different(seen.step.place, wanted, given)


def _different(place: Place | None, wanted: list[Rung], given: list[Rung]) -> Iterator[Breach]:
    for start_ms, role, sound in (Counter(wanted) - Counter(given)).elements():
        yield Breach(9, place, f"the {role.value} ring “{sound}” is missing at {moment(start_ms)}")
    for start_ms, role, sound in (Counter(given) - Counter(wanted)).elements():
        yield Breach(9, place, f"nothing asks for the {role.value} ring “{sound}” at {moment(start_ms)}")


def _wanted(sounds: Sounds, seen: Seen) -> list[Rung]:
    """What a step rings, sorted by time."""
    step, span = seen.step, seen.span
    rings: list[Rung] = []
    if step.bell.at_start:
        rings.append((span.start_ms, RingRole.STEP, step.bell_sound))
    if step.count.chimes and step.kind is StepKind.MOVE:
        inhales = step.breath is Breath.INHALE
        role, sound = (RingRole.INHALE, sounds.inhale) if inhales else (RingRole.EXHALE, sounds.exhale)
        rings.append((span.hold_ms, role, sound))
    elif step.count.chimes and seen.is_held:
        rings += _chimes(sounds, seen)
    elif step.count.numbers is not None:
        rings += _instead_of_counts(sounds, seen)
    if span.and_a_half and step.kind is not StepKind.SILENCE and (step.count.chimes or step.count.numbers):
        # Those that an earlier plan has struck may be among the others already.
        is_alone = not step.count.chimes and step.kind is not StepKind.BREATHING
        halves = {seen.grid.inhale_ms(span.breaths), *(step.laid.chimes if step.laid and is_alone else ())}
        struck = [(span.hold_ms + ms, RingRole.INHALE, sounds.inhale) for ms in halves]
        rings = sorted({*rings, *struck}, key=_start_ms)
    if step.chime_every_ms is not None:
        moments = range(span.hold_ms + step.chime_every_ms, span.held_ms, step.chime_every_ms)
        rings = sorted([*rings, *((ms, RingRole.INTERVAL, step.bell_sound) for ms in moments)], key=_start_ms)
    if step.bell.at_end:
        rings.append((span.held_ms, RingRole.STEP, step.bell_sound))
    return rings


def _chimes(sounds: Sounds, seen: Seen) -> list[Rung]:
    """A chime at each inhale and exhale of every whole breath; in a breathing pattern at its pauses too."""
    grid, hold_ms = seen.grid, seen.span.hold_ms
    breaths = whole_breaths(seen, seen.length_ms)
    parts = [(0, RingRole.INHALE, sounds.inhale), (grid.exhale, RingRole.EXHALE, sounds.exhale)]
    if seen.step.kind is StepKind.BREATHING:
        pauses = ((grid.full, grid.exhale), (grid.empty, grid.period))
        parts += [(start, RingRole.PAUSE, sounds.pause) for start, end in pauses if end > start]
    rings: list[Rung] = []
    for into, role, sound in parts:
        rings += [(hold_ms + start_ms, role, sound) for start_ms in _struck(seen, breaths, into)]
    return sorted(rings, key=_start_ms)


def _struck(seen: Seen, breaths: int, into: int) -> list[int]:
    """Where a part of each breath begins; what began before an earlier plan's end is struck as that plan had it."""
    laid = seen.step.laid
    if laid is None:
        return seen.grid.starts(breaths, into)
    begun = seen.grid.starts(max(0, seen.grid.breath_under_way(max(0, laid.until_ms))) + 1, into)
    before = [start_ms for start_ms in begun if start_ms < laid.until_ms and start_ms in laid.chimes]
    return before + [start_ms for start_ms in seen.grid.starts(breaths, into) if start_ms >= laid.until_ms]


def _instead_of_counts(sounds: Sounds, seen: Seen) -> list[Rung]:
    """Where a number or a word of a counted breath is not said, its chime rings."""
    chime = {RingRole.INHALE: sounds.inhale, RingRole.EXHALE: sounds.exhale, RingRole.PAUSE: sounds.pause}
    return [
        (slot.begins_ms, slot.role, chime[slot.role])
        for slot in slots(seen)
        if slot.role is not None and not _is_told(seen, slot) and _may_ring(seen, slot)
    ]


def _is_told(seen: Seen, slot: Slot) -> bool:
    if is_over(seen, slot) and seen.step.laid is not None:
        return slot.begins_ms - seen.span.hold_ms not in seen.step.laid.chimes
    return any(slot.from_ms <= cue.start_ms < slot.until_ms for cue in seen.counts)


def _may_ring(seen: Seen, slot: Slot) -> bool:
    """Whether an earlier plan lets a ring come, or had it come."""
    laid, into_ms = seen.step.laid, slot.begins_ms - seen.span.hold_ms
    return laid is None or into_ms >= laid.until_ms or into_ms in laid.chimes


def _start_ms(ring: Rung) -> int:
    return ring[0]
