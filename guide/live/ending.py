"""Keeping the end: the rest of the class is fitted again, so that it ends when it should."""

from dataclasses import replace

from guide.live.course import Course, Turn, replanned, twins
from guide.plan.fitting.fit import fit
from guide.sequence.steps import BellWhen, InBreaths, InTime, Step, Steps
from guide.units import clock

#: A class that ends this near to the moment asked for ends on it.
NEAR_MS = 1000


def kept_to(course: Course, at_ms: int, end_ms: int) -> Turn:
    """The course with the steps to come fitted so that the class ends at `end_ms`, as near as their room allows.

    What the teacher is told says when it ends, and which steps gave.
    """
    number = course.number_at(at_ms)
    later = range(number + 1, len(course.steps.steps))
    if not later or abs(course.timeline.length_ms - end_ms) < NEAR_MS:
        return Turn(course, at_ms, "")
    fitted = fit(_to_come(course, number, end_ms), course.word_ms, course.sound_ms)
    kept = [
        replace(made, hold=made.hold and _with_range(made, before), pace_room=before.pace_room)
        for made, before in zip(fitted.steps.steps, (course.steps.steps[each] for each in later), strict=True)
    ]
    turn = replanned(course, at_ms, "", steps=(*course.steps.steps[: number + 1], *kept))
    off_ms = turn.course.timeline.length_ms - end_ms
    gave = "; ".join(note.what for note in fitted.notes[1:])
    if abs(off_ms) < NEAR_MS:
        return replace(turn, told=gave or f"ends at {clock(end_ms)} of the class")
    word = "later" if off_ms > 0 else "sooner"
    return replace(turn, told=f"ends {clock(abs(off_ms))} {word} than asked: there is no more room")


def _to_come(course: Course, number: int, end_ms: int) -> Steps:
    """The class from the step after this one on, as one that fills the time left until its end."""
    steps, here = course.steps.steps, course.steps.steps[number].section
    later = range(number + 1, len(steps))
    return replace(
        course.steps,
        steps=tuple(_fixed(course, each) if min(twins(course, each)) <= number else steps[each] for each in later),
        sections=tuple(
            replace(section, bell=_unopened(section.bell)) if index == here else section
            for index, section in enumerate(course.steps.sections)
        ),
        bell=_unopened(course.steps.bell),
        slot_ms=max(1, end_ms - course.timeline.spans[number].end_ms),
    )


def _unopened(bell: BellWhen) -> BellWhen:
    """The bell of what has begun already: only its end is still to ring."""
    return BellWhen.END if bell.at_end else BellWhen.NONE


def _fixed(course: Course, number: int) -> Step:
    """A step whose twin is past or under way: it has what that had, and gives nothing."""
    step, span = replace(course.steps.steps[number], pace_room=None), course.timeline.spans[number]
    match step.hold:
        case InBreaths():
            return replace(step, hold=InBreaths(span.breaths, span.breaths, span.breaths))
        case InTime():
            held_ms = span.held_ms - span.hold_ms
            return replace(step, hold=InTime(held_ms, held_ms, held_ms))
    return step


def _with_range(made: Step, before: Step) -> InBreaths | InTime | None:
    """The length that fitting gave, with the range that the step had before."""
    match made.hold, before.hold:
        case InBreaths(usual=usual), InBreaths(least, _, most):
            return InBreaths(min(least, usual), usual, max(most, usual))
        case InTime(usual_ms=usual_ms), InTime(least_ms, _, most_ms):
            return InTime(min(least_ms, usual_ms), usual_ms, max(most_ms, usual_ms))
    return made.hold
