"""Random classes with much room, for the properties of fitting: ranges, rounds, elastic paces, rests, shares."""

from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import accumulate

from hypothesis import strategies as st
from plan_samples import by_turns, samples

from guide.plan.fitting.fit import Fitted, fit
from guide.plan.scheduler import plan
from guide.plan.timeline import Timeline
from guide.problem import Place
from guide.sequence.steps import UNCOUNTED, InBreaths, InTime, Pace, PaceRoom, Step, StepKind, Steps

MINUTE_MS = 60_000
HOUR_MS = 60 * MINUTE_MS


@dataclass(frozen=True, slots=True, repr=False)
class Class:
    """A class with room, the lengths of its words and sounds, and how short and how long it can be."""

    steps: Steps
    word_ms: dict[str, int]
    sound_ms: dict[str, int]

    def __repr__(self) -> str:
        """The steps with what gives in them; all the words would fill a screen."""
        lines = (f"{step.kind.value} {step.place.line} {step.hold} {step.pace_room}" for step in self.steps.steps)
        return "\n".join((f"a class of {len(self.steps.steps)} steps:", *lines))

    def fitted(self, slot_ms: int) -> Fitted:
        return fit(replace(self.steps, slot_ms=slot_ms), self.word_ms, self.sound_ms)

    def length_ms(self, slot_ms: int) -> int:
        """How long the class is that is fitted to this slot."""
        return plan(self.fitted(slot_ms).steps, self.word_ms, self.sound_ms).length_ms

    def planned(self, slot_ms: int) -> tuple[Steps, Timeline]:
        fitted = self.fitted(slot_ms)
        return fitted.steps, fitted.told(plan(fitted.steps, self.word_ms, self.sound_ms))

    def ends_ms(self) -> tuple[int, int]:
        return self.length_ms(1), self.length_ms(24 * HOUR_MS)


@st.composite
def classes(draw: st.DrawFn, most_steps: int = 6) -> Class:
    sample = draw(samples(most_steps))
    ranges = {step.place: draw(holds(step.hold)) for step in sample.steps.steps if step.hold is not None}
    rooms = {id(step.pace): draw(st.one_of(st.none(), pace_rooms(step.pace))) for step in sample.steps.steps}
    made = [replace(step, hold=ranges.get(step.place), pace_room=rooms[id(step.pace)]) for step in sample.steps.steps]
    rounds = [draw(st.integers(1, 3)) for _ in range(len(sample.steps.sections) + 1)]
    sections = zip(_sections(made), rounds, strict=False)
    steps = tuple(step for section, times in sections for step in _again(section, times))
    return Class(by_turns(replace(sample.steps, steps=steps, slot_ms=None)), sample.word_ms, sample.sound_ms)


@st.composite
def classes_with_a_rest(draw: st.DrawFn) -> Class:
    """Classes with a rest of minutes, done once or twice, that can make up for about any breath."""
    made = draw(classes())
    steps = list(made.steps.steps)
    at = draw(st.integers(0, len(steps) - 1))
    minutes = [draw(st.integers(1, top)) * MINUTE_MS + draw(st.integers(0, 999)) for top in (2, 5, 9)]
    rest = replace(
        steps[at],
        kind=StepKind.REST,
        place=Place("class.yaml", 1, 1),
        side=None,
        pair=None,
        breath=None,
        given=False,
        hold=InTime(*accumulate(minutes)),
        entry=(),
        words=(),
        count=UNCOUNTED,
    )
    steps[at:at] = [rest] * draw(st.integers(1, 2))
    return replace(made, steps=by_turns(replace(made.steps, steps=tuple(steps))))


@st.composite
def holds(draw: st.DrawFn, hold: InBreaths | InTime) -> InBreaths | InTime:
    """A range around what is usual, often with room on one side only, or none."""
    if isinstance(hold, InBreaths):
        fewer, more = draw(st.integers(0, hold.usual - 1)), draw(st.integers(0, 6))
        return replace(hold, least=hold.usual - fewer, most=hold.usual + more)
    fewer, more = (draw(st.one_of(st.just(0), st.integers(0, top))) for top in (hold.usual_ms - 1000, 120_000))
    return InTime(hold.usual_ms - fewer, hold.usual_ms, hold.usual_ms + more)


@st.composite
def pace_rooms(draw: st.DrawFn, pace: Pace) -> PaceRoom:
    quicker, slower = Fraction(draw(st.integers(70, 100)), 100), Fraction(draw(st.integers(100, 140)), 100)
    return PaceRoom(*(Pace(*(part * times for part in parts_of(pace))) for times in (quicker, slower)))


def parts_of(pace: Pace) -> tuple[Fraction, Fraction, Fraction, Fraction]:
    return pace.inhale_ms, pace.full_ms, pace.exhale_ms, pace.empty_ms


def _sections(steps: list[Step]) -> list[list[Step]]:
    numbers = dict.fromkeys(step.section for step in steps)
    return [[step for step in steps if step.section == number] for number in numbers]


def _again(steps: list[Step], times: int) -> list[Step]:
    """The steps so many times over, as rounds: at the same places, with twins of their own each time."""
    return [
        replace(step, pair=f"{step.pair}/{number}" if step.pair else None) for number in range(times) for step in steps
    ]


def holds_of(steps: Steps) -> list[int]:
    """The breaths of every hold that is counted in breaths."""
    return [step.hold.usual for step in steps.steps if isinstance(step.hold, InBreaths)]
