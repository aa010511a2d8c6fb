"""What a fitted class tells the teacher: how far it had to give, and what in it gave."""

from collections.abc import Iterator
from fractions import Fraction

from guide.plan.fitting.led_steps import ClassPace
from guide.plan.fitting.leeway import CountedHold, Leeway, TimedHold
from guide.plan.slot_limits import NEAR_MS
from guide.plan.step_lengths import usual
from guide.plan.timeline import Note
from guide.problem import Place
from guide.sequence.steps import Pace, Steps
from guide.units import clock, seconds_text, so_many


def fit_notes(made: Steps, leeway: Leeway, ease: Fraction, length_ms: int) -> tuple[Note, ...]:
    """The notes of a class that has been `made` to last `length_ms`; none where nothing gave."""
    whole, slot_ms = Place(made.steps[0].place.file, 1, 1), made.slot_ms or 0
    if abs(slot_ms - length_ms) >= NEAR_MS and abs(ease) == 1:
        end = "longest" if ease > 0 else "shortest"
        return (Note(whole, f"everything in the class that has room is at its {end}"),)
    gave = tuple(dict.fromkeys(_gave(made, leeway)))
    if not gave or abs(slot_ms - length_ms) >= NEAR_MS:
        return gave
    return (Note(whole, f"the class fills its slot of {clock(slot_ms)}, ease {float(ease):+.2f}"), *gave)


def _gave(made: Steps, leeway: Leeway) -> Iterator[Note]:
    for load in leeway.loads:
        yield from _pace_gave(made, load.pace)
    notes = [(one.numbers, note) for one in leeway.counted for note in _hold_gave(made, leeway, one)]
    notes += [(one.numbers, note) for one in leeway.timed for note in _rest_gave(made, one)]
    yield from (note for _, note in sorted(notes, key=lambda found: found[0]))


def _hold_gave(made: Steps, leeway: Leeway, one: CountedHold) -> Iterator[Note]:
    number = one.numbers[0]
    step, before, after = made.steps[number], usual(leeway.led.steps[number]), usual(made.steps[number])
    if before != after:
        what = f"“{step.title}” gives: {so_many(after, 'breath')}, usually {before}"
        yield Note(step.place, f"{what}, which its words need" if after == one.least > before else what)


def _rest_gave(made: Steps, one: TimedHold) -> Iterator[Note]:
    step = made.steps[one.numbers[0]]
    if abs(usual(step) - one.natural_ms) >= NEAR_MS:
        usually = seconds_text(round(one.natural_ms))
        yield Note(step.place, f"“{step.title}” gives: {seconds_text(usual(step))}, usually {usually}")


def _pace_gave(made: Steps, pace: ClassPace) -> Iterator[Note]:
    first = made.steps[pace.numbers[0]]
    if first.pace != pace.pace:
        yield Note(first.place, f"the pace gives: {_in_words(first.pace)}, usually {_in_words(pace.pace)}")


def _in_words(pace: Pace) -> str:
    """`4.2 s in and 4.2 s out`, with the pauses where there are any."""
    parts = ((pace.inhale_ms, "in"), (pace.full_ms, "full"), (pace.exhale_ms, "out"), (pace.empty_ms, "empty"))
    said = [f"{seconds_text(round(ms))} {name}" for ms, name in parts if ms]
    return f"{', '.join(said[:-1])} and {said[-1]}"
