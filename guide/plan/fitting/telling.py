"""What a fitted class tells the teacher: how far it had to give, and what in it gave."""

from collections.abc import Iterator
from fractions import Fraction

from guide.plan.fitting.paces import Breathed
from guide.plan.fitting.room import Counted, Room, Timed
from guide.plan.reach import NEAR_MS
from guide.plan.timeline import Note
from guide.problem import Place
from guide.sequence.steps import InBreaths, InTime, Pace, Steps
from guide.units import clock, seconds_text, so_many


def told(steps: Steps, made: Steps, room: Room, ease: Fraction, length_ms: int) -> tuple[Note, ...]:
    """The notes of a class that was `steps` and has been `made` to last `length_ms`; none where nothing gave."""
    whole = Place(steps.steps[0].place.file, 1, 1)
    slot_ms = steps.slot_ms or 0
    if abs(slot_ms - length_ms) >= NEAR_MS and abs(ease) == 1:
        end = "longest" if ease > 0 else "shortest"
        return (Note(whole, f"everything in the class that has room is at its {end}"),)
    gave = tuple(dict.fromkeys(_gave(steps, made, room)))
    if not gave or abs(slot_ms - length_ms) >= NEAR_MS:
        return gave
    return (Note(whole, f"the class fills its slot of {clock(slot_ms)}, ease {float(ease):+.2f}"), *gave)


def _gave(steps: Steps, made: Steps, room: Room) -> Iterator[Note]:
    for breathed in room.paces:
        yield from _pace_gave(steps, made, breathed)
    notes = [(one.numbers, note) for one in room.counted for note in _hold_gave(steps, made, one)]
    notes += [(one.numbers, note) for one in room.timed for note in _rest_gave(made, one)]
    yield from (note for _, note in sorted(notes, key=lambda found: found[0]))


def _hold_gave(steps: Steps, made: Steps, one: Counted) -> Iterator[Note]:
    number = one.numbers[0]
    step, before, after = made.steps[number], steps.steps[number].hold, made.steps[number].hold
    assert isinstance(before, InBreaths) and isinstance(after, InBreaths)
    if before.usual != after.usual:
        what = f"“{step.title}” gives: {so_many(after.usual, 'breath')}, usually {before.usual}"
        needed = after.usual == one.least > before.usual
        yield Note(step.place, f"{what}, which its words need" if needed else what)


def _rest_gave(made: Steps, one: Timed) -> Iterator[Note]:
    step = made.steps[one.numbers[0]]
    assert isinstance(step.hold, InTime)
    if abs(step.hold.usual_ms - one.natural_ms) >= NEAR_MS:
        usually = seconds_text(round(one.natural_ms))
        yield Note(step.place, f"“{step.title}” gives: {seconds_text(step.hold.usual_ms)}, usually {usually}")


def _pace_gave(steps: Steps, made: Steps, breathed: Breathed) -> Iterator[Note]:
    first = made.steps[breathed.numbers[0]]
    if first.pace != breathed.pace:
        yield Note(first.place, f"the pace gives: {_in_words(first.pace)}, usually {_in_words(breathed.pace)}")


def _in_words(pace: Pace) -> str:
    """`4.2 s in and 4.2 s out`, with the pauses where there are any."""
    parts = ((pace.inhale_ms, "in"), (pace.full_ms, "full"), (pace.exhale_ms, "out"), (pace.empty_ms, "empty"))
    said = [f"{seconds_text(round(ms))} {name}" for ms, name in parts if ms]
    return f"{', '.join(said[:-1])} and {said[-1]}"
