"""Promise 9, the numbers: what is counted aloud is right and in its time; what finds no room is listed, with a note."""

from collections import Counter
from collections.abc import Iterator

from guide.plan.checks.breach import GAP_MS, Breach, moment, quoted
from guide.plan.checks.evidence import Evidence, Seen
from guide.plan.checks.p0_laid import is_laid
from guide.plan.checks.p5_calm import said_of
from guide.plan.checks.slots import Slot, counts_seconds, first_place, is_over, makes_room, number_room, slots
from guide.plan.timeline import Cue


def check(evidence: Evidence) -> Iterator[Breach]:
    for seen in evidence.seen:
        if seen.counts or seen.uncounted or seen.step.count.numbers is not None:
            wanted = slots(seen)
            said = {slot: cue for slot in wanted for cue in seen.counts if _is_said(slot, cue)}
            yield from _right(seen, said)
            yield from _at_once(seen, said)
            missing = [slot for slot in wanted if slot not in said and not is_over(seen, slot)]
            yield from _left_out(evidence, seen, missing)
            yield from _told(evidence, seen, missing)
            if missing and makes_room(evidence, seen):
                yield from _taken(evidence, seen, missing)


def _is_said(slot: Slot, cue: Cue) -> bool:
    return cue.words == slot.text and slot.from_ms <= cue.start_ms and cue.end_ms <= slot.until_ms


def _right(seen: Seen, said: dict[Slot, Cue]) -> Iterator[Breach]:
    due = set(said.values())
    for cue in seen.counts:
        if cue not in due and not is_laid(seen, cue):
            what = f"{quoted(cue.words)} at {moment(cue.start_ms)} counts nothing of “{seen.step.title}”"
            yield Breach(9, cue.place, what)
        elif cue.place != seen.step.place:
            yield Breach(9, cue.place, f"{quoted(cue.words)} at {moment(cue.start_ms)} names a place of another step")


def _at_once(seen: Seen, said: dict[Slot, Cue]) -> Iterator[Breach]:
    """A number comes as soon as it may."""
    for slot, cue in said.items():
        if is_laid(seen, cue):
            continue
        others = [other for other in _near(seen, slot) if other is not cue]
        if first_place(seen, slot, cue.length_ms, others) != cue.start_ms:
            what = f"{quoted(cue.words)} at {moment(cue.start_ms)} could be counted at another moment before it"
            yield Breach(9, cue.place, what)


def _left_out(evidence: Evidence, seen: Seen, missing: list[Slot]) -> Iterator[Breach]:
    for slot in missing:
        length_ms = evidence.word_ms.get(slot.text)
        if length_ms is None:
            continue
        start_ms = first_place(seen, slot, length_ms, _near(seen, slot))
        if start_ms is not None:
            what = f"{quoted(slot.text)} is not counted at {moment(start_ms)}, though there is room for it"
            yield Breach(9, seen.step.place, what)


def _near(seen: Seen, slot: Slot) -> list[Cue]:
    """The cues that could stand in the way of a number."""
    return [
        cue
        for cue in (*seen.said, *seen.counts)
        if cue.end_ms + GAP_MS > min(slot.begins_ms, slot.from_ms) and cue.start_ms < slot.until_ms + GAP_MS
    ]


def _told(evidence: Evidence, seen: Seen, missing: list[Slot]) -> Iterator[Breach]:
    """Every number that is not said is listed as dropped, no other is, and a note says so."""
    place = seen.step.place
    wanted = Counter((place, slot.text) for slot in missing)
    listed = Counter((dropped.place, dropped.words) for dropped in seen.uncounted)
    for _, text in wanted - listed:
        yield Breach(9, place, f"{quoted(text)} is not counted in “{seen.step.title}”, and not listed as dropped")
    for _, text in listed - wanted:
        yield Breach(9, place, f"{quoted(text)} is listed as dropped, which “{seen.step.title}” does not lack")
    title = f"of “{seen.step.title}”"
    noted = [what for what in evidence.notes.get(place, ()) if title in what]
    if missing and not any("not counted aloud" in what or "give way to its words" in what for what in noted):
        yield Breach(9, place, f"numbers {title} are not counted aloud, and no note says so")


def _taken(evidence: Evidence, seen: Seen, missing: list[Slot]) -> Iterator[Breach]:
    """No words stand in the last place of a number where all could leave it free."""
    room, hold_ms = number_room(evidence, seen), seen.span.hold_ms
    free = {(words.place, words.text) for words in seen.step.words if words.at is None}
    lost = {slot.breath for slot in missing}
    spoken_ms, said = room.from_ms, said_of(seen)
    for cue, (_, length_ms) in zip(seen.said, evidence.wishes(seen, said), strict=False):
        into_ms = cue.start_ms - hold_ms
        if (cue.place, cue.words) in free and not is_laid(seen, cue):
            breath = seen.grid.breath_under_way(into_ms)
            late = counts_seconds(seen.step) and into_ms + length_ms > room.until_ms
            if late or (breath in lost and room.takes_a_number(breath, into_ms, length_ms, spoken_ms)):
                what = f"{quoted(cue.words)} at {moment(cue.start_ms)} takes the place of a number"
                yield Breach(9, cue.place, f"{what} of “{seen.step.title}”, though there is room elsewhere")
        spoken_ms = max(spoken_ms, into_ms + length_ms + GAP_MS)
