"""From keys to orders: once a press, from any thread, and whatever ends a program ends a class."""

import pytest

from guide.live import steady_clock
from guide.live.controls import Controls
from guide.live.keys import KEYS
from guide.live.orders import Order


class Clock:
    now_s = 100.0


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Clock:
    made = Clock()
    monkeypatch.setattr(steady_clock, "now_s", lambda: made.now_s)
    return made


def test_a_key_asks_for_its_order_and_one_without_for_nothing(clock: Clock) -> None:
    asked: list[Order] = []
    controls = Controls(asked.append, KEYS)
    controls.typed(["right", "esc", "x", "page up"])
    assert asked == [Order.NEXT, Order.AGAIN]


def test_a_key_held_down_in_a_terminal_is_one_order(clock: Clock) -> None:
    # The Linux console: first after 250 ms, then every 92 ms (from memory).
    asked: list[Order] = []
    controls = Controls(asked.append, KEYS)
    for moment_s in (0.0, 0.25, 0.342, 0.434, 0.526):
        clock.now_s = 100.0 + moment_s
        controls.typed(["up"])
        controls.tick()
    clock.now_s = 102.0
    controls.tick()
    assert asked == [Order.LONGER]


def test_a_second_press_is_an_order_of_its_own_once_that_is_clear(clock: Clock) -> None:
    asked: list[Order] = []
    controls = Controls(asked.append, KEYS)
    controls.typed(["up"])
    clock.now_s += 0.4
    controls.typed(["up"])
    clock.now_s += 0.05
    controls.tick()
    assert asked == [Order.LONGER]
    clock.now_s += 0.1
    controls.tick()
    assert asked == [Order.LONGER, Order.LONGER]


def test_a_device_that_knows_its_presses_is_believed(clock: Clock) -> None:
    asked: list[Order] = []
    controls = Controls(asked.append, KEYS)
    controls.pressed("page down")
    controls.pressed("page down")
    assert asked == [Order.NEXT, Order.NEXT]


def test_control_c_ends_whatever_was_learned(clock: Clock) -> None:
    asked: list[Order] = []
    controls = Controls(asked.append, {**KEYS, "ctrl c": None})
    controls.typed(["ctrl c"])
    assert asked == [Order.END]


def test_what_a_signal_asks_for_is_done_at_the_next_tick(clock: Clock) -> None:
    asked: list[Order] = []
    controls = Controls(asked.append, KEYS)
    controls.later(Order.END)
    assert asked == []
    controls.tick()
    controls.tick()
    assert asked == [Order.END]
