"""Fitting a class to its slot: every step that has room gives, all of them to the same part of their room.

How it is done, on one page.

*What gives.* A hold of `4 to 6 breaths` gives by whole breaths, a rest of `2 to 4 min` by any time, a pace with a
range by sixteenths of it. Steps written at one place move together: both sides, all rounds, a block called twice.
Nothing goes below its least, and that is never less than its words need. The closing rest naturally has its share of
the slot, a tenth where the file does not say.

*The ease.* If breaths could be cut, there would be one number r, from -1 to 1, at which the class fills the slot when
everything is at its usual length plus r times the room above it (r > 0) or below it (r < 0). This is the glue of TeX.
It is found exactly, and shown as the ease.

*Whole breaths.* All single steps from the shortest class to the longest, a breath more in a hold or a pace a notch
slower, stand in one chain. Each is due at an ease of its own: breath n + 1 of a hold somewhere between the eases that
would give it n and n + 1 breaths, chosen so that what is due has at every moment about the length that it should have
(`turns`). The class takes every link that is due at its ease, so no hold is ever a breath away from its even share.

*The rest.* The holds by the clock take what is left over, in whole seconds, and the closing rest the last milliseconds.
If they cannot, the class takes some links more or fewer, as few as it can, until they can. Where there is no such
number, a pace that has room takes what is left; where there is none, the nearest number is taken and a note says so.

*A longer slot never takes a breath from a hold.* The chain does not depend on the slot. How many links are due only
grows with the ease; the ease grows with the slot, as the shares of the rests add to less than the whole of it; the
fewest links and the most with which the holds by the clock can fill the slot only grow with it; and a number kept
between two that only grow, only grows. A hold is its least and its links among those taken. (A hold by the clock does
give up to one breath of the others, when that comes in. A hold that grows past its most for its words does so in the
plan, and takes fewer breaths for them at a slower pace.)

Nothing is drawn at random, ties go to what comes first in the class, and the same file gives the same class.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from guide.plan.fitting.chain import Chain, Level, chain_of
from guide.plan.fitting.paces import NOTCHES
from guide.plan.fitting.resting import SECOND_MS, rested, roomy, shared_out, taken_ms
from guide.plan.fitting.room import Room, room_of
from guide.plan.fitting.telling import told
from guide.plan.length import length_ms
from guide.plan.shape import shapes
from guide.plan.timeline import Note, Timeline
from guide.sequence.steps import InBreaths, Step, Steps

#: A hold by the clock may have to be made longer so often, so that its words fit.
MOST_TRIES = 3

#: A pace that takes what is left over is found to this part of its room.
FINEST = 1 << 16


@dataclass(frozen=True, slots=True)
class Fitted:
    """A class as it fills its slot: the ease, None where nothing has room or no slot is given, and what gave."""

    steps: Steps
    ease: Fraction | None
    notes: tuple[Note, ...]

    def told(self, timeline: Timeline) -> Timeline:
        """The plan of these steps with the ease, and with what gave before all other notes."""
        ease = None if self.ease is None else round(float(self.ease), 4)
        return replace(timeline, ease=ease, notes=(*self.notes, *timeline.notes))


def fit(steps: Steps, word_ms: Mapping[str, int], sound_ms: Mapping[str, int]) -> Fitted:
    """The class with every hold, rest and pace set so that it fills its slot; without a slot, as it is.

    `word_ms` and `sound_ms` are as for `plan`; numbers that are counted aloud need no lengths yet.
    """
    if steps.slot_ms is None:
        return Fitted(steps, None, ())
    room = room_of(steps, steps.slot_ms, word_ms)
    chain = chain_of(room, steps.steps, word_ms)
    if not chain.links and not room.timed:
        return Fitted(steps, None, ())
    fitting = _Fitting(steps, steps.slot_ms, room, chain, word_ms, sound_ms)
    made, made_ms = fitting.fitted()
    return Fitted(made, fitting.ease, told(steps, made, room, fitting.ease, made_ms))


class _Fitting:
    """One run of `fit`; `shortest_ms` is the shortest that the class can be, its holds by the clock left aside."""

    def __init__(
        self,
        steps: Steps,
        slot_ms: int,
        room: Room,
        chain: Chain,
        word_ms: Mapping[str, int],
        sound_ms: Mapping[str, int],
    ) -> None:
        self.steps = steps
        self.slot_ms = slot_ms
        self.room = room
        self.chain = chain
        self.word_ms = word_ms
        self.sound_ms = sound_ms
        self.least_ms = taken_ms(room, [one.least_ms for one in room.timed])
        self.most_ms = taken_ms(room, [one.most_ms for one in room.timed])
        self.shortest_ms = self.without_rests_ms(self.at_level(chain.level(0)))
        self.ease = self._ease()

    def without_rests_ms(self, made: Sequence[Step]) -> int:
        """How long a class of these steps is, its holds by the clock that have room left aside."""
        shortest = rested(made, self.room, [one.least_ms for one in self.room.timed])
        steps = replace(self.steps, steps=tuple(shortest))
        return length_ms(steps, shapes(shortest, self.word_ms, self.sound_ms), self.sound_ms) - self.least_ms

    def at_level(self, level: Level) -> list[Step]:
        made = list(self.steps.steps)
        for breathed, ease in zip(self.room.paces, level.paces, strict=True):
            pace = breathed.at(ease)
            for number in breathed.numbers if pace != breathed.pace else ():
                made[number] = replace(made[number], pace=pace)
        for one, breaths in zip(self.room.counted, level.breaths, strict=True):
            for number in one.numbers:
                hold = made[number].hold
                assert isinstance(hold, InBreaths)
                made[number] = replace(made[number], hold=replace(hold, usual=breaths))
        return made

    def _even_ms(self, notch: int) -> Fraction:
        """How long the class would be at the ease `notch / NOTCHES`, if breaths could be cut."""
        ease = Fraction(notch, NOTCHES)
        rests = sum((one.spring().at(ease) for one in self.room.timed), Fraction(0))
        return self.shortest_ms + self.chain.even_ms(notch) + rests

    def _ease(self) -> Fraction:
        """The ease at which the class would fill its slot if breaths could be cut."""
        usual_ms = self._even_ms(0)
        way = 1 if self.slot_ms >= usual_ms else -1
        off_ms, ends = abs(self.slot_ms - usual_ms), range(NOTCHES + 1)

        def given_ms(notch: int) -> Fraction:
            return abs(self._even_ms(way * notch) - usual_ms)

        notch = min(bisect_left(ends, off_ms, key=given_ms), NOTCHES)
        before, after = given_ms(max(0, notch - 1)), given_ms(notch)
        if after == before:
            return Fraction(0)
        return way * min(Fraction(1), (notch - 1 + (off_ms - before) / (after - before)) / NOTCHES)

    def links(self) -> int:
        """How many links are taken: those due, or the nearest number with which the rests can fill the slot."""
        grown_ms, left_ms = self.chain.grown_ms, self.slot_ms - self.shortest_ms
        # Breaths begin on whole milliseconds, so that a hold may be off by half of one; no breath is given up for that.
        slack_ms = min(len(self.steps.steps) // 2, SECOND_MS // 2)
        fewest = bisect_left(grown_ms, left_ms - self.most_ms - slack_ms)
        most = bisect_right(grown_ms, left_ms - self.least_ms + slack_ms) - 1
        if fewest <= most:
            return min(max(self.chain.links_at(self.ease), fewest), most)
        if most < 0 or fewest == len(grown_ms):
            return min(fewest, len(grown_ms) - 1)
        short_ms = left_ms - self.most_ms - grown_ms[most]
        return most if short_ms <= grown_ms[fewest] + self.least_ms - left_ms else fewest

    def fitted(self) -> tuple[Steps, int]:
        """The class as near to its slot as it can be, and its length in ms."""
        links = self.links()
        made, made_ms = self.at(self.chain.level(links))
        off_ms = self.slot_ms - made_ms
        if abs(off_ms) < SECOND_MS or not self.chain.has_notches:
            return made, made_ms
        # The breaths of this number of links; if no pace fills the slot with these, those of the next one.
        for number in (links, links + (1 if off_ms > 0 else -1)):
            if 0 <= number < len(self.chain.grown_ms):
                made_by_pace, by_pace_ms = self.at(self.by_pace(self.chain.level(number)))
                if abs(self.slot_ms - by_pace_ms) < SECOND_MS:
                    return made_by_pace, by_pace_ms
        return made, made_ms

    def by_pace(self, level: Level) -> Level:
        """The same breaths at that pace at which the holds by the clock can take what is left over."""
        wanted_ms = self.slot_ms - self.shortest_ms - (self.least_ms + self.most_ms) // 2

        grown_ms = self.chain.paced(level)
        part = bisect_left(range(-FINEST, FINEST), True, key=lambda part: grown_ms(Fraction(part, FINEST)) >= wanted_ms)
        return replace(level, paces=tuple(Fraction(part - FINEST, FINEST) for _ in level.paces))

    def at(self, level: Level) -> tuple[Steps, int]:
        """The class at this level, with its holds by the clock as long as fills the slot, or nearly; and its length."""
        room, made = self.room, self.at_level(level)
        others_ms = self.without_rests_ms(made)
        for _ in range(MOST_TRIES):
            made = rested(made, room, shared_out(room, self.slot_ms - others_ms))
            narrower, held_ms = roomy(made, room, self.word_ms, self.sound_ms)
            if narrower == room:
                break
            room = narrower
        return replace(self.steps, steps=tuple(made)), others_ms + held_ms
