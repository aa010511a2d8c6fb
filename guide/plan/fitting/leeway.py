"""What each step of a class may be: how many breaths a hold may have, how long a rest may last, how far a pace gives.

Steps written at one place move together: that covers both sides, all rounds, and a block that is called twice.
"""

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from guide.plan.class_length import around_ms
from guide.plan.fitting.hold_words import fewest_breaths, fitting_lengths, without_growth
from guide.plan.fitting.led_steps import ClassPace, LedSteps, led_steps
from guide.plan.fitting.springs import Spring, bounded
from guide.plan.step_lengths import grown_breaths, usually
from guide.sequence.steps import Breath, InBreaths, InTime, Step, StepKind, Steps

#: The part of the slot that the closing rest has where the file does not say: about a minute for each ten (common
#: practice; teachers also say five for each thirty).
USUAL_SHARE = Fraction(1, 10)

#: A rest that cannot be this part as long as the longest is not the one that closes the class.
LEAST_OF_LONGEST = Fraction(1, 2)


@dataclass(frozen=True, slots=True)
class CountedHold:
    """A hold in breaths with room, at every step that is written at its place.

    `least` is what the file and the words ask for, `usual` is the file's, or `least` where that is more; where words
    ask for more than `most`, all are `most`. `on_pace` says how many of the steps breathe at which pace, by its number.
    """

    numbers: tuple[int, ...]
    least: int
    usual: int
    most: int
    on_pace: Mapping[int, int]


@dataclass(frozen=True, slots=True)
class TimedHold:
    """A hold by the clock with room, at every step that is written at its place; `natural_ms` is within its bounds."""

    numbers: tuple[int, ...]
    least_ms: int
    natural_ms: Fraction
    most_ms: int

    def spring(self) -> Spring:
        """All its steps together."""
        count = len(self.numbers)
        return bounded(count * self.natural_ms, count * self.least_ms, count * self.most_ms)


@dataclass(frozen=True, slots=True)
class PaceLoad:
    """What a pace carries: the time that breaths and moves take at it, in ms, without rounding breaths to whole ms.

    `least`, `usual` and `most` are the breaths in its holds that give; `rigid` is the number of those in holds that
    have no room, with what holds grow by for words, 0 where the pace has no room; `moves` counts the moves by their
    breath and by what their words need, and the inhales after the whole breaths of holds.
    """

    pace: ClassPace
    least: int
    usual: int
    most: int
    rigid: int
    moves: Mapping[tuple[Breath, int], int]

    def carried_ms(self, ease: Fraction | int) -> tuple[Fraction, Fraction]:
        """At this ease, what one breath takes, and what all takes besides the breaths in holds that give."""
        grid = self.pace.grid(ease)
        breath_ms = {breath: grid.move_ms(breath) for breath in Breath}
        moves_ms = sum(count * max(breath_ms[breath], need_ms) for (breath, need_ms), count in self.moves.items())
        return grid.period_ms, self.rigid * grid.period_ms + moves_ms

    def length_ms(self, breaths: Fraction | int, ease: Fraction | int) -> Fraction:
        """With so many breaths in the holds that give."""
        breath_ms, others_ms = self.carried_ms(ease)
        return breaths * breath_ms + others_ms

    def even_ms(self, ease: Fraction | int) -> Fraction:
        """With the breaths that the holds would have at this ease, if breaths could be cut."""
        room = self.most - self.usual if ease > 0 else self.usual - self.least
        return self.length_ms(self.usual + ease * room, ease)


@dataclass(frozen=True, slots=True)
class Level:
    """How far a class has grown: the breaths of each counted hold, and the ease of each pace, by their numbers."""

    breaths: tuple[int, ...]
    paces: tuple[Fraction, ...]


@dataclass(frozen=True, slots=True)
class Leeway:
    """All that can give so that the class lasts `slot_ms`: holds, and paces, with those that have no room.

    `closing` is the number in `timed` of the one that takes what is left over: the closing rest, or else the last.
    `around_ms` is the length of the class without its holds and moves.
    """

    counted: tuple[CountedHold, ...]
    timed: tuple[TimedHold, ...]
    loads: tuple[PaceLoad, ...]
    closing: int | None
    led: LedSteps
    around_ms: int
    slot_ms: int

    @property
    def rests_ms(self) -> tuple[int, int]:
        """The least and the most that all the holds by the clock take together."""
        rests = [(len(one.numbers), one) for one in self.timed]
        return sum(times * one.least_ms for times, one in rests), sum(times * one.most_ms for times, one in rests)

    def asked(self, level: Level, rests_ms: Sequence[int]) -> dict[int, int]:
        """The lengths of all holds that give, in breaths or in ms, by the numbers of their steps."""
        holds = [one.numbers for one in self.counted] + [one.numbers for one in self.timed]
        lengths = zip(holds, (*level.breaths, *rests_ms), strict=True)
        return {number: length for numbers, length in lengths for number in numbers}

    def others_ms(self, level: Level) -> int:
        """How long the class is at a level, its holds by the clock that have room left aside."""
        asked = self.asked(level, [one.least_ms for one in self.timed])
        held_ms = self.led.held_ms(level.paces, asked, self.led.twins_of)
        return self.around_ms + sum(held_ms.values()) - self.rests_ms[0]


