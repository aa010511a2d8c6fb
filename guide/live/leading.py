"""Leading a class: the course and the player held together, kept going, and written down.

`order` may come from any thread that reads keys; `tick` is called a few times a second by whoever shows the class. The
sound never waits for either.
"""

import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from guide.live.course import Course, Turn, held, in_breaths, in_time, period_ms, replanned
from guide.live.ending import kept_to
from guide.live.journal import Journal, Kept
from guide.live.orders import Order
from guide.live.outputs import opened
from guide.live.outputs.base import Output
from guide.live.player import MOST_GAIN, Player
from guide.live.record import Asked, Began, Record
from guide.live.turning import ordered
from guide.live.where import Where, where
from guide.plan.timeline import Timeline
from guide.problem import GuideError, MachineTrouble
from guide.sequence.steps import InBreaths
from guide.sound.mixer import Mix
from guide.units import frames_from_ms, ms_from_frames, whole_ms

#: A device that has not asked for sound for so long is gone, whatever it says (one stalls without a word).
STALLED_S = 1.0

#: A sound server may take so long to wake for the first time.
WAKES_S = 4.0

#: So often a device that is gone is tried again.
RETRY_S = 0.5

#: One step of voice or chimes, up or down: 2 dB.
GAIN_STEP = 10 ** (2 / 20)


@dataclass(frozen=True, slots=True)
class Scene:
    """What there is to show: where the class is, what was last told, and whether it waits, for the teacher or for the
    sound."""

    where: Where
    told: str
    is_paused: bool
    sound_lost: bool
    is_over: bool


