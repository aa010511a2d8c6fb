"""Leading a class: the course and the player held together, kept going, and written down.

`order` may come from any thread that reads keys; `tick` is called a few times a second by whoever leads. The sound
never waits for either.
"""

from collections.abc import Callable, Mapping
from dataclasses import replace

from guide.live import steady_clock
from guide.live.apply_order import apply_order
from guide.live.course import Course, OrderOutcome, held, in_breaths, in_time, period_ms, renewed, replanned
from guide.live.end_on_time import kept_to
from guide.live.journal import Bookmark, Journal
from guide.live.orders import Order
from guide.live.player import Player
from guide.live.record import Asked, Began, Ended, Paused, Record, WentOn
from guide.live.running import Running
from guide.live.scene import Scene
from guide.live.speakers.reconnecting import ReconnectingSpeaker
from guide.live.volume import Volume
from guide.plan.moment import Moment, moment
from guide.plan.timeline import Timeline
from guide.problem import GuideError, MachineTrouble
from guide.sequence.steps import InBreaths
from guide.sound.mixer import Mix
from guide.units import frames_from_ms, ms_from_frames, whole_ms

#: What was told is shown for so long.
TOLD_S = 12.0

#: Words that begin within this time have to be there, or the class waits for them.
NEAR_MS = 1500


