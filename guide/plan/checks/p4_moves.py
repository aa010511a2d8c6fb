"""Promise 4: a move's cue begins with its breath, which lasts as its pace says or as its words need, and says so."""

from collections.abc import Iterator

from guide.plan.checks.breach import SETTLE_MS, Breach, moment, quoted
from guide.plan.checks.evidence import Evidence, Seen
from guide.sequence.steps import Breath, StepKind
from guide.units import seconds_text


def check(evidence: Evidence) -> Iterator[Breach]:
    for seen in evidence.seen:
        if seen.step.kind is not StepKind.MOVE:
            continue
        span, step = seen.span, seen.step
        if span.hold_ms != span.start_ms:
            what = f"this {step.title} begins {span.hold_ms - span.start_ms} ms after its step"
            yield Breach(4, step.place, what)
        for cue in seen.carried:
            if cue.start_ms != span.hold_ms:
                what = f"{quoted(cue.words)} begins at {moment(cue.start_ms)}, its breath at {moment(span.hold_ms)}"
                yield Breach(4, cue.place, what)
        yield from _length(evidence, seen)


def _length(evidence: Evidence, seen: Seen) -> Iterator[Breach]:
    step = seen.step
    breath_ms = _breath_ms(seen)
    right_ms = max(_own_ms(evidence, evidence.seen[number]) for number in seen.twins)
    if step.laid is not None and step.laid.held_ms is not None:
        right_ms = step.laid.held_ms
    if seen.length_ms != right_ms:
        yield Breach(4, step.place, f"this {step.title} lasts {seen.length_ms} ms, it should last {right_ms} ms")
    if right_ms > breath_ms:
        said = f"lasts {seconds_text(right_ms)} instead of {seconds_text(breath_ms)}"
        if not evidence.has_note(step.place, said):
            what = f"this {step.title} is stretched by {right_ms - breath_ms} ms, and no note says so"
            yield Breach(4, step.place, what)


def _breath_ms(seen: Seen) -> int:
    grid = seen.grid
    inhales = seen.step.breath is Breath.INHALE
    return grid.nearest_ms(0, grid.exhale if inhales else grid.period - grid.exhale)


def _own_ms(evidence: Evidence, seen: Seen) -> int:
    if seen.step.laid is not None and seen.step.laid.held_ms is not None:
        return seen.step.laid.held_ms
    words_ms = max(evidence.words_ms(seen), default=None)
    return _breath_ms(seen) if words_ms is None else max(_breath_ms(seen), words_ms + SETTLE_MS)
