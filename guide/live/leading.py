"""Leading a class: the course and the player held together, kept going, and written down.

`order` may come from any thread that reads keys; `tick` is called a few times a second by whoever leads. The sound
never waits for either.
"""

from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import replace
from operator import is_not

from guide.live import steady_clock
from guide.live.apply_order import apply_order, one_breath_more
from guide.live.course import LEAD_MS, Course, OrderOutcome, renewed, replanned
from guide.live.end_on_time import NEAR_MS as ON_TIME_MS
from guide.live.end_on_time import kept_to, told_after
from guide.live.journal import Bookmark, Journal
from guide.live.orders import Order
from guide.live.player import EVERYWHERE, Ears, Player
from guide.live.record import Asked, Began, Ended, Paused, Record, WentOn
from guide.live.running import Running
from guide.live.scene import Scene
from guide.live.speakers.reconnecting import ReconnectingSpeaker
from guide.live.undoing import Before, OrderHistory, broken_from_ms, taken_back
from guide.live.volume import TURNS, USUAL, Volume
from guide.plan.moment import Moment, moment
from guide.plan.step_names import step_names
from guide.plan.timeline import Span, Timeline
from guide.problem import GuideError, MachineTrouble
from guide.sound.mixer import Mix
from guide.units import clock, frames_from_ms, ms_from_frames

#: What was told is shown for so long.
TOLD_S = 12.0

#: Words that begin within this time have to be there, or the class waits for them.
NEAR_MS = 1500

#: A machine that cannot plan a class within this time while it runs is too slow for that.
TOO_SLOW_MS = 60_000


