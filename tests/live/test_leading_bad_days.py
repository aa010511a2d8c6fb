"""What a class that is led keeps on a bad day: its end, its words, its place, and the way back from a wrong order."""

import random
from itertools import pairwise

import pytest
from live_courses import course
from live_device import Device, led, remix

from guide.live import leading as leading_module
from guide.live.apply_order import apply_order
from guide.live.course import Course
from guide.live.orders import Order
from guide.live.resuming import changed, changes_of
from guide.live.undoing import broken_from_ms
from guide.plan.timeline import Timeline
from guide.units import ms_from_frames

CLASS = """
  - pose: mountain
    hold: 5 breaths
    say:
      - Stand with your feet below your hips, and your arms long beside you.
      - Spread your toes, and feel both feet alike.
  - both sides:
      - inhale: Lift your <side> leg high behind you.
      - exhale: Step your <side> foot between your hands.
      - pose: tree
        hold: 4 to 6 breaths
        say:
          - Root the standing foot.
          - Look at one point, softly.
  - rest: 2 to 6 min
"""

#: What the end of a class may be off.
END_MS = 500

#: A class of a few seconds.
BRIEF = "  - pose: mountain\n    hold: 1 breath\n    say: none\n  - rest: 2 s\n"


class Day:
    """A class that is to end at a moment; the device pulls as fast as the clock goes, for some time at once."""

    def __init__(self, device: Device, made: Course, ends_s: float | None) -> None:
        self.clock, self.device = device.clock, device
        self.ends_s = None if ends_s is None else self.clock.s + ends_s
        self.leading = led(device, made, ends_s=self.ends_s)

    def go_on(self, seconds: float, at_once_ms: int = 250) -> None:
        for _ in range(round(seconds * 1000 / at_once_ms)):
            self.clock.s += at_once_ms / 1000
            if self.device.alive:
                self.device.play(at_once_ms)
            self.leading.tick()

    def to_the_end(self) -> float:
        """Lead it to its end; how much later than asked it came, in ms."""
        while not (scene := self.leading.scene()).is_over:
            self.go_on(*((1,) if scene.left_ms > 5_000 else (0.05, 50)))
        assert self.ends_s is not None
        return (self.clock.s - self.ends_s) * 1000


@pytest.fixture
def day(device: Device) -> Day:
    made = course(CLASS)
    return Day(device, made, made.timeline.length_ms / 1000 + 60)


def test_a_pause_of_forty_seconds_moves_no_end(day: Day) -> None:
    day.go_on(20)
    day.leading.order(Order.PAUSE)
    day.go_on(40)
    day.leading.order(Order.PAUSE)
    assert abs(day.to_the_end()) <= END_MS


def test_a_hold_kept_for_a_minute_moves_no_end(day: Day) -> None:
    day.go_on(15)
    day.leading.order(Order.STAY)
    day.go_on(60)
    assert day.leading.scene().moment.title == "mountain"
    day.leading.order(Order.STAY)
    assert abs(day.to_the_end()) <= END_MS


def test_a_loudspeaker_that_is_gone_for_a_minute_moves_no_end(day: Day) -> None:
    day.go_on(20)
    day.device.alive = day.device.there = False
    day.go_on(60)
    assert day.leading.scene().sound_lost
    day.device.there = True
    while day.leading.scene().sound_lost:
        day.go_on(0.25)
    assert abs(day.to_the_end()) <= END_MS


def test_a_machine_that_slept_moves_no_end(day: Day) -> None:
    day.go_on(20)
    day.clock.s += 50
    day.go_on(5)
    assert day.leading.scene().is_paused
    day.leading.order(Order.PAUSE)
    assert abs(day.to_the_end()) <= END_MS


def test_silence_put_in_by_a_slow_machine_moves_no_end(day: Day) -> None:
    for _ in range(60):
        day.go_on(1)
        day.clock.s += 0.2
    assert abs(day.to_the_end()) <= END_MS


