"""A class that is led, beside a model of a few lines that always knows its place and its sound."""

from collections import Counter
from collections.abc import Callable, Mapping
from typing import ClassVar

import numpy as np
import pytest
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
)
from live_courses import JUMPS
from live_machine import BELLS_LOUDEST, LOUDEST, STEEPEST, Clock, Device, telling
from live_small_classes import CLASSES, class_of
from pressing import LONGEST_S

from guide.live import course as course_module
from guide.live import steady_clock
from guide.live.apply_order import JUST_BEGUN_MS
from guide.live.leading import NEAR_MS, Leading
from guide.live.orders import Order
from guide.live.player import FADE_FRAMES, MOST_GAIN
from guide.live.speakers import reconnecting as sounding_module
from guide.live.speakers.reconnecting import RETRY_S, STALLED_S, ReconnectingSpeaker
from guide.live.steady_clock import SLEPT_S
from guide.live.volume import GAIN_STEP
from guide.plan import checker
from guide.plan.estimate import EstimatedLengths
from guide.plan.timeline import Timeline
from guide.problem import GuideError
from guide.sequence.steps import StepKind, Steps
from guide.sound import mixer
from guide.sound.mixer import Mix
from guide.units import RATE_HZ, frames_from_ms, ms_from_frames

ORDERS = [order for order in Order if order not in (Order.QUIT, Order.END, Order.UNDO)]
CHANGES = [Order.LONGER, Order.SHORTER, Order.STAY, Order.SLOWER, Order.QUICKER, Order.FEWER_WORDS, Order.ALL_WORDS]
GAINS = {
    Order.VOICE_UP: (GAIN_STEP, 1.0, 1.0),
    Order.VOICE_DOWN: (1 / GAIN_STEP, 1.0, 1.0),
    Order.CHIMES_UP: (1.0, GAIN_STEP, 1.0),
    Order.CHIMES_DOWN: (1.0, 1 / GAIN_STEP, 1.0),
    Order.MUSIC_UP: (1.0, 1.0, GAIN_STEP),
    Order.MUSIC_DOWN: (1.0, 1.0, 1 / GAIN_STEP),
}


def heard_from_ms(timeline: Timeline, number: int) -> int:
    """Where a step begins, or the words of a move that lead it."""
    said_ms = [cue.start_ms for cue in timeline.cues if cue.step == number]
    return min([timeline.spans[number].start_ms, *said_ms])


