"""The steps of a class as they may be led: each with its twins, measured once, and with its pace, which may give."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from guide.plan.grid import Grid
from guide.plan.step_lengths import Setting, Twins, grown_holds, measured, usual
from guide.sequence.steps import Pace, PaceRoom, Step

#: A pace gives in so many steps from its usual to its slowest, and as many to its quickest.
NOTCHES = 16


@dataclass(frozen=True, slots=True)
class ClassPace:
    """A pace, how far it gives, which may be no way at all, and the numbers of the steps that breathe so.

    `grids` are those of its notches by their ease, or that of the pace where it has no room.
    """

    numbers: tuple[int, ...]
    pace: Pace
    room: PaceRoom
    grids: Mapping[Fraction | int, Grid]

    @property
    def gives(self) -> bool:
        """Whether the file lets this pace be quicker or slower."""
        return self.room.quickest != self.room.slowest

    def at(self, ease: Fraction) -> Pace:
        """The pace at an ease from -1, the quickest, to 1, the slowest."""
        if not ease or not self.gives:
            return self.pace
        end = self.room.slowest if ease > 0 else self.room.quickest
        return Pace(*(own + abs(ease) * (far - own) for own, far in zip(_parts(self.pace), _parts(end), strict=True)))

    def grid(self, ease: Fraction | int) -> Grid:
        """The grid of the pace at an ease."""
        return self.grids.get(ease) or Grid(self.at(Fraction(ease)))


def class_pace(numbers: Iterable[int], pace: Pace, room: PaceRoom) -> ClassPace:
    """The pace with the grids of its notches, which all that it carries is measured by."""
    made = ClassPace(tuple(numbers), pace, room, {})
    notches = range(-NOTCHES, NOTCHES + 1) if made.gives else (0,)
    eases = (Fraction(notch, NOTCHES) for notch in notches)
    return replace(made, grids={ease: Grid(made.at(ease)) for ease in eases})


def _parts(pace: Pace) -> tuple[Fraction, Fraction, Fraction, Fraction]:
    return pace.inhale_ms, pace.full_ms, pace.exhale_ms, pace.empty_ms


@dataclass(frozen=True, slots=True)
class LedSteps:
    """The steps of a class; `twins_of` and `pace_of`, an index of `paces`, are by their numbers."""

    steps: tuple[Step, ...]
    twins_of: Mapping[int, Twins]
    paces: tuple[ClassPace, ...]
    pace_of: Mapping[int, int]

    def held_ms(self, eases: Sequence[Fraction], asked: Mapping[int, int], numbers: Iterable[int]) -> dict[int, int]:
        """How long the holds (or moves) of steps and their twins last at these eases of the paces.

        A hold that is not `asked` to have another length has its usual one.
        """
        grids = [pace.grid(ease) for pace, ease in zip(self.paces, eases, strict=True)]
        held_ms: dict[int, int] = {}
        for twins in dict.fromkeys(self.twins_of[number] for number in numbers):
            settings = {
                one.number: Setting(grids[self.pace_of[one.number]], asked.get(one.number, usual(one.step)))
                for one in twins.each
            }
            held = (hold.held_ms for hold in grown_holds(twins, settings))
            held_ms.update(zip(settings, held, strict=True))
        return held_ms


def led_steps(steps: tuple[Step, ...], word_ms: Mapping[str, int]) -> LedSteps:
    """The steps with the lengths of their words."""
    twins_of = {one.number: twins for twins in measured(steps, word_ms) for one in twins.each}
    paces = tuple(_paces(steps))
    return LedSteps(steps, twins_of, paces, {number: n for n, pace in enumerate(paces) for number in pace.numbers})


def _paces(steps: Iterable[Step]) -> Iterable[ClassPace]:
    """All paces, in the order in which they come."""
    known: dict[tuple[Pace, PaceRoom], list[int]] = {}
    seen: dict[tuple[int, int], list[int]] = {}
    for number, step in enumerate(steps):
        # Telling paces apart by identity first: comparing twelve fractions a step takes most of the time otherwise.
        same = id(step.pace), id(step.pace_room)
        if same not in seen:
            seen[same] = known.setdefault((step.pace, step.pace_room or PaceRoom(step.pace, step.pace)), [])
        seen[same].append(number)
    return (class_pace(numbers, pace, room) for (pace, room), numbers in known.items())
