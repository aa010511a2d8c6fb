"""Promise 4: the voice leads the breath by what the file says, or as far as the words before let it; never more.

A move that follows another has its words in the breath of that one; any other has a time of its own for them. A breath
lasts as its pace says, or as its words need, and then the plan says so.
"""

from collections.abc import Iterator

from guide.plan.checks.breach import GAP_MS, SETTLE_MS, Breach, moment, quoted
from guide.plan.checks.breathgrid import breath_grid
from guide.plan.checks.evidence import Evidence, Seen
from guide.sequence.steps import Breath, Pace, StepKind
from guide.units import seconds_text


def check(evidence: Evidence) -> Iterator[Breach]:
    needed_ms = _needed_ms(evidence)
    for seen in evidence.seen:
        if seen.step.kind is StepKind.MOVE:
            yield from _own_time(evidence, seen)
            yield from _words(evidence, seen)
            yield from _length(evidence, seen, needed_ms)


def before_in_run(evidence: Evidence, seen: Seen) -> Seen | None:
    """The move that this one follows at once, in the breath of which its words may begin."""
    if seen.number == 0 or seen.step.kind is not StepKind.MOVE:
        return None
    before = evidence.seen[seen.number - 1]
    follows = before.step.kind is StepKind.MOVE and before.step.section == seen.step.section
    return before if follows else None


def _own_time(evidence: Evidence, seen: Seen) -> Iterator[Breach]:
    """A move has a time before its breath only where it, or its other side, follows no other move."""
    own_ms, right_ms = seen.span.hold_ms - seen.span.start_ms, _own_ms(evidence, seen)
    if own_ms != right_ms:
        what = f"this {seen.step.title} begins {own_ms} ms after its step, it should begin {right_ms} ms after it"
        yield Breach(4, seen.step.place, what)


def _own_ms(evidence: Evidence, seen: Seen) -> int:
    if seen.step.laid is not None:
        return seen.step.laid.entry_ms
    return max(_asked_ms(evidence, evidence.seen[number]) for number in seen.twins)


def _asked_ms(evidence: Evidence, seen: Seen) -> int:
    if seen.step.laid is not None:
        return seen.step.laid.entry_ms
    return seen.step.lead_ms if seen.step.words and before_in_run(evidence, seen) is None else 0


def _words(evidence: Evidence, seen: Seen) -> Iterator[Breach]:
    before, span = before_in_run(evidence, seen), seen.span
    from_ms = max(span.hold_ms - seen.step.lead_ms, before.span.hold_ms if before else span.start_ms)
    if before and before.carried:
        from_ms = max(from_ms, before.carried[-1].end_ms + GAP_MS)
    settled = () if seen.step.laid is None else seen.step.laid.words
    right_ms = span.hold_ms + settled[0].offset_ms if settled else min(from_ms, span.hold_ms)
    for cue in seen.carried:
        if cue.start_ms != right_ms:
            what = f"{quoted(cue.words)} begins at {moment(cue.start_ms)}, it should begin at {moment(right_ms)}"
            yield Breach(4, cue.place, f"{what}, for the breath at {moment(span.hold_ms)}")


def _length(evidence: Evidence, seen: Seen, needed_ms: list[int]) -> Iterator[Breach]:
    step, breath_ms = seen.step, _breath_ms(seen, seen.step.pace)
    right_ms = max(breath_ms, *(needed_ms[number] for number in seen.twins))
    if step.laid is not None and step.laid.held_ms is not None:
        right_ms = step.laid.held_ms
    if seen.length_ms != right_ms:
        yield Breach(4, step.place, f"this {step.title} lasts {seen.length_ms} ms, it should last {right_ms} ms")
    if right_ms > breath_ms:
        said = f"lasts {seconds_text(right_ms)} instead of {seconds_text(breath_ms)}"
        if not evidence.has_note(step.place, said):
            what = f"this {step.title} is stretched by {right_ms - breath_ms} ms, and no note says so"
            yield Breach(4, step.place, what)


def _breath_ms(seen: Seen, pace: Pace) -> int:
    grid = breath_grid(pace)
    return grid.nearest_ms(0, grid.exhale if seen.step.breath is Breath.INHALE else grid.period - grid.exhale)


def _needed_ms(evidence: Evidence) -> list[int]:
    """What the words of each move need of its breath, with a settle; 0 where there are none.

    They lead by as much as there is room for at the quickest pace that the file allows, so that fitting, which makes
    breaths slower, takes no word's time away.
    """
    needed_ms: list[int] = []
    ends_ms = lasts_ms = 0
    for seen in evidence.seen:
        needed_ms.append(0)
        if seen.step.kind is not StepKind.MOVE:
            continue
        step, words_ms = seen.step, max(evidence.words_ms(seen), default=None)
        room_ms = _own_ms(evidence, seen)
        if before_in_run(evidence, seen):
            room_ms += lasts_ms - max(0, ends_ms)
        leads_ms = min(step.lead_ms, max(0, room_ms))
        if step.laid is not None and step.laid.words:
            leads_ms = -step.laid.words[0].offset_ms
        if words_ms is not None:
            needed_ms[-1] = max(0, words_ms - leads_ms + SETTLE_MS)
        quickest = step.pace if step.pace_room is None else step.pace_room.quickest
        lasts_ms = max(_breath_ms(seen, quickest), needed_ms[-1])
        if step.laid is not None and step.laid.held_ms is not None:
            needed_ms[-1] = lasts_ms = step.laid.held_ms
        ends_ms = 0 if words_ms is None else words_ms - leads_ms + GAP_MS
    return needed_ms