class Classes(RuleBasedStateMachine):
    """One class being led. `place` is the frame that is to be heard next, as the model knows it."""

    given: ClassVar[Counter[Order]] = Counter()
    plans: ClassVar[int] = 0

    def __init__(self) -> None:
        super().__init__()
        self.patched = pytest.MonkeyPatch()
        self.clock, self.device = Clock(), Device()
        self.patched.setattr(steady_clock, "now_s", self.clock.now_s)
        self.patched.setattr(sounding_module, "time", self.clock)
        self.patched.setattr(sounding_module, "opened", self.device.open)
        self.patched.setattr(sounding_module.DeviceTiming, "is_too_fast", False)
        self.patched.setattr(course_module, "prove", self.prove)
        self.broken: list[GuideError] = []
        self.proved: list[tuple[Steps, Timeline, Mapping[str, int]]] = []
        self.mixes: list[tuple[Timeline, Mix]] = []
        self.place, self.is_paused, self.waits = 0, False, False
        self.gains: tuple[float, ...] = (1.0, 1.0, 1.0)
        # What the gains turn to just now, and for how many frames still; what is asked for meanwhile waits for that.
        self.turns_to, self.turns_for = self.gains, 0
        self.last: np.ndarray | None = None
        # The moments of the changes that may still fade, in frames heard.
        self.heard = 0
        self.changes: list[int] = []

    @initialize(
        name=st.sampled_from(sorted(CLASSES)),
        part=st.sampled_from([0.0, 0.0, 0.4]),
        ends_in_s=st.one_of(st.none(), st.integers(-20, 60)),
        unspoken=st.integers(0, 3),
    )
    def begin(self, name: str, part: float, ends_in_s: int | None, unspoken: int) -> None:
        made = class_of(name)
        self.first = made.timeline
        spans = made.timeline.spans
        at_ms = spans[int(part * len(spans))].start_ms
        words = list(dict.fromkeys(cue.words for cue in made.timeline.cues if cue.start_ms > at_ms + NEAR_MS))
        self.unspoken = frozenset(words[len(words) - unspoken :]) if unspoken else frozenset()
        self.sounding = ReconnectingSpeaker()
        self.sounding.open()
        self.leading = Leading(
            made,
            self.remix,
            self.sounding,
            at_ms=at_ms,
            ends_s=None if ends_in_s is None else self.clock.s + (made.timeline.length_ms - at_ms) / 1000 + ends_in_s,
            unspoken=self.unspoken,
            fills_slot=ends_in_s is None,
        )
        self.place, self.ticked_s, self.keeps_end = frames_from_ms(at_ms), self.clock.s, ends_in_s is not None
        self.changing(self.leading.start)

    def teardown(self) -> None:
        self.patched.undo()

    def remix(self, timeline: Timeline) -> Mix:
        self.mixes = [*self.mixes[-3:], (timeline, telling(frames_from_ms(timeline.length_ms), Classes.plans))]
        Classes.plans += 1
        return self.mixes[-1][1]

    def prove(self, steps: Steps, timeline: Timeline, word_ms: Mapping[str, int]) -> None:
        """As the program does it, but a promise that is broken is remembered: nothing may hide it."""
        try:
            checker.prove(steps, timeline, word_ms)
        except GuideError as error:
            self.broken.append(error)
            raise
        self.proved = [*self.proved[-5:], (steps, timeline, word_ms)]

    @property
    def timeline(self) -> Timeline:
        return self.leading._course.timeline

    @property
    def mix(self) -> Mix:
        return next(mix for timeline, mix in self.mixes if timeline is self.timeline)

    @property
    def at_ms(self) -> int:
        return min(ms_from_frames(self.place), self.timeline.length_ms)

    def changing(self, do: Callable[..., None], *asked: object) -> None:
        """Do something after which sound may fade: once for every new mix, and for a jump, a pause or a gain."""
        before = (self.leading._player.position, self.leading._player.is_paused, self.gains)
        plans = Classes.plans
        do(*asked)
        after = (self.leading._player.position, self.leading._player.is_paused, self.gains)
        fades = Classes.plans - plans + sum(one != other for one, other in zip(before, after, strict=True))
        self.changes += [self.heard] * fades

    @property
    def plays(self) -> bool:
        return self.device.plays

    @precondition(lambda self: self.plays)
    @rule(length_ms=st.integers(1, 3000), block=st.integers(200, 6000))
    def play(self, length_ms: int, block: int) -> None:
        left = frames_from_ms(length_ms)
        while left > 0:
            self.pull(min(block, left))
            left -= block

    @precondition(lambda self: self.plays)
    @rule(frames=st.integers(1, 1500))
    def pull(self, frames: int) -> None:
        self.clock.s += frames / RATE_HZ
        both = self.device.lines[-1].pull(frames)
        sound = both[:, 0]
        assert np.array_equal(sound, both[:, 1])
        self.turn(frames)
        clean = max([0, *(moment + FADE_FRAMES - self.heard for moment in self.changes)])
        if self.turns_to != self.gains:
            clean = frames
        if self.is_paused:
            assert not sound[clean:].any(), "silence while paused"
        else:
            assert np.array_equal(sound[clean:], self.expected(frames)[clean:]), "no frame lost, none doubled"
            self.place += frames
        self.smooth(sound, clean)
        self.heard += frames
        self.changes = [moment for moment in self.changes if moment + FADE_FRAMES > self.heard]

    def turn(self, frames: int) -> None:
        """Let the gains turn, in a pull of so many frames, at whose beginning the next turn may begin."""
        if not self.turns_for and self.turns_to != self.gains:
            self.turns_to, self.turns_for = self.gains, FADE_FRAMES
            self.changes.append(self.heard)
        self.turns_for = max(0, self.turns_for - frames)

    def expected(self, frames: int) -> np.ndarray:
        # No class here has music.
        voice, bells, _ = map(np.float32, self.gains)
        mix = self.mix
        return mixer.bells(mix, self.place, frames) * bells + mixer.voice(mix, self.place, frames) * voice

    def smooth(self, sound: np.ndarray, clean: int) -> None:
        """No step is larger than the fades under way allow: each goes in equal parts, at most from all to nothing.

        A gain on its way is such a fade too. Without any there is only the step of the sound itself.
        """
        steps = np.abs(np.diff(sound, prepend=sound[:1] if self.last is None else self.last))
        self.last = sound[-1:]
        own = STEEPEST * MOST_GAIN + 1e-6
        allowed = own + len(self.changes) * MOST_GAIN * (LOUDEST + BELLS_LOUDEST) / FADE_FRAMES
        assert steps[: clean + 1].max(initial=0.0) <= allowed
        assert steps[clean + 1 :].max(initial=0.0) <= own

    @precondition(lambda self: self.plays)
    @rule(seconds=st.integers(1, 15))
    def lead(self, seconds: int) -> None:
        for _ in range(seconds):
            self.play(1000, 6000)
            self.tick()

    @rule()
    def tick(self) -> None:
        if self.clock.s - self.ticked_s > SLEPT_S and (self.waits or not self.is_paused):
            self.is_paused, self.waits = True, False
        self.ticked_s = self.clock.s
        missing = any(
            cue.words in self.unspoken and abs(cue.start_ms - self.at_ms) < NEAR_MS for cue in self.timeline.cues
        )
        if missing and not self.is_paused:
            self.is_paused = self.waits = True
        elif self.waits and not missing:
            self.is_paused = self.waits = False
            self.mend()
        self.changing(self.ticked)

    def cut(self) -> None:
        """The device is no longer pulled: what is heard next follows on silence."""
        self.last = None
        self.mend()

    def mend(self) -> None:
        """Words that were broken off are said again from their beginning."""
        broken = [cue for cue in self.timeline.cues if cue.start_ms < self.at_ms < cue.end_ms]
        for cue in broken:
            self.place = frames_from_ms(cue.start_ms)

    def ticked(self) -> None:
        """A tick, and the opening of a device to its end, should one have begun."""
        self.leading.tick()
        if self.sounding._opening is not None:
            self.sounding._opening._thread.join(LONGEST_S)

    @rule(order=st.sampled_from(ORDERS))
    def order(self, order: Order) -> None:
        Classes.given[order] += 1
        before, at_ms, place = self.timeline, self.at_ms, self.place
        if order in GAINS:
            self.gains = tuple(min(MOST_GAIN, had * by) for had, by in zip(self.gains, GAINS[order], strict=True))
        elif order is Order.PAUSE or order is Order.HUSH:
            if order is Order.PAUSE and self.is_paused:
                self.mend()
            self.is_paused, self.waits = order is Order.HUSH or not self.is_paused, False
        self.changing(self.leading.order, order)
        if order in JUMPS:
            self.place = self.landed(before, order, at_ms, place)

    def landed(self, before: Timeline, order: Order, at_ms: int, place: int) -> int:
        """The frame where a jump must land: where the told step begins in the plan that is now in force."""
        begun = [each for each in range(len(before.spans)) if heard_from_ms(before, each) <= at_ms]
        ended = sum(span.end_ms <= at_ms for span in before.spans)
        number = min(max([ended, *begun]), len(before.spans) - 1)
        to = self.told_step(before, order, number, at_ms)
        if to is None:
            return place
        if to == len(before.spans):
            end_ms = self.timeline.spans[-1].end_ms
            to_ms = end_ms if at_ms < end_ms else self.timeline.length_ms
        elif order in (Order.NEXT, Order.REST):
            # With the bell of its section, if it has one, which rings where the step before has ended.
            to_ms = min(self.timeline.spans[to - 1].end_ms, heard_from_ms(self.timeline, to)) if to else 0
        else:
            to_ms = heard_from_ms(self.timeline, to)
        return place if to_ms == at_ms else frames_from_ms(to_ms)

    def told_step(self, before: Timeline, order: Order, number: int, at_ms: int) -> int | None:
        """Which step an order goes to, None where it goes nowhere."""
        spans = before.spans
        match order:
            case Order.NEXT:
                return number + 1
            case Order.PREVIOUS:
                return max(0, number - 1)
            case Order.AGAIN:
                return number if at_ms - heard_from_ms(before, number) >= JUST_BEGUN_MS else max(0, number - 1)
            case Order.REST:
                # The rest that closes each of these classes is their last step.
                closing = len(spans) - 1
                return closing if spans[closing].start_ms > at_ms else None
        side = spans[number].side
        if side is None:
            return None
        # There is one thing with sides in each of these classes, and the way out of it.
        wanted = [each for each, span in enumerate(spans) if span.side is not None]
        assert {spans[each].kind for each in wanted} <= {StepKind.POSE, StepKind.MOVE, StepKind.TALK}
        again = order is Order.SIDE_AGAIN
        return next(each for each in wanted if (spans[each].side is side) == again)

    @rule(orders=st.lists(st.sampled_from([*ORDERS, *CHANGES]), min_size=2, max_size=5), gap=st.integers(0, 1200))
    def burst(self, orders: list[Order], gap: int) -> None:
        """Orders closer together than a fade."""
        for order in orders:
            self.order(order)
            if gap and self.plays:
                self.pull(gap)

    @rule(percent=st.integers(60, 160), all_of_them=st.booleans())
    @precondition(lambda self: self.unspoken)
    def learn(self, percent: int, all_of_them: bool) -> None:
        learnt = sorted(self.unspoken)[0 if all_of_them else -1 :]
        lengths = EstimatedLengths(0.75)
        lengths.update(self.leading._course.word_ms)
        lengths.update((words, lengths[words] * percent // 100) for words in learnt)
        self.unspoken -= frozenset(learnt)
        self.changing(self.leading.learn, lengths, self.unspoken)

    @precondition(lambda self: self.plays)
    @rule()
    def lose(self) -> None:
        self.device.go()
        self.clock.s += RETRY_S + 0.1
        self.cut()
        self.tick()
        assert self.leading.scene().sound_lost

    @precondition(lambda self: self.plays)
    @rule()
    def stall(self) -> None:
        """The device says nothing for a while, and is opened anew."""
        self.pull(100)
        stalled = self.device.lines[-1]
        self.clock.s += STALLED_S + 0.1
        self.cut()
        self.tick()
        self.tick()
        assert self.device.lines[-1] is not stalled
        assert not self.leading.scene().sound_lost

    @precondition(lambda self: not self.plays)
    @rule(seconds=st.integers(1, 8))
    def wait(self, seconds: int) -> None:
        self.clock.s += seconds
        self.tick()

    @precondition(lambda self: not self.plays)
    @rule()
    def give_back(self) -> None:
        """The class goes on within two seconds of ticks."""
        self.device.is_there = True
        for _ in range(8):
            self.clock.s += 0.25
            self.tick()
            if not self.sounding.is_lost:
                break
        assert self.plays and not self.leading.scene().sound_lost

    @invariant()
    def the_class_is_where_the_model_has_it(self) -> None:
        if not hasattr(self, "leading"):
            return
        scene, player = self.leading.scene(), self.leading._player
        assert player.position == self.place, (player.position, self.place, scene.told)
        assert self.leading.at_ms == self.at_ms
        assert player.trouble is None
        assert (scene.is_paused, scene.moment.at_ms) == (self.is_paused, min(self.at_ms, self.timeline.length_ms - 1))
        assert scene.is_over == (self.place >= self.mix.length_frames and not player._leaving)

    @invariant()
    def the_plan_in_force_is_proved(self) -> None:
        assert not self.broken, str(self.broken[0])
        if not hasattr(self, "leading") or self.timeline is self.first:
            return
        proof = next((proof for proof in self.proved if proof[1] is self.timeline), None)
        assert proof is not None, "no plan is in force without a proof"
        assert checker.breaches(*proof) == ()
