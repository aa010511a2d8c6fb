"""A class led with a device of the test's own, which pulls when the test says so."""

import dataclasses
import itertools
import random
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from examples import FULL
from live_courses import course
from live_device import Device
from live_device import led as led_on
from pressing import LONGEST_S

from guide.live import steady_clock
from guide.live.controls import Controls
from guide.live.course import Course
from guide.live.journal import Bookmark, Journal
from guide.live.keys import KEYS
from guide.live.lead_loop import lead
from guide.live.leading import NEAR_MS, Leading
from guide.live.line_view import Lines
from guide.live.orders import Order
from guide.live.record import Asked, Began, Ended, Record, read
from guide.live.volume import Volume

CLASS = """
  - pose: mountain
    hold: 5 breaths
    say: none
  - both sides:
      - pose: tree
        hold: 4 to 6 breaths
        say: none
  - rest: 2 to 4 min
"""

ASKED, ENDED = "(once more to end)", "(ended)"


def led(device: Device, made: Course | None = None, **more: object) -> Leading:
    return led_on(device, made or course(CLASS), **more)


def test_a_class_is_where_the_device_has_pulled_it_to(device: Device) -> None:
    leading = led(device)
    device.play(12_345)
    assert leading.at_ms == 12_345
    assert leading.scene().moment.title == "mountain"


def test_a_jump_is_heard_at_once_and_shown(device: Device) -> None:
    leading = led(device)
    device.play(10_000)
    leading.order(Order.NEXT)
    assert (leading.scene().moment.title, leading.scene().moment.side) == ("tree", "right")
    assert leading.scene().told == "tree, right"
    device.play(1000)
    assert leading.scene().moment.title == "tree"


def test_a_hold_that_is_kept_until_told_otherwise_grows_by_itself(device: Device) -> None:
    leading = led(device)
    first = leading.scene().moment.breaths
    leading.order(Order.STAY)
    for _ in range(20):
        device.play(4000)
        leading.tick()
    assert leading.scene().moment.title == "mountain"
    assert leading.scene().moment.breaths > first
    leading.order(Order.STAY)
    for _ in range(4):
        device.play(4000)
        leading.tick()
    assert leading.scene().moment.title == "tree"


@pytest.mark.parametrize("into_ms", [1000, 3000, 6000])
def test_a_hold_that_is_let_go_ends_with_its_breath_and_is_late_beside_the_plan(
    device: Device, tmp_path: Path, into_ms: int
) -> None:
    made = course(CLASS)
    mountain, tree = made.timeline.spans[:2]
    breath_ms = int(mountain.period_ms)
    leading = led(device, made, record=Record(tmp_path / "record.jsonl"))
    leading.order(Order.STAY)
    # So far into the sixth breath of five.
    for _ in range(mountain.hold_ms + 5 * breath_ms + into_ms, 0, -250):
        device.play(250)
        leading.tick()
    leading.order(Order.STAY)
    assert leading.scene().told == "held as planned" and leading.scene().moment.breaths == 6
    while leading.scene().moment.title == "mountain":
        device.play(250)
        leading.tick()
    assert breath_ms <= leading.at_ms - tree.start_ms < breath_ms + 500
    leading.stop()
    began = [event for event in read(tmp_path / "record.jsonl") if isinstance(event, Began)]
    assert [event.planned_ms for event in began] == [mountain.start_ms, tree.start_ms]


def test_a_pause_stands_still_and_an_order_meanwhile_waits_for_going_on(device: Device) -> None:
    leading = led(device)
    device.play(10_000)
    leading.order(Order.PAUSE)
    device.play(5000)
    assert leading.at_ms == 10_000 and leading.scene().is_paused
    leading.order(Order.LONGER)
    leading.order(Order.PAUSE)
    device.play(1000)
    assert leading.at_ms == 11_000 and not leading.scene().is_paused


def opening(leading: Leading) -> None:
    """One try to open the device again, to its end."""
    leading._speaker._tried_s = 0.0
    leading.tick()
    if leading._speaker._opening is not None:
        leading._speaker._opening._thread.join(LONGEST_S)
        leading.tick()


