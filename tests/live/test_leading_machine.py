"""Random orders at random moments to a class that is led: a model of a few lines always knows its place and its sound.

The device is one of the test's own, and pulls when told. Every sample tells its frame and its plan, so what is heard
outside the fades must be, bit for bit, the frame that the model expects.
"""

import os

import pytest
from examples import FULL
from hypothesis import HealthCheck, settings
from hypothesis.stateful import run_state_machine_as_test
from live_led import ORDERS, Classes

from guide.live.orders import Order

#: So many orders at least, others in every full check.
ORDERS_GIVEN = int(os.environ.get("ORDERS_GIVEN", "2000"))


def waiting() -> Classes:
    """A class that stands still before words that are not spoken yet."""
    made = Classes()
    made.begin("bells", 0.4, None, 3)
    while not made.waits:
        made.lead(1)
    assert made.leading.scene().told == "waiting for words that are being spoken"
    return made


@pytest.mark.parametrize("orders", [[Order.HUSH], [Order.PAUSE, Order.PAUSE]])
def test_a_class_that_waits_for_words_and_is_paused_then_waits_for_the_teacher(orders: list[Order]) -> None:
    made = waiting()
    for order in orders:
        made.order(order)
    made.learn(100, True)
    made.tick()
    assert made.leading.scene().is_paused
    made.order(Order.PAUSE)
    made.lead(1)
    made.the_class_is_where_the_model_has_it()
    assert not made.leading.scene().is_paused
    made.teardown()


def test_a_machine_that_sleeps_while_words_are_waited_for_wakes_with_the_class_paused() -> None:
    made = waiting()
    made.clock.s += 3600
    made.tick()
    assert made.leading.scene().told == "the machine was asleep: paused"
    made.learn(100, True)
    made.tick()
    assert made.leading.scene().is_paused
    made.teardown()


def test_an_output_that_was_let_go_and_wakes_gets_no_frame_of_the_class() -> None:
    made = Classes()
    made.begin("bells", 0.0, None, 0)
    stalled = made.device.lines[-1]
    made.stall()
    assert made.device.lines[-1] is not stalled
    assert not stalled.pull(1000).any()
    made.the_class_is_where_the_model_has_it()
    made.teardown()


def led(examples: int, steps: int) -> None:
    checks = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.filter_too_much]
    Classes.given.clear()
    Classes.plans = 0
    run_state_machine_as_test(
        Classes,
        settings=settings(
            max_examples=examples, stateful_step_count=steps, deadline=None, suppress_health_check=checks
        ),
    )
    print(f"{Classes.given.total()} orders given, {Classes.plans} plans made")


def test_a_class_is_where_it_should_be_after_whatever_orders() -> None:
    led(examples=20 if FULL else 8, steps=25)
    assert Classes.given.total() > 0


@pytest.mark.slow
def test_thousands_of_orders_break_no_promise_and_lose_no_sample() -> None:
    led(examples=ORDERS_GIVEN // 12, steps=50)
    assert Classes.given.total() >= ORDERS_GIVEN
    assert set(Classes.given) == set(ORDERS)