def test_an_end_that_cannot_be_kept_is_tried_once_and_told(device: Device, monkeypatch: pytest.MonkeyPatch) -> None:
    tried: list[int] = []
    kept_to = leading_module.kept_to
    monkeypatch.setattr(leading_module, "kept_to", lambda *given: tried.append(0) or kept_to(*given))
    day = Day(device, course(CLASS), 30)
    day.go_on(20)
    assert "later than asked: there is no more room" in day.leading.scene().told or tried == [0]
    assert len(tried) <= 2


def test_what_is_paused_inside_of_words_is_said_again_from_its_beginning(device: Device) -> None:
    made = course(CLASS)
    leading = led(device, made)
    cue = next(cue for cue in made.timeline.cues if cue.start_ms > 5000)
    device.play(cue.start_ms + 700)
    leading.order(Order.PAUSE)
    device.play(3000)
    leading.order(Order.PAUSE)
    assert leading.at_ms == cue.start_ms
    device.play(cue.length_ms + 50)
    leading.order(Order.PAUSE)
    device.play(1000)
    leading.order(Order.PAUSE)
    assert leading.at_ms == cue.end_ms + 50, "between words it goes on where it was"


def test_what_is_cut_by_a_loudspeaker_that_goes_is_said_again(device: Device) -> None:
    made = course(CLASS)
    leading = led(device, made)
    cue = next(cue for cue in made.timeline.cues if cue.start_ms > 5000)
    device.play(cue.start_ms + 700)
    device.alive = device.there = False
    leading.tick()
    assert leading.at_ms == cue.start_ms


CHANGES = [order for order in Order if order not in (Order.PAUSE, Order.HUSH, Order.QUIT, Order.END, Order.UNDO)]


@pytest.mark.parametrize("order", CHANGES, ids=lambda order: order.value)
def test_every_order_can_be_undone(device: Device, order: Order) -> None:
    made = course(CLASS)
    leading = led(device, made)
    for moment_ms in (8000, 20_000, 40_000):
        device.play(moment_ms - leading.at_ms)
        before, at_ms, loud = leading._course, leading.at_ms, leading._volume
        leading.order(order)
        leading.order(Order.UNDO)
        after = leading._course
        assert (after.timeline.length_ms, after.few, after.steps.steps) == (
            before.timeline.length_ms,
            before.few,
            before.steps.steps,
        )
        assert [cue.start_ms for cue in after.timeline.cues] == [cue.start_ms for cue in before.timeline.cues]
        assert leading.at_ms in (at_ms, broken_from_ms(before.timeline, at_ms))
        assert (leading._volume, leading._staying) == (loud, False)


def test_a_mistaken_leap_to_the_closing_rest_is_taken_back_after_a_while(device: Device) -> None:
    leading = led(device, course(CLASS))
    device.play(10_000)
    leading.order(Order.LONGER)
    leading.order(Order.REST)
    device.play(9000)
    assert leading.scene().moment.title == "rest"
    leading.order(Order.UNDO)
    assert (leading.scene().moment.title, leading.scene().told) == ("mountain", "undone: rest")
    assert leading.at_ms == broken_from_ms(leading._course.timeline, 10_000)
    assert leading.scene().moment.breaths == 6
    leading.order(Order.UNDO)
    assert leading.scene().moment.breaths == 5
    leading.order(Order.UNDO)
    assert leading.scene().told == "nothing to undo"


def test_the_end_is_asked_for_twice(device: Device) -> None:
    leading = led(device, course(CLASS))
    leading.order(Order.QUIT)
    assert leading.scene().told == "once more to end"
    leading.order(Order.VOICE_UP)
    leading.order(Order.QUIT)
    device.play(1000)
    assert not leading.scene().is_over
    device.clock.s += 60
    leading.order(Order.QUIT)
    device.play(1000)
    assert not leading.scene().is_over, "that was asked for a minute ago"
    leading.order(Order.QUIT)
    device.play(1000)
    assert leading.scene().is_over and not leading.is_whole


