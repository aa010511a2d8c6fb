"""Promise 3: a hold counts from the end of the entry words, in full breaths, and grows only for words, and says so."""

from collections.abc import Iterator

from guide.plan.checks.breach import GAP_MS, Breach, moment, quoted
from guide.plan.checks.evidence import Evidence, Seen
from guide.plan.checks.word_room import word_room_of
from guide.sequence.steps import InBreaths
from guide.units import seconds_text


def check(evidence: Evidence) -> Iterator[Breach]:
    for seen in evidence.seen:
        if not seen.is_held:
            continue
        yield from _beginning(seen)
        yield from _inside(seen)
        extra = _extra_breaths(seen)
        if extra is None:
            yield _wrong_length(seen)
        elif extra > 0 and not seen.is_settled:
            yield from _grown(evidence, seen, extra)


def _beginning(seen: Seen) -> Iterator[Breach]:
    hold_ms = seen.span.hold_ms
    if seen.entry and seen.entry[-1].end_ms != hold_ms:
        ends = f"its entry words end at {moment(seen.entry[-1].end_ms)}"
        yield Breach(3, seen.step.place, f"the hold of “{seen.step.title}” begins at {moment(hold_ms)}, {ends}")


def _inside(seen: Seen) -> Iterator[Breach]:
    """A hold that is too short for its words should have grown."""
    span = seen.span
    for cue in (*seen.said, *seen.counts):
        if cue.start_ms < span.hold_ms:
            what = f"{quoted(cue.words)} is said before the hold of “{seen.step.title}” begins"
            yield Breach(3, cue.place, f"{what} at {moment(span.hold_ms)}")
        elif cue.end_ms > span.held_ms - GAP_MS:
            what = f"{quoted(cue.words)} ends at {moment(cue.end_ms)}, which leaves less than {GAP_MS} ms"
            yield Breach(3, cue.place, f"{what} before the hold of “{seen.step.title}” ends at {moment(span.held_ms)}")


def _extra_breaths(seen: Seen) -> int | None:
    """By how many whole breaths the hold has grown; None if its length is not what the file asks for at all."""
    grid, hold = seen.grid, seen.step.hold
    if isinstance(hold, InBreaths):
        right = seen.length_ms == seen.breaths_ms(seen.span.breaths)
        return seen.span.breaths - hold.usual if right and seen.span.breaths >= hold.usual else None
    over_ms = seen.length_ms - seen.asked_ms
    extra = round(over_ms * grid.ticks / grid.period)
    return extra if extra >= 0 and grid.inhale_ms(extra) == over_ms else None


def _wrong_length(seen: Seen) -> Breach:
    step, breaths = seen.step, seen.span.breaths
    asked = f"the file asks for {seen.asked_ms} ms"
    if isinstance(step.hold, InBreaths):
        asked = f"{breaths} breaths are {seen.breaths_ms(breaths)} ms, and the file asks for {step.hold.usual}"
    return Breach(3, step.place, f"“{step.title}” is held {seen.length_ms} ms; {asked}")


def _grown(evidence: Evidence, seen: Seen, extra: int) -> Iterator[Breach]:
    step = seen.step
    breaths = "1 breath" if extra == 1 else f"{extra} breaths"
    said = f"lasts {seconds_text(seen.length_ms)}, {breaths} more than asked"
    if isinstance(step.hold, InBreaths):
        half = "½" if step.hold.and_a_half else ""
        said = f"is held {step.hold.usual + extra}{half} breaths instead of {step.hold.usual}{half}"
    if not evidence.has_note(step.place, said):
        yield Breach(3, step.place, f"“{step.title}” has grown by {breaths}, and no note says so")
    if all(_fitted_before(evidence, evidence.seen[number], extra) for number in seen.twins):
        yield Breach(3, step.place, f"“{step.title}” has grown by {breaths}, though its words fit with one less")


def _fitted_before(evidence: Evidence, seen: Seen, extra: int) -> bool:
    """Whether the words that may not be left out had room when the hold was one breath shorter.

    A hold that an earlier plan has settled is as long as it is, and its other side follows it.
    """
    if seen.is_settled:
        return False
    if isinstance(seen.step.hold, InBreaths):
        shorter_ms = seen.breaths_ms(seen.step.hold.usual + extra - 1)
    else:
        shorter_ms = seen.asked_ms + seen.grid.inhale_ms(extra - 1)
    needed = [words for words in seen.step.words if not words.if_room or words in seen.said_before]
    return word_room_of(seen, shorter_ms).holds_closely(evidence.wishes(seen, needed))