class Leading(Running):
    """One class being led.

    `remix` makes a mix of a plan, at the levels that the class has. Times are in ms of the class, moments in seconds of
    the steady clock. `bookmark` tells what is kept in the `journal`. At `starts_s` the class is to begin, or when the
    teacher lets it; at `ends_s` it is to end. `unspoken` are the words of the course that are not spoken yet, and have
    estimated lengths; when their true lengths are learnt, a class that fills a slot still ends when it was to end. What
    `news` says is told.
    """

    def __init__(
        self,
        course: Course,
        remix: Callable[[Timeline], Mix],
        speaker: ReconnectingSpeaker,
        *,
        at_ms: int = 0,
        volume: Volume = USUAL,
        bookmark: Callable[[int, Course, Volume], Bookmark] | None = None,
        journal: Journal | None = None,
        record: Record | None = None,
        starts_s: float | None = None,
        ends_s: float | None = None,
        unspoken: frozenset[str] = frozenset(),
        fills_slot: bool = False,
        ears: Ears = EVERYWHERE,
        news: Callable[[], str] = str,
    ) -> None:
        super().__init__(record, journal)
        self._course, self._names = course, step_names(course.timeline.spans)
        self._remix, self._speaker = remix, speaker
        self._player = Player(remix(course.timeline), frames_from_ms(at_ms), ears)
        self._told_step: int | None = None
        self._step: int | None = None
        self._stayed: int | None = None
        self._planned: tuple[Span, ...] = ()
        self._staying = self._waits_for_words = self._stands = False
        self._unspoken, self._fills_slot = unspoken, fills_slot
        self._ended_ms: int | None = None
        self._volume, self._bookmark, self._news = volume, bookmark, news
        self._noted: tuple[int, Course, Volume] | None = None
        self._next_mark: Bookmark | None = None
        self._starts_s, self._ends_s, self._accepted_ms = starts_s, ends_s, 0
        self._lead_ms, self._history = LEAD_MS, OrderHistory()

    def start(self) -> None:
        """Let the class begin, over an output that is open."""
        self._begin_now()
        self._turn_to(self._volume)
        if self._starts_s is not None:
            self._player.pause()
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
            self._shown_tells = self._tells
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

    def _tell(self, what: str, step: int | None = None) -> None:
        """Show what an order led to; what is true of one step only is shown no longer than that lasts."""
        super()._tell(what)
        self._told_step = step if what else self._told_step

    @property
    def is_whole(self) -> bool:
        """Whether the class was led to its end, and not ended before."""
        return self._ended_ms is None and self._player.is_over

    def order(self, order: Order) -> None:
        """Do as the teacher asks, at once."""
        with self._lock:
            if self._ended_ms is not None or (order is Order.QUIT and not self._is_to_end()):
                return
            if order is not Order.QUIT:
                self._asked_to_end_s = None
            tells, at_ms = self._tells, self.at_ms
            before = Before(order, self._course, at_ms, self._volume, self._staying)
            try:
                jumped = self._obey(order, at_ms)
            except (GuideError, KeyError):
                # A plan that would break a promise, or needs a number that was never spoken: the class stays as it is.
                self._tell(f"{order.value}: that cannot be done here")
            else:
                self._history.remember(replace(before, jumped=jumped), self._course, self._volume, self._staying)
                self._keep_end(self._told if self._tells > tells else "")
            self._write(Asked(order.value, self._real_ms(), self._told if self._tells > tells else ""))
            self._note_standing()

    def _obey(self, order: Order, at_ms: int) -> bool:
        """Do what an order asks for; whether it went to another moment of the class."""
        match order:
            case Order.PAUSE if self._player.is_paused:
                self._go_on()
                self._tell("going on")
            case Order.PAUSE | Order.HUSH:
                # From now on it is the teacher who is waited for.
                self._waits_for_words = False
                self._player.pause()
                self._tell("paused" if order is Order.PAUSE else "silence")
            case Order.STAY:
                self._staying, at_step = not self._staying, self._course.number_at(at_ms)
                if not self._staying and self._stayed == at_step:
                    # The breath under way is the last one.
                    with suppress(GuideError, KeyError):
                        self._replan(lambda course: apply_order(course, Order.SHORTER, at_ms), at_ms)
                self._stayed = None
                self._tell("held until told otherwise" if self._staying else "held as planned")
            case _ if order in TURNS:
                self._turn_to(self._volume.turned(order))
                self._tell(self._volume.told(order))
            case Order.UNDO:
                before = self._history.last()
                if before is None:
                    self._tell("nothing to undo")
                    return False
                self._turn_to(before.volume)
                self._staying = before.stayed
                self._replan(lambda course: taken_back(before, course, at_ms), at_ms)
            case Order.QUIT | Order.END:
                self._ended_ms = at_ms
                self._player.end()
                self._tell("ended; its place is kept, for --resume" if self._notebook.keeps_place else "ended")
            case _:
                self._staying = False
                return self._replan(lambda course: apply_order(course, order, at_ms), at_ms)
        return False

    def _turn_to(self, volume: Volume) -> None:
        self._volume = volume
        self._player.set_gains(volume.voice, volume.bells, volume.music)

    def _go_on(self) -> None:
        """Go on where the class stands still; words that were broken off are said again from their beginning."""
        self._waits_for_words = False
        if self._starts_s is not None:
            self._starts_s = None
            self._begin_now()
        self._mend()
        self._player.go_on()

    def _mend(self) -> None:
        """Where nothing is heard now, go back to the beginning of words that were broken off."""
        at_ms = ms_from_frames(self._player.position)
        from_ms = broken_from_ms(self._course.timeline, at_ms)
        if from_ms != at_ms:
            self._player.rewind(frames_from_ms(from_ms))

    def _note_standing(self, why: str = "", at_s: float | None = None) -> None:
        """Write down that the class stands still, or goes on; `why` where no order led to it, since `at_s`."""
        if self._starts_s is not None:
            return
        stands = self._player.is_paused or self._speaker.is_lost
        if stands != self._stands:
            self._stands = stands
            real_ms = self._real_ms(at_s)
            self._write(Paused(real_ms, why) if stands else WentOn(real_ms))

    def _replan(self, plan: Callable[[Course], OrderOutcome], at_ms: int) -> bool:
        """Go on as `plan` makes it of the course for a moment; whether that is another moment.

        Where making the plan took so long that the class has come to what it may change, it is planned again with more
        of what is ahead settled: no word is cut, or said twice, however slow the machine is.

        Raises:
            GuideError, KeyError: the plan would break a promise, or this machine is too slow for it.
        """
        lead_ms = self._lead_ms
        while lead_ms <= TOO_SLOW_MS:
            began_s = steady_clock.now_s()
            turn = plan(replace(self._course, lead_ms=lead_ms))
            is_in_time = self._turned(turn, at_ms, at_ms + lead_ms)
            took_ms = int((steady_clock.now_s() - began_s) * 1000)
            if is_in_time:
                self._lead_ms = max(LEAD_MS, 2 * took_ms)
                return turn.at_ms != at_ms
            lead_ms = max(2 * lead_ms, self.at_ms - at_ms + 2 * took_ms)
        raise MachineTrouble("this machine is too slow to plan the class while it runs")

    def _turned(self, turn: OrderOutcome, at_ms: int, before_ms: int) -> bool:
        """Go on as an order wants it that was given at `at_ms`; False, and nothing done, where it comes too late.

        What begins before `before_ms` is as it was.
        """
        position, jumped = frames_from_ms(turn.at_ms), turn.at_ms != at_ms
        if turn.course.timeline is not self._course.timeline:
            mix = self._remix(turn.course.timeline)
            if jumped:
                self._player.swap(mix, position)
            elif not self._player.renew(mix, frames_from_ms(before_ms)):
                return False
        elif jumped:
            self._player.jump(position)
        if jumped:
            # A step that is begun again is written down again.
            self._step = None
        self._course = turn.course
        self._tell(turn.told, turn.course.number_at(turn.at_ms) if jumped else None)
        return True

    def learn(self, word_ms: Mapping[str, int], unspoken: frozenset[str]) -> None:
        """More of the words are spoken: go on with their true lengths, and end when the class was to end."""
        with self._lock:
            self._unspoken = unspoken
            at_ms, was_ms = self.at_ms, self._course.timeline.length_ms
            self._replan(lambda course: renewed(course, at_ms, word_ms), at_ms)
            if self._fills_slot and self._ends_s is None:
                at_ms = self.at_ms
                self._replan(lambda course: replace(kept_to(course, at_ms, was_ms), told=""), at_ms)
            self._keep_end()

    def tick(self) -> None:
        """Keep the sound going, the end in reach, the hold held, and everything written down."""
        self._player.fetch_ahead()
        with self._lock:
            self._keep_sound()
            if not self._has_begun():
                return
            self._wake()
            self._wait_for_words()
            self._note_standing("the sound was gone")
            self._stay()
            self._watch_end()
            now = self._where()
            # What orders make of the plan is no plan to be late beside.
            self._planned = self._planned or self._course.timeline.spans
            # While a bell of the class or a section rings, the step after it has not begun.
            if now.step != self._step and now.at_ms >= self._course.timeline.spans[now.step].start_ms:
                self._step, name, planned_ms = now.step, self._names[now.step], self._planned[now.step].start_ms
                self._write(Began(now.step, now.title, now.side or None, planned_ms, self._real_ms(), where=name))
            self._keep_place(now.step)

    def _keep_place(self, step: int) -> None:
        """Keep where the class is, and what orders have made of it, whenever that is not what it was."""
        noted = (step, self._course, self._volume)
        if self._bookmark is not None and (self._noted is None or any(map(is_not, noted, self._noted))):
            self._noted, self._next_mark = noted, self._bookmark(*noted)
        if self._next_mark is not None:
            self._notebook.keep(self._next_mark)

    def _has_begun(self) -> bool:
        """Whether the moment is there at which the class is to begin; how long it is until then is told."""
        if self._starts_s is None:
            return True
        left_ms = int((self._starts_s - steady_clock.now_s()) * 1000)
        if left_ms <= 0:
            self._go_on()
            self._keep_end()
            return True
        told = f"begins in {clock(left_ms)}"
        if not self._told.startswith("begins in"):
            self._tell(told)
        self._told, self._told_s = told, steady_clock.now_s()
        return False

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
        told = self._speaker.keep()
        if self._speaker.is_lost and not was_lost:
            self._mend()
        self._tell(told or self._news())
        self._tell(self._player.news())
        if was_lost and not self._speaker.is_lost:
            self._tell("the sound is back")

    def _wait_for_words(self) -> None:
        """Stand still before words that are not spoken yet. (A class begins only when that is not to be expected.)"""
        if not self._unspoken and not self._waits_for_words:
            return
        at_ms = self.at_ms
        near = (cue.words for cue in self._course.timeline.cues if abs(cue.start_ms - at_ms) < NEAR_MS)
        missing = any(words in self._unspoken for words in near)
        if missing and not self._player.is_paused:
            self._waits_for_words = True
            self._player.pause()
            self._note_standing("words were being spoken")
            self._tell("waiting for words that are being spoken")
        elif self._waits_for_words and not missing:
            self._go_on()

    def _stay(self) -> None:
        """While the teacher has asked to stay, a hold in its last breath is given one more."""
        if not self._staying or self._player.is_paused:
            return
        at_ms, course = self.at_ms, self._course
        stayed = one_breath_more(course, at_ms, self._lead_ms)
        if stayed is None:
            return
        with suppress(GuideError, KeyError):
            self._replan(lambda course: replanned(course, at_ms, "", steps=stayed), at_ms)
            self._stayed = course.number_at(at_ms)
        if self._course.timeline.length_ms == course.timeline.length_ms:
            self._staying = False
            self._tell("it cannot be held any longer")

    def _watch_end(self) -> None:
        """Fit what is to come again, where the end is no longer where it was: after a pause, a stay, lost sound."""
        stands = self._player.is_paused or self._speaker.is_lost or self._ended_ms is not None
        if self._ends_s is not None and not stands and abs(self._off_ms() - self._accepted_ms) >= ON_TIME_MS:
            self._keep_end()

    def _off_ms(self) -> int:
        """How much later the class will end than it was to."""
        assert self._ends_s is not None
        left_ms = self._course.timeline.length_ms - ms_from_frames(self._player.position)
        return int((steady_clock.now_s() - self._ends_s) * 1000) + left_ms

    def _keep_end(self, asked: str = "") -> None:
        """Fit what is to come, where the class is to end at a moment of the day; `asked` is what led to that."""
        if self._ends_s is None or self._player.is_paused:
            return
        at_ms, off_ms = self.at_ms, self._off_ms()
        end_ms, moved_ms = self._course.timeline.length_ms - off_ms, off_ms - self._accepted_ms
        with suppress(GuideError, KeyError):
            self._replan(lambda course: told_after(kept_to(course, at_ms, end_ms), course, asked, moved_ms), at_ms)
        self._accepted_ms = self._off_ms()

    def stop(self) -> None:
        """The class has been led: close what is written of it."""
        with self._lock:
            self._write(Ended(self._real_ms()))
        self._notebook.close()