class Leading(Running):
    """One class being led.

    `remix` makes a mix of a plan, at the levels that the class has. Times are in ms of the class, moments in seconds of
    the steady clock. `unspoken` are the words of the course that are not spoken yet, and have estimated lengths; when
    their true lengths are learnt, a class that fills a slot still ends when it was to end.
    """

    def __init__(
        self,
        course: Course,
        remix: Callable[[Timeline], Mix],
        speaker: ReconnectingSpeaker,
        *,
        at_ms: int = 0,
        journal: Callable[[Moment], Bookmark] | None = None,
        kept: Journal | None = None,
        record: Record | None = None,
        ends_in_ms: int | None = None,
        unspoken: frozenset[str] = frozenset(),
        fills_slot: bool = False,
    ) -> None:
        super().__init__(record)
        self._course = course
        self._remix = remix
        self._speaker = speaker
        self._player = Player(remix(course.timeline), frames_from_ms(at_ms))
        self._told_step: int | None = None
        self._step: int | None = None
        self._staying = self._waits_for_words = self._stands = False
        self._unspoken, self._fills_slot = unspoken, fills_slot
        self._ended_ms: int | None = None
        self._loudness = Volume()
        self._journal, self._kept = journal, kept
        self._ends_s = None if ends_in_ms is None else self._began_s + ends_in_ms / 1000

    def start(self) -> None:
        """Let the class begin, over an output that is open."""
        self._begin_now()
        self._speaker.source = self._player.pull
        with self._lock:
            self._keep_end()

    @property
    def at_ms(self) -> int:
        """Where the class is; one that was ended before its time stays where that was."""
        if self._ended_ms is not None:
            return self._ended_ms
        return min(ms_from_frames(self._player.position), self._course.timeline.length_ms)

    def _where(self) -> Moment:
        return moment(self._course.timeline, min(self.at_ms, self._course.timeline.length_ms - 1))

    def scene(self) -> Scene:
        """What there is to show now."""
        with self._lock:
            lost, now = self._speaker.is_lost, self._where()
            is_news = steady_clock.now_s() - self._told_s < TOLD_S and self._told_step in (None, now.step)
            return Scene(
                title=self._course.steps.title,
                moment=now,
                told=self._told if is_news else "",
                tells=self._tells,
                is_paused=self._player.is_paused,
                sound_lost=lost,
                # Without a device nothing can fade out any more.
                is_over=self._player.is_over or (self._ended_ms is not None and lost),
            )

    def tell(self, what: str) -> None:
        """Show something to the teacher that no order of hers led to."""
        with self._lock:
            self._tell(what)

    def _tell(self, what: str, step: int | None = None) -> None:
        """Show what an order led to; what is true of one step only is shown no longer than that lasts."""
        super()._tell(what)
        self._told_step = step if what else self._told_step

    def order(self, order: Order) -> None:
        """Do as the teacher asks, at once."""
        with self._lock:
            tells, at_ms = self._tells, self.at_ms
            try:
                turn = self._obeyed(order, at_ms)
                if turn is not None:
                    self._turned(turn, at_ms)
                    self._keep_end(turn.told)
            except (GuideError, KeyError):
                # A plan that would break a promise, or needs a number that was never spoken: the class stays as it is.
                self._tell(f"{order.value}: that cannot be done here")
            self._write(Asked(order.value, self._real_ms(), self._told if self._tells > tells else ""))
            self._note_standing()

    def _obeyed(self, order: Order, at_ms: int) -> OrderOutcome | None:
        """What an order makes of the course; None where it is the player's, which has done it."""
        player = self._player
        match order:
            case Order.PAUSE if player.is_paused:
                self._waits_for_words = False
                player.go_on()
                self._tell("going on")
            case Order.PAUSE | Order.HUSH:
                # From now on it is the teacher who is waited for.
                self._waits_for_words = False
                player.pause()
                self._tell("paused" if order is Order.PAUSE else "silence")
            case Order.STAY:
                self._staying = not self._staying
                self._tell("held until told otherwise" if self._staying else "held as planned")
            case Order.VOICE_UP | Order.VOICE_DOWN | Order.CHIMES_UP | Order.CHIMES_DOWN:
                self._loudness = self._loudness.turned(order)
                player.set_gains(self._loudness.voice, self._loudness.bells)
                self._tell(order.value)
            case Order.QUIT:
                self._ended_ms = at_ms
                player.end()
                self._tell("ended")
            case _:
                self._staying = False
                return apply_order(self._course, order, at_ms)
        return None

    def _note_standing(self, why: str = "", at_s: float | None = None) -> None:
        """Write down that the class stands still, or goes on; `why` where no order led to it, since `at_s`."""
        stands = self._player.is_paused or self._speaker.is_lost
        if stands != self._stands:
            self._stands = stands
            real_ms = self._real_ms(at_s)
            self._write(Paused(real_ms, why) if stands else WentOn(real_ms))

    def _turned(self, turn: OrderOutcome, at_ms: int) -> None:
        """Go on as an order wants it that was given at `at_ms`."""
        position = frames_from_ms(turn.at_ms)
        if turn.course is not self._course:
            mix = self._remix(turn.course.timeline)
            if turn.at_ms == at_ms:
                self._player.renew(mix)
            else:
                self._player.swap(mix, position)
        elif turn.at_ms != at_ms:
            self._player.jump(position)
        if turn.at_ms != at_ms:
            # A step that is begun again is written down again.
            self._step = None
        self._course = turn.course
        self._tell(turn.told, None if turn.at_ms == at_ms else turn.course.number_at(turn.at_ms))

    def learn(self, word_ms: Mapping[str, int], unspoken: frozenset[str]) -> None:
        """More of the words are spoken: go on with their true lengths, and end when the class was to end."""
        with self._lock:
            self._unspoken = unspoken
            at_ms, was_ms = self.at_ms, self._course.timeline.length_ms
            self._turned(renewed(self._course, at_ms, word_ms), at_ms)
            if self._fills_slot and self._ends_s is None:
                self._turned(replace(kept_to(self._course, at_ms, was_ms), told=""), at_ms)
            self._keep_end()

    def tick(self) -> None:
        """Keep the sound going, the end in reach, the hold held, and everything written down."""
        self._player.fetch_ahead()
        with self._lock:
            self._wake()
            self._keep_sound()
            self._wait_for_words()
            self._note_standing("the sound was gone")
            self._stay()
            now = self._where()
            planned_ms = self._course.timeline.spans[now.step].start_ms
            # While a bell of the class or a section rings, the step after it has not begun.
            if now.step != self._step and now.at_ms >= planned_ms:
                self._step = now.step
                self._write(Began(now.step, now.title, now.side or None, planned_ms, self._real_ms()))
            if self._kept is not None and self._journal is not None:
                try:
                    self._kept.note(self._journal(now), steady_clock.now_s())
                except MachineTrouble as trouble:
                    self._kept = None
                    self._tell(str(trouble))

    def _wake(self) -> None:
        """After the machine has slept, the class waits for the teacher."""
        since_s = self._slept_since()
        if since_s is not None and (self._waits_for_words or not self._player.is_paused):
            self._waits_for_words = False
            self._player.pause()
            self._note_standing("the machine was asleep", since_s)
            self._tell("the machine was asleep: paused")

    def _keep_sound(self) -> None:
        was_lost = self._speaker.is_lost
        self._speaker.keep()
        if self._player.trouble is not None:
            trouble, self._player.trouble = self._player.trouble, None
            self._tell(f"a sound was left out: {trouble}")
        if was_lost and not self._speaker.is_lost:
            self._tell("the sound is back")

    def _wait_for_words(self) -> None:
        """Stand still before words that are not spoken yet. (A class begins only when that is not to be expected.)"""
        if not self._unspoken and not self._waits_for_words:
            return
        at_ms = self.at_ms
        missing = any(
            cue.words in self._unspoken and at_ms - NEAR_MS < cue.start_ms < at_ms + NEAR_MS
            for cue in self._course.timeline.cues
        )
        if missing and not self._player.is_paused:
            self._waits_for_words = True
            self._player.pause()
            self._note_standing("words were being spoken")
            self._tell("waiting for words that are being spoken")
        elif self._waits_for_words and not missing:
            self._waits_for_words = False
            self._player.go_on()

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
            turn = replanned(course, at_ms, "", steps=held(course, number, more))
        except (GuideError, KeyError):
            turn = OrderOutcome(course, at_ms, "")
        if turn.course.timeline.spans[number].held_ms == span.held_ms:
            self._staying = False
            turn = OrderOutcome(course, at_ms, "it cannot be held any longer")
        self._turned(turn, at_ms)

    def _keep_end(self, asked: str = "") -> None:
        """Fit what is to come, where the class is to end at a moment of the day; `asked` is what led to that."""
        if self._ends_s is None:
            return
        left_ms = int((self._ends_s - steady_clock.now_s()) * 1000)
        at_ms = self.at_ms
        turn = kept_to(self._course, at_ms, at_ms + left_ms)
        if turn.course is not self._course:
            # That it ends on time is seen beside the clock.
            told = f"{asked}; {turn.told.removeprefix('ends on time; ')}" if asked and turn.told else turn.told
            self._turned(replace(turn, told=told), at_ms)

    def stop(self) -> None:
        """The class has been led: close what is written of it."""
        self._write(Ended(self._real_ms()))
        self._close()
