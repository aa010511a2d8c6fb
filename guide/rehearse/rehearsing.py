"""A rehearsal under way: which change it is, how long that has gone on, and everything written down.

`order` may come from any thread that reads keys; `tick` is called a few times a second by whoever shows it.
"""

from bisect import bisect_right
from collections.abc import Sequence
from fractions import Fraction

from guide.live import steady_clock, volume
from guide.live.apply_order import JUST_BEGUN_MS
from guide.live.orders import Order
from guide.live.record import BY_VOICE, Answered, Asked, Began, Ended, Event, Opened, Paused, Record, WentOn
from guide.live.running import Running
from guide.live.scene import Check, LineKind, Ready, Script, ScriptLine
from guide.plan.moment import begins_ms
from guide.plan.step_names import step_names
from guide.plan.timeline import Span, Timeline
from guide.rehearse.changes import Change, within
from guide.rehearse.listener import Listener
from guide.rehearse.rehearsal_sound import RehearsalSound
from guide.rehearse.script import around, marked_line, marks, named, script_lines
from guide.sequence.steps import StepKind, Steps
from guide.units import clock

#: What was told is shown for so long.
TOLD_S = 8.0

#: Where a voice is listened to, nobody has to press a key at the end: so long after it, and quiet, it is over.
UNATTENDED_MS = 300_000