class Leading:
    """One class being led.

    `remix` makes a mix of a plan, at the levels that the class has. Times are in ms of the class, moments in seconds of
    the steady clock.
    """

    def __init__(
        self,
        course: Course,
        remix: Callable[[Timeline], Mix],
        *,
        at_ms: int = 0,
        output: str | None = None,
        journal: Callable[[Where], Kept] | None = None,
        kept: Journal | None = None,
        record: Record | None = None,
        ends_in_ms: int | None = None,
    ) -> None:
        self._lock = threading.RLock()
        self._course = course
        self._remix = remix
        self._player = Player(remix(course.timeline), frames_from_ms(at_ms))
        self._asked_output = output
        self._output: Output | None = None
        self._pulled_s = 0.0
        self._tried_s = 0.0
        self._lost = False
        self._began_s = time.monotonic()
        self._told = ""
        self._step: int | None = None
        self._staying = False
        self._ended_ms: int | None = None
        self._voice = self._bells = 1.0
        self._journal, self._kept, self._record = journal, kept, record
        self._ends_s = None if ends_in_ms is None else self._began_s + ends_in_ms / 1000

    def start(self) -> None:
        """Open the output and begin.

        Raises:
            UnusableChoice: there is no such output.
            MachineTrouble: there is no sound to be had.
        """
        self._began_s = time.monotonic()
        self._pulled_s = self._began_s + WAKES_S
        self._output = opened(self._pull, self._asked_output)
        self._keep_end()

    def _pull(self, frames: int) -> NDArray[np.float32]:
        self._pulled_s = time.monotonic()
        return self._player.pull(frames)

    @property
    def at_ms(self) -> int:
        """Where the class is; one that was ended before its time stays where that was."""
        if self._ended_ms is not None:
            return self._ended_ms
        return min(ms_from_frames(self._player.position), self._course.timeline.length_ms)

    def scene(self) -> Scene:
        with self._lock:
            now = where(self._course, min(self.at_ms, self._course.timeline.length_ms - 1))
            # Without a device nothing can fade out any more.
            is_over = self._player.is_over or (self._ended_ms is not None and self._lost)
            return Scene(now, self._told, self._player.is_paused, self._lost, is_over)

    def order(self, order: Order) -> None:
        """Do as the teacher asks, at once."""
        with self._lock:
            at_ms = self.at_ms
            try:
                turn = self._obeyed(order, at_ms)
                if turn is not None:
                    self._turned(turn, at_ms)
                    self._keep_end()
            except (GuideError, KeyError):
                # A plan that would break a promise, or needs a number that was never spoken: the class stays as it is.
                self._told = f"{order.value}: that cannot be done here"
            self._write(Asked(order.value, self._real_ms(), self._told))

    def _obeyed(self, order: Order, at_ms: int) -> Turn | None:
        """What an order makes of the course; None where it is the player's, which has done it."""
        player = self._player
        match order:
            case Order.PAUSE if player.is_paused:
                player.go_on()
                self._told = "going on"
            case Order.PAUSE | Order.HUSH:
                player.pause()
                self._told = "paused" if order is Order.PAUSE else "silence"
            case Order.STAY:
                self._staying = not self._staying
                self._told = "held until told otherwise" if self._staying else "held as planned"
            case Order.VOICE_UP | Order.VOICE_DOWN | Order.CHIMES_UP | Order.CHIMES_DOWN:
                self._louder(order)
            case Order.QUIT:
                self._ended_ms = at_ms
                player.end()
                self._told = "ended"
            case _:
                self._staying = False
                return ordered(self._course, order, at_ms)
        return None

    def _louder(self, order: Order) -> None:
        factor = GAIN_STEP if order in (Order.VOICE_UP, Order.CHIMES_UP) else 1 / GAIN_STEP
        if order in (Order.VOICE_UP, Order.VOICE_DOWN):
            self._voice = min(MOST_GAIN, self._voice * factor)
        else:
            self._bells = min(MOST_GAIN, self._bells * factor)
        self._player.set_gains(self._voice, self._bells)
        self._told = order.value

    def _turned(self, turn: Turn, at_ms: int) -> None:
        """Go on as an order wants it that was given at `at_ms`."""
        position = frames_from_ms(turn.at_ms)
        if turn.course is not self._course:
            # The mix takes a moment to make, in which the old one goes on.
            before = self._player.position
            mix = self._remix(turn.course.timeline)
            self._player.swap(mix, position + self._player.position - before)
        elif turn.at_ms != at_ms:
            self._player.jump(position)
        self._course = turn.course
        self._told = turn.told

    def tick(self) -> None:
        """Keep the sound going, the end in reach, the hold held, and everything written down."""
        self._player.fetch_ahead()
        with self._lock:
            self._keep_sound()
            if self._player.trouble is not None:
                trouble, self._player.trouble = self._player.trouble, None
                self._told = f"a sound was left out: {trouble}"
            self._stay()
            now = where(self._course, min(self.at_ms, self._course.timeline.length_ms - 1))
            if now.step != self._step:
                self._step = now.step
                planned_ms = self._course.timeline.spans[now.step].start_ms
                self._write(Began(now.step, now.title, now.side or None, planned_ms, self._real_ms()))
            if self._kept is not None and self._journal is not None:
                try:
                    self._kept.note(self._journal(now), time.monotonic())
                except MachineTrouble as trouble:
                    self._told = str(trouble)

    def _stay(self) -> None:
        """While the teacher has asked to stay, a hold in its last breath is given one more."""
        if not self._staying or self._player.is_paused:
            return
        course, at_ms = self._course, self.at_ms
        number = course.number_at(at_ms)
        span, hold = course.timeline.spans[number], course.steps.steps[number].hold
        if hold is None or not span.hold_ms <= at_ms or span.held_ms - at_ms > whole_ms(period_ms(span)):
            return
        longer_ms = span.held_ms - span.hold_ms + whole_ms(period_ms(span))
        more = in_breaths(span.breaths + 1, hold) if isinstance(hold, InBreaths) else in_time(longer_ms, hold)
        try:
            self._turned(replanned(course, at_ms, self._told, steps=held(course, number, more)), at_ms)
        except (GuideError, KeyError):
            self._staying, self._told = False, "it cannot be held any longer"

    def _keep_end(self) -> None:
        """Fit what is to come, where the class is to end at a moment of the day."""
        if self._ends_s is None:
            return
        left_ms = int((self._ends_s - time.monotonic()) * 1000)
        at_ms = self.at_ms
        turn = kept_to(self._course, at_ms, at_ms + left_ms)
        if turn.course is not self._course:
            told = f"{self._told}; {turn.told}" if self._told and turn.told else turn.told or self._told
            self._turned(replace(turn, told=told), at_ms)

    def _keep_sound(self) -> None:
        """A device that has gone is opened again as soon as it can be; the class waits where it was."""
        now_s = time.monotonic()
        gone = self._output is None or not self._output.alive or now_s - self._pulled_s > STALLED_S
        if not gone or now_s - self._tried_s < RETRY_S:
            return
        self._tried_s = now_s
        if self._output is not None:
            self._output.stop()
            self._output = None
            self._lost = True
        try:
            self._output = opened(self._pull, self._asked_output)
        except MachineTrouble:
            return
        self._pulled_s = time.monotonic()
        self._lost = False

    def _real_ms(self) -> int:
        return int((time.monotonic() - self._began_s) * 1000)

    def _write(self, event: Asked | Began) -> None:
        if self._record is None:
            return
        try:
            self._record.add(event)
        except MachineTrouble as trouble:
            self._record = None
            self._told = str(trouble)

    def stop(self) -> None:
        """Close the output and what is written."""
        if self._output is not None:
            self._output.stop()
        if self._record is not None:
            self._record.close()