def test_a_device_that_goes_is_opened_again_and_the_class_goes_on_where_it_was(device: Device) -> None:
    leading = led(device)
    device.play(10_000)
    device.alive, device.there = False, False
    leading.tick()
    assert leading.scene().sound_lost
    opening(leading)
    device.there = True
    opening(leading)
    leading.tick()
    assert not leading.scene().sound_lost
    device.play(1000)
    assert leading.at_ms == 11_000


def test_a_machine_that_slept_wakes_with_the_class_paused(device: Device, monkeypatch: pytest.MonkeyPatch) -> None:
    leading, now_s = led(device), steady_clock.now_s()
    device.play(10_000)
    leading.tick()
    monkeypatch.setattr(steady_clock, "now_s", lambda: now_s + 3600)
    leading.tick()
    assert leading.scene().is_paused
    assert leading.scene().told == "the machine was asleep: paused"
    device.play(5000)
    assert leading.at_ms == 10_000
    leading.order(Order.PAUSE)
    leading.tick()
    device.play(1000)
    assert leading.at_ms == 11_000


def test_setting_the_clock_of_the_machine_changes_nothing(device: Device, monkeypatch: pytest.MonkeyPatch) -> None:
    leading = led(device, ends_s=steady_clock.now_s() + course(CLASS).timeline.length_ms / 1000)
    before = leading.scene()
    monkeypatch.setattr("time.time", lambda: 0.0)
    leading.tick()
    leading.order(Order.CHIMES_UP)
    assert leading.scene().moment == before.moment and not leading.scene().is_paused


def test_lengths_that_are_learnt_change_what_is_to_come_and_keep_the_end(device: Device) -> None:
    made = course("  - say: Here we are.\n" + CLASS.removeprefix("\n"), head="slot: 5 min\n")
    last = "Tree, left side."
    leading = led(device, made, unspoken=frozenset({last}), fills_slot=True)
    device.play(1000)
    assert leading.scene().moment.left_ms == 5 * 60_000 - 1000
    longer = dict(made.word_ms) | {last: made.word_ms[last] + 4000}
    leading.learn(longer, frozenset())
    assert abs(leading.scene().moment.left_ms - (5 * 60_000 - 1000)) < 1000
    assert next(cue for cue in leading._course.timeline.cues if cue.words == last).length_ms == longer[last]
    assert leading.scene().moment.at_ms == 1000


def test_a_class_stands_still_before_words_that_are_not_spoken_yet(device: Device) -> None:
    made = course(CLASS)
    cue = next(cue for cue in made.timeline.cues if cue.words == "Tree, right side.")
    leading = led(device, made, unspoken=frozenset({"Tree, right side."}))
    device.play(cue.start_ms - NEAR_MS - 100)
    leading.tick()
    assert not leading.scene().is_paused
    device.play(200)
    leading.tick()
    assert leading.scene().is_paused
    assert leading.scene().told == "waiting for words that are being spoken"
    leading.learn(dict(made.word_ms), frozenset())
    leading.tick()
    assert not leading.scene().is_paused


def test_what_was_told_goes_after_a_while(device: Device, monkeypatch: pytest.MonkeyPatch) -> None:
    leading, now_s = led(device), steady_clock.now_s()
    leading.order(Order.VOICE_UP)
    assert leading.scene().told == "voice +2 dB"
    monkeypatch.setattr(steady_clock, "now_s", lambda: now_s + 60)
    assert leading.scene().told == ""


def test_the_end_is_kept_after_every_order(device: Device) -> None:
    made = course(CLASS)
    leading = led(device, made, ends_s=steady_clock.now_s() + made.timeline.length_ms / 1000)
    device.play(20_000)
    leading.order(Order.LONGER)
    # What was asked, and what gives for it.
    assert leading.scene().told == "mountain: 6 breaths; tree 6 breaths, was 5; rest 2:56, was 3:00"
    left_ms = leading.scene().moment.left_ms
    # The device of the test has pulled twenty seconds in no time, so that much is still to be filled.
    assert left_ms == made.timeline.length_ms