def leeway_of(steps: Steps, slot_ms: int, word_ms: Mapping[str, int], sound_ms: Mapping[str, int]) -> Leeway:
    """What can give in a class that should last `slot_ms`."""
    led = without_growth(led_steps(steps.steps, word_ms))
    places: dict[object, list[int]] = defaultdict(list)
    for number, step in enumerate(steps.steps):
        match step.hold:
            case InBreaths(least, _, most) | InTime(least, _, most) if least < most:
                places[step.place, type(step.hold), least, most].append(number)
    counted = tuple(one for numbers in places.values() for one in _counted(numbers, led))
    closing = _closing(steps.steps)
    timed = tuple(one for numbers in places.values() for one in _timed(numbers, led, slot_ms, closing))
    taker = len(timed) - 1 if timed else None
    if timed and closing is not None:
        taker = max(range(len(timed)), key=lambda number: closing in timed[number].numbers)
    around = around_ms(steps, dict.fromkeys(led.twins_of.values()), sound_ms)
    return Leeway(counted, timed, tuple(_loads(led, counted, timed)), taker, led, around, slot_ms)


def _counted(numbers: Sequence[int], led: LedSteps) -> Iterator[CountedHold]:
    hold = led.steps[numbers[0]].hold
    if not isinstance(hold, InBreaths):
        return
    on_pace = Counter(led.pace_of[number] for number in numbers)
    at = {(led.twins_of[number], led.pace_of[number]) for number in numbers}
    needed = max(fewest_breaths(twins, led.paces[pace], hold) for twins, pace in at)
    yield CountedHold(tuple(numbers), needed, max(hold.usual, needed), hold.most, on_pace)


def _closing(steps: Sequence[Step]) -> int | None:
    """The closing rest: the last of the long rests by the clock with room, or a pose by the clock that ends the class.

    It does not depend on the slot, so that a longer one never makes another rest the closing one.
    """
    most_ms = {
        number: step.hold.most_ms
        for number, step in enumerate(steps)
        if isinstance(step.hold, InTime) and step.hold.least_ms < step.hold.most_ms
    }
    rests = [number for number in most_ms if steps[number].kind is StepKind.REST]
    if rests:
        longest_ms = max(most_ms[number] for number in rests)
        return next(number for number in reversed(rests) if most_ms[number] >= LEAST_OF_LONGEST * longest_ms)
    last = max((number for number, step in enumerate(steps) if step.hold is not None), default=None)
    return last if last in most_ms and last is not None and steps[last].kind is StepKind.POSE else None


def _timed(numbers: Sequence[int], led: LedSteps, slot_ms: int, closing: int | None) -> Iterator[TimedHold]:
    """A hold by the clock with the lengths at which its words fit; nothing where there are none, so that it grows."""
    step = led.steps[numbers[0]]
    if not isinstance(step.hold, InTime):
        return
    share = USUAL_SHARE if closing in numbers and step.share is None else step.share
    usual_ms = Fraction(step.hold.usual_ms)
    natural_ms = usual_ms if share is None else share * slot_ms
    bounds = step.hold.least_ms, step.hold.most_ms
    for number in numbers:
        found = fitting_lengths(led.twins_of[number], led.paces[led.pace_of[number]], bounds)
        if not found:
            return
        bounds = min(found, key=lambda one: abs(usual_ms - _within(usual_ms, one)))
    yield TimedHold(tuple(numbers), bounds[0], _within(natural_ms, bounds), bounds[1])


def _within(ms: Fraction, bounds: tuple[int, int]) -> Fraction:
    return min(max(ms, Fraction(bounds[0])), Fraction(bounds[1]))


def _loads(led: LedSteps, counted: Sequence[CountedHold], timed: Sequence[TimedHold]) -> Iterator[PaceLoad]:
    giving = {number: one for one in counted for number in one.numbers}
    resting = {number for one in timed for number in one.numbers}
    for number, pace in enumerate(led.paces):
        holds = [(one, one.on_pace.get(number, 0)) for one in counted]
        rigid = (_rigid_breaths(led, step, giving.get(step)) for step in pace.numbers if step not in resting)
        moves = ((_half_breath(led.steps[step]), led.twins_of[step].move_ms) for step in pace.numbers)
        yield PaceLoad(
            pace,
            sum(times * one.least for one, times in holds),
            sum(times * one.usual for one, times in holds),
            sum(times * one.most for one, times in holds),
            sum(rigid) if pace.gives else 0,
            Counter((breath, need_ms) for breath, need_ms in moves if breath is not None),
        )


def _half_breath(step: Step) -> Breath | None:
    """The half of a breath that a move lasts, or that a hold has after its whole ones."""
    is_half = isinstance(step.hold, InBreaths) and step.hold.and_a_half
    return Breath.INHALE if is_half else step.breath


def _rigid_breaths(led: LedSteps, number: int, giving: CountedHold | None) -> int:
    """The breaths of a hold that gives none, with what it grows by for its words at every pace that it may have."""
    hold, twins = led.steps[number].hold, led.twins_of[number]
    if hold is None or (giving is not None and giving.least < giving.most):
        return 0
    breaths = hold.usual if isinstance(hold, InBreaths) and giving is None else 0
    settings = usually(twins)
    if giving is not None:
        settings = {one: replace(setting, asked=giving.most) for one, setting in settings.items()}
    return breaths + (grown_breaths(twins, settings) if twins.length_ms else 0)