class Rehearsing(Running):
    """One class being rehearsed, change by change. Until it is begun, by a key or by `start`, it shows what is ready.

    Counted time, in ms from the beginning, leaves out pauses and what was gone back on. `listener` tells, where there
    is a microphone, which step a voice lets one expect; it is asked at every tick. `events` are all that happened,
    `opened` the first of them, which is written down already.
    """

    def __init__(
        self,
        steps: Steps,
        timeline: Timeline,
        changes: Sequence[Change],
        sounds: RehearsalSound,
        record: Record,
        opened: Opened,
        listener: Listener | None = None,
    ) -> None:
        super().__init__(record)
        self._steps, self._timeline, self._changes = steps, timeline, changes
        self._names = step_names(timeline.spans)
        self._lines = script_lines(timeline)
        self._marks_ms = marks(self._lines)
        self._sounds, self._listening = sounds, listener
        self.events: list[Event] = [opened]
        self._number = 0
        self._counted_ms: list[int] = []
        self._since_s = self._began_s
        self._paused_s: float | None = None
        self._stood_s = 0.0
        self.has_begun = self._is_over = False

    def start(self) -> None:
        """Let the first step begin."""
        with self._lock:
            self.has_begun = True
            self._begin_now()
            if self._listening is not None:
                self._listening.begin()
            self._begin(0, 0)

    def order(self, order: Order) -> None:
        """Do as the teacher asks, at once."""
        with self._lock:
            if not self.has_begun:
                self._obey_before(order)
                return
            if self._is_over or (order is Order.QUIT and not self._is_to_end()):
                return
            if order is not Order.QUIT:
                self._asked_to_end_s = None
            self._write(Asked(order.value, self._real_ms(), ""))
            self._obey(order)

    def _obey_before(self, order: Order) -> None:
        """Begin, or leave; nothing is lost by leaving, so that it is not asked back. Other keys are for later."""
        match order:
            case Order.NEXT | Order.PAUSE if not self._is_over:
                self.start()
            case Order.QUIT | Order.END:
                self._is_over = True
                self._sounds.end()

    def _obey(self, order: Order) -> None:
        match order:
            case Order.PAUSE if self._paused_s is not None:
                self._go_on()
                self._tell("going on")
            case Order.PAUSE | Order.HUSH:
                self._pause()
                self._tell("paused")
            case Order.NEXT | Order.AGAIN | Order.PREVIOUS if self._paused_s is not None:
                self._go_on()
                self._move(order)
            case Order.NEXT | Order.AGAIN | Order.PREVIOUS:
                self._move(order)
            case Order.QUIT | Order.END:
                self._end()
            case _ if order in volume.TURNS:
                self._tell(self._sounds.louder(order))
            case _:
                self._tell(f"{order.value}: that is for a class that is led")

    def _move(self, order: Order) -> None:
        into_ms = self._into_ms()
        if order is Order.NEXT:
            self._next()
            return
        is_before = order is Order.PREVIOUS or into_ms < JUST_BEGUN_MS
        number = max(0, self._number - is_before)
        self._begin(number, self._counted_ms[number])
        self._tell(f"again: {self._name(number)}")

    def _next(self, by: str = "") -> None:
        number, counted_ms = self._number + 1, self._counted_ms[self._number] + self._into_ms()
        if number < len(self._changes):
            self._begin(number, counted_ms, by)
        else:
            self._number = number
            self._end()

    def _begin(self, number: int, counted_ms: int, by: str = "") -> None:
        """Let a change begin now."""
        self._number, self._since_s = number, steady_clock.now_s()
        del self._counted_ms[number:]
        self._counted_ms.append(counted_ms)
        span = self._first(number)
        side = span.side.value if span.side else None
        first = self._changes[number].first
        self._write(Began(first, span.title, side, span.start_ms, self._real_ms(), by, self._names[first]))
        self._sounds.begin(self._heard_from_ms(number), self._heard_from_ms(number + 1))
        if self._listening is not None and not by:
            self._listening.began(self._changes[number].first, self._moment_ms())

    def _first(self, number: int) -> Span:
        return self._timeline.spans[self._changes[number].first]

    def _heard_from_ms(self, number: int) -> int:
        """From when on a change is heard in the plan, with the words that lead it; after the last one, the end."""
        if number == len(self._changes):
            return self._timeline.length_ms
        return begins_ms(self._timeline, self._changes[number].first)

    def _until_ms(self, number: int) -> int:
        """When the plan has the next change, or the end."""
        return self._first(number + 1).start_ms if number + 1 < len(self._changes) else self._timeline.length_ms

    def _planned_ms(self, number: int) -> int:
        """How long a change lasts in the plan: the last one until its step is over."""
        is_last = number + 1 == len(self._changes)
        end_ms = self._timeline.spans[-1].end_ms if is_last else self._until_ms(number)
        return end_ms - self._first(number).start_ms

    def _name(self, number: int) -> str:
        return named(self._first(number))

    def _opening(self, number: int) -> str:
        """What a change begins with: the words of a move, or a name."""
        first = self._changes[number].first
        said = next((line.text for line in self._lines if line.step == first and line.kind is LineKind.WORDS), "")
        return said if said and self._timeline.spans[first].kind is StepKind.MOVE else self._name(number)

    def _into_ms(self) -> int:
        """How long this change has gone on."""
        now_s = steady_clock.now_s() if self._paused_s is None else self._paused_s
        return int((now_s - self._since_s) * 1000)

    def _pause(self, at_s: float | None = None, why: str = "") -> None:
        if self._paused_s is None:
            self._paused_s = steady_clock.now_s() if at_s is None else at_s
            self._sounds.pause()
            self._write(Paused(self._real_ms(self._paused_s), why))

    def _go_on(self) -> None:
        if self._paused_s is not None:
            stood_s = steady_clock.now_s() - self._paused_s
            self._since_s += stood_s
            self._stood_s += stood_s
            self._paused_s = None
            self._sounds.go_on()
            self._write(WentOn(self._real_ms()))

    def _end(self) -> None:
        self._is_over = True
        self._sounds.end()
        self._write(Ended(self._real_ms()))

    def tick(self) -> None:
        """Look after the sound, notice that the machine has slept, and follow a voice."""
        told = self._sounds.keep()
        with self._lock:
            self._tell(told)
            since_s = self._slept_since()
            if since_s is not None and self.has_begun and not self._is_over:
                self._pause(since_s, "the machine was asleep")
                self._tell("the machine was asleep: paused")
            self._follow()

    def _follow(self) -> None:
        """Let the next change begin where a voice that is listened to tells that it has."""
        if self._listening is None or self._is_over:
            return
        real_ms = self._real_ms()
        spoken = [*self._listening.heard(real_ms)]
        if not self.has_begun:
            return
        for event in spoken:
            self._write(event)
        if self._paused_s is not None:
            return
        if self._number + 1 == len(self._changes):
            late_ms = self._into_ms() - self._planned_ms(self._number)
            if min(late_ms, self._listening.quiet_ms(real_ms)) > UNATTENDED_MS:
                self._end()
        elif self._listening.step(self._moment_ms()) >= self._changes[self._number + 1].first:
            self._next(BY_VOICE)

    def _moment_ms(self) -> int:
        """How long the class has run, without pauses; what was gone back on counts."""
        now_s = steady_clock.now_s() if self._paused_s is None else self._paused_s
        return int((now_s - self._began_s - self._stood_s) * 1000)

    def scene(self) -> Script | Ready:
        """What there is to show now."""
        with self._lock:
            if not self.has_begun:
                return self._ready()
            self._shown_tells = self._tells
            number = min(self._number, len(self._changes) - 1)
            change, into_ms, planned_ms = self._changes[number], self._into_ms(), self._planned_ms(number)
            into_plan_ms = min(into_ms, planned_ms)
            script_ms = self._first(number).start_ms + into_plan_ms
            marked = marked_line(self._lines, self._marks_ms, script_ms, change.last)
            from_line, to_line = around(self._lines, marked)
            due = next((at for at, line in enumerate(self._lines) if line.step > change.last), len(self._lines))
            return self._script(number, script_ms, self._lines[from_line:to_line], marked - from_line, due - from_line)

    def _ready(self) -> Ready:
        """What a rehearsal that waits for its first key has at hand."""
        spans, sounds = self._timeline.spans, self._sounds
        changes = f"{len(self._changes)} change{'s' * (len(self._changes) > 1)}"
        length_ms = spans[-1].end_ms - spans[0].start_ms
        checks = [
            Check("class", True, f"{clock(length_ms)}, {changes}"),
            Check("sound", not sounds.is_lost, "gone" if sounds.is_lost else sounds.name),
        ]
        if self._listening is not None:
            checks.append(Check("microphone", True, self._listening.state))
        checks += [Check("begin", True, "space, or next"), Check("keys", True, "? lists them")]
        return Ready(self._timeline.title, tuple(checks), length_ms, self._is_over and sounds.is_over)

    def _script(self, number: int, script_ms: int, lines: tuple[ScriptLine, ...], marked: int, due: int) -> Script:
        into_ms, planned_ms = self._into_ms(), self._planned_ms(number)
        spans, step = self._timeline.spans, self._step_at(self._changes[number], script_ms)
        span = spans[step]
        begins_ms = self._first(number).start_ms - spans[0].start_ms
        return Script(
            title=self._timeline.title,
            section=self._steps.sections[span.section].title if span.section is not None else "",
            name=span.title,
            side=span.side.value if span.side else "",
            step=step,
            into_ms=into_ms,
            planned_ms=planned_ms,
            breath=_breath(span, script_ms),
            breaths=span.breaths,
            behind_ms=self._counted_ms[number] - begins_ms + max(0, into_ms - planned_ms),
            left_ms=max(0, spans[-1].end_ms - script_ms),
            at_ms=self._counted_ms[number] + into_ms,
            lines=lines,
            marked=marked,
            due=due,
            next_name=self._opening(number + 1) if number + 1 < len(self._changes) else "",
            told=self._told if steady_clock.now_s() - self._told_s < TOLD_S else "",
            tells=self._tells,
            is_paused=self._paused_s is not None,
            listens=self._listening.state if self._listening is not None else "",
            sound_lost=self._sounds.is_lost,
            is_over=self._is_over and self._sounds.is_over,
        )

    def _step_at(self, change: Change, script_ms: int) -> int:
        """The step of a change that the plan has at a moment."""
        starts_ms = [self._timeline.spans[number].start_ms for number in within(change)]
        return change.first + max(0, bisect_right(starts_ms, script_ms) - 1)

    def _write(self, event: Event) -> None:
        # What happened is known, and told at the end, even where it cannot be written down.
        self.events.append(event)
        super()._write(event)

    def answer(self, step: int, at_ms: int) -> None:
        """Write down when a step began, as the teacher says afterwards, in counted time."""
        with self._lock:
            self._write(Answered(step, at_ms, self._names[step]))

    def stop(self) -> None:
        """Close what is written; a rehearsal that is broken off ends here."""
        with self._lock:
            if self.has_begun and not self._is_over:
                self._write(Asked(Order.END.value, self._real_ms(), ""))
                self._end()
        self._notebook.close()


def _breath(span: Span, script_ms: int) -> int:
    """Which breath of a hold the plan has at a moment, from 1; 0 where none is counted."""
    if not span.breaths or not span.hold_ms <= script_ms < span.held_ms:
        return 0
    return min(span.breaths, int((script_ms - span.hold_ms) / Fraction(span.period_ms)) + 1)