def test_what_happens_is_written_down_and_where_the_class_is_is_kept(device: Device, tmp_path: Path) -> None:
    def bookmark(step: int, course: Course, volume: Volume) -> Bookmark:
        return Bookmark("class.yaml", "0", step)

    journal, record = Journal(tmp_path, "class.yaml"), Record(tmp_path / "log.jsonl")
    leading = led(device, bookmark=bookmark, journal=journal, record=record)
    device.play(10_000)
    leading.tick()
    leading.order(Order.NEXT)
    leading.tick()
    leading.stop()
    events = read(tmp_path / "log.jsonl")
    assert [type(event) for event in events] == [Began, Asked, Began, Ended]
    assert journal.bookmark() == Bookmark("class.yaml", "0", 1)


def test_a_number_that_was_never_spoken_leaves_the_class_as_it_is(device: Device) -> None:
    made = course("  - pose: plank\n    hold: 3 breaths\n    count: voice\n    say: none\n")
    spoken = {text: ms for text, ms in made.word_ms.items() if text in {"Plank.", "1", "2", "3"}}
    leading = led(device, dataclasses.replace(made, word_ms=spoken))
    device.play(10_000)
    leading.order(Order.LONGER)
    assert leading.scene().told == "longer: that cannot be done here"
    assert leading.scene().moment.breaths == 3
    leading.order(Order.STAY)
    for _ in range(40):
        device.play(1000)
        leading.tick()
    assert leading.scene().is_over


def test_random_orders_leave_a_class_that_can_be_led_to_its_end(device: Device) -> None:
    leading, draw = led(device), random.Random(7)
    orders = [order for order in Order if order not in (Order.QUIT, Order.END)]
    assert Order.UNDO in orders
    for _ in range(200 if FULL else 60):
        device.play(draw.randrange(10, 8000))
        leading.order(draw.choice(orders))
        leading.tick()
    if leading.scene().is_paused:
        leading.order(Order.PAUSE)
    leading._staying = False
    device.play(leading.scene().moment.left_ms + 1000)
    assert leading.scene().is_over


def played(device: Device, leading: Leading, keys: Iterator[str]) -> list[str]:
    lines: list[str] = []

    def next_key() -> str:
        device.clock.s += 1
        device.play(1000)
        return next(keys, "")

    show(leading, lines, next_key)
    return lines


def show(leading: Leading, lines: list[str], keys: Callable[[], str]) -> None:
    controls = Controls(leading.order, KEYS)
    view = Lines(lines.append, keys, controls.typed)
    lead(leading, controls, view, lambda: view)


def test_a_line_is_shown_for_every_step_and_every_order(device: Device) -> None:
    keys = iter(["", "", "\x1b[C", "", "", "v", "q", "", "q"])
    lines = played(device, led(device), keys)
    assert lines[0].endswith("mountain, 5 breaths; next: tree, right")
    assert "tree, right, 5 breaths" in lines[1]
    assert [line[9:] for line in lines[2:]] == ["(voice +2 dB)", ASKED, ENDED]


def test_a_line_is_shown_when_the_sound_goes_and_when_it_is_back(device: Device) -> None:
    leading = led(device)
    turn = 0

    def next_key() -> str:
        nonlocal turn
        turn += 1
        device.clock.s += 1
        device.there = turn >= 3
        if turn > 1:
            opening(leading)
        if turn == 1:
            device.alive = False
        if device.alive:
            device.play(1000)
        return "q" if turn in (6, 8) else ""

    lines: list[str] = []
    show(leading, lines, next_key)
    assert [line[9:] for line in lines[1:]] == [
        "(the sound is gone; the class waits for it)",
        "(the sound is back)",
        ASKED,
        ENDED,
    ]


def test_a_key_held_down_is_one_order(device: Device, monkeypatch: pytest.MonkeyPatch) -> None:
    ticks = itertools.count()
    monkeypatch.setattr(steady_clock, "now_s", lambda: 100.0 + 0.01 * next(ticks))
    lines = played(device, led(device), iter(["\x1b[A", "\x1b[A", "\x1b[A", "q", *[""] * 50, "q"]))
    assert [line for line in lines if "(mountain: " in line] == [lines[1]]