@pytest.mark.parametrize("takes_ms", [50, 400, 2500])
def test_no_order_cuts_a_word_or_says_it_twice_however_slow_the_machine(device: Device, takes_ms: int) -> None:
    """What is handed out is looked up in the plan that is in force: every cue from its beginning to its end, once."""
    made, draw = course(CLASS), random.Random(takes_ms)
    leading = led(device, made)
    heard: list[tuple[str, int, int]] = []

    def play(ms: int) -> None:
        """Ten ms at a time: which words are said there, and how far into them."""
        for _ in range(ms // 10):
            at_ms = ms_from_frames(leading._player.position)
            plan = leading._player._run.mix.timeline  # type: ignore[attr-defined]
            cue = next((cue for cue in plan.cues if cue.start_ms <= at_ms < cue.end_ms), None)
            if cue is not None:
                heard.append((cue.words, at_ms - cue.start_ms, cue.length_ms))
            device.clock.s += 0.01
            device.play(10)

    def slowly(timeline: Timeline) -> object:
        play(takes_ms)
        return Told(remix(timeline), timeline)

    leading._remix = slowly  # type: ignore[assignment]
    leading._player._run.mix = Told(leading._player._run.mix, made.timeline)  # type: ignore[assignment]
    orders = [Order.LONGER, Order.SHORTER, Order.SLOWER, Order.QUICKER, Order.FEWER_WORDS, Order.ALL_WORDS]
    for _ in range(40):
        play(draw.randrange(100, 3000))
        leading.order(draw.choice(orders))
        leading.tick()
    for (words, into_ms, length_ms), (next_words, next_ms, _) in pairwise(heard):
        goes_on = next_words == words and 0 <= next_ms - into_ms <= 20
        assert goes_on or (length_ms - into_ms <= 20 and next_ms < 20), (words, into_ms, length_ms, next_words, next_ms)


class Told:
    """A mix that knows its timeline."""

    def __init__(self, mix: object, timeline: Timeline) -> None:
        self._mix, self.timeline = mix, timeline

    def __getattr__(self, name: str) -> object:
        return getattr(self._mix, name)


def test_a_class_is_resumed_as_orders_had_made_it() -> None:
    made = now = course(CLASS)
    at_ms = made.timeline.spans[0].hold_ms + 1000
    for order in (Order.SLOWER, Order.FEWER_WORDS, Order.LONGER):
        now = apply_order(now, order, at_ms).course
    again = changed(made, changes_of(now, made.steps.steps), sorted(now.few))
    assert (again.steps.steps, again.few) == (now.steps.steps, now.few) != (made.steps.steps, made.few)
    spans = zip(again.timeline.spans, now.timeline.spans, strict=True)
    assert all(one.held_ms - one.hold_ms == other.held_ms - other.hold_ms for one, other in spans)


def test_what_was_kept_of_another_class_is_refused() -> None:
    made, other = course(CLASS), course("  - rest: 2 min\n")
    turn = apply_order(made, Order.SLOWER, 1000)
    with pytest.raises((ValueError, IndexError)):
        changed(other, changes_of(turn.course, made.steps.steps), [])


def test_a_class_begins_at_a_moment_and_tells_how_long_it_is_until_then(device: Device) -> None:
    made = course(CLASS)
    leading = led(device, made, starts_s=device.clock.s + 65)
    device.play(1000)
    leading.tick()
    assert (leading.scene().told, leading.at_ms) == ("begins in 1:05", 0)
    device.clock.s += 60
    leading.tick()
    assert leading.scene().told == "begins in 0:05" and leading.scene().tells == 1
    device.clock.s += 5
    leading.tick()
    device.play(1000)
    assert leading.at_ms == 1000


def test_a_class_that_waits_for_its_moment_begins_at_a_key(device: Device) -> None:
    leading = led(device, course(CLASS), starts_s=device.clock.s + 600)
    leading.order(Order.PAUSE)
    device.play(1000)
    assert leading.at_ms == 1000 and not leading.scene().is_paused


@pytest.mark.parametrize("order", CHANGES, ids=lambda order: order.value)
def test_an_order_to_a_class_that_is_over_comes_to_an_end(device: Device, order: Order) -> None:
    leading = led(device, course(BRIEF))
    device.play(leading.scene().moment.left_ms + 2000)
    assert leading.scene().is_over
    leading.order(order)
    assert leading.scene().told != f"{order.value}: that cannot be done here"
