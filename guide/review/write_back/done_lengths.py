"""How long each hold of a class really was, by the place where it is written."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from statistics import median

from guide.plan.timeline import Timeline
from guide.problem import Place
from guide.review.comparison import Comparison, StepTaken, sure_of_length
from guide.review.write_back.new_length import SECOND_MS, ends, new_length, with_usual
from guide.review.write_back.taught_hold import Done, Left, SidesKept, TaughtHold, ToKeep, Why
from guide.sequence.steps import AtBreath, AtTime, BeforeEnd, Breath, InBreaths, Step, Steps

#: What is less sure than this is not written into a file.
LEAST_SURE = 0.8

#: Of several performances, so many must tell how long a hold was before that is usual.
LEAST_KNOWN = 2


def what_to_keep(
    steps: Steps, timeline: Timeline, comparisons: Sequence[Comparison], sides: SidesKept, name: str
) -> ToKeep:
    """How long each hold of a class was, for the file `name` that the class was read from.

    `timeline` is planned from `steps`, and `comparisons` made with both: of one performance, or of several, and then
    usual is the median of those in which it is surely known, of two or more. What is planned around a hold (the way in,
    its bells, those of sections) is taken to have lasted as planned, and the rest of the step is the hold.
    """
    written: dict[Place, list[Step]] = {}
    done: dict[Place, list[Done]] = {}
    left: dict[Left, None] = {}
    for number, step in enumerate(steps.steps):
        if step.hold is None:
            continue
        written.setdefault(step.place, []).append(step)
        found = _usual(step, timeline, comparisons, number)
        if isinstance(found, Done):
            done.setdefault(step.place, []).append(found)
        elif step.place.file == name:
            left[Left(step.place, step.title, step.side, found)] = None
    taught = [_taught(written[place], each) for place, each in sorted(done.items())]
    left.update(dict.fromkeys(_elsewhere(taught, name)))
    own = tuple(hold for hold in taught if hold.place.file == name)
    return ToKeep(sides, own, tuple(sorted(left, key=lambda one: one.place)))


def _usual(step: Step, timeline: Timeline, comparisons: Sequence[Comparison], number: int) -> Done | Why:
    """How long a hold usually was; or why nothing is to be kept of it, as the performances say that know most of it."""
    whys = [_why_left(one.steps, number) for one in comparisons]
    done = [_done(step, timeline, one.steps, number) for one, why in zip(comparisons, whys, strict=True) if why is None]
    if len(done) < min(len(comparisons), LEAST_KNOWN):
        return Why.ONCE if done else max((why for why in whys if why), key=list(Why).index)
    held_ms = round(median(one.held_ms for one in done))
    return replace(done[0], held_ms=held_ms, performances=len(done))


def _elsewhere(taught: Iterable[TaughtHold], name: str) -> Iterator[Left]:
    """The holds that would change if they were written in this file."""
    for hold in taught:
        usual = with_usual(hold.usual)
        if hold.place.file != name and ends(new_length(usual, hold.done)) != ends(usual):
            yield Left(hold.place, hold.title, None, Why.ELSEWHERE)


def _why_left(taken: Sequence[StepTaken], number: int) -> Why | None:
    """Why nothing is to be kept of a step; its end is as sure as the beginning of what came after it."""
    one = taken[number]
    if one.real_start_ms is None:
        return Why.NOT_KNOWN
    if one.real_ms is None:
        return Why.NO_END
    return Why.UNSURE if sure_of_length(taken, number) < LEAST_SURE else None


def _done(step: Step, timeline: Timeline, taken: Sequence[StepTaken], number: int) -> Done:
    spans, span = timeline.spans, timeline.spans[number]
    next_ms = spans[number + 1].start_ms if number + 1 < len(spans) else span.end_ms
    around_ms = (span.hold_ms - span.start_ms) + (next_ms - span.held_ms)
    real_ms = taken[number].real_ms
    assert real_ms is not None, "the end of every step that is kept is known"
    planned_ms = span.held_ms - span.hold_ms
    return Done(step.pass_number, step.side, real_ms - around_ms, planned_ms, Fraction(span.period_ms))


def _taught(written: Sequence[Step], done: Iterable[Done]) -> TaughtHold:
    first = written[0]
    assert first.hold is not None
    return TaughtHold(
        place=first.place,
        title=first.title,
        kind=first.kind,
        usual=first.hold,
        asked=frozenset(_asked(written)),
        periods_ms=frozenset(step.pace.period_ms for step in written),
        passes=frozenset(step.pass_number for step in written),
        done=tuple(done),
    )


def _asked(written: Sequence[Step]) -> Iterator[AtBreath | AtTime]:
    for step in written:
        for words in step.words:
            match words.at:
                case BeforeEnd(ms):
                    yield AtTime(ms)
                case AtBreath() | AtTime() as at:
                    yield at
        if step.chime_every_ms is not None:
            yield AtTime(step.chime_every_ms)
        if step.count.down_from is not None:
            first = step.count.down_from
            in_breaths = isinstance(step.hold, InBreaths)
            yield AtBreath(first, Breath.INHALE) if in_breaths else AtTime(first * SECOND_MS - 1)
