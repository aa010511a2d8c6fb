"""A key is pressed once, however long it is held; and every press counts."""

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from guide.live.key_presses import Presses

#: How often `due` is asked.
LOOK_S = 0.05


def given_out(comings: list[tuple[str, float]], phase_s: float = 0.0) -> list[str]:
    """What is given out for keys that come at those moments, looked at every 50 ms, and for a while after the last."""
    presses, found = Presses(), list[str]()
    look_s = phase_s
    for key, now_s in comings:
        while look_s < now_s:
            found += presses.due(look_s)
            look_s += LOOK_S
        found += presses.pressed(key, now_s)
    for _ in range(5):
        found += presses.due(look_s)
        look_s += LOOK_S
    return found


def held(delay_s: float, period_s: float, repeats: int, start_s: float = 10.0) -> list[tuple[str, float]]:
    """A key held down: it comes, again after the delay, and then every period."""
    return [("right", start_s)] + [("right", start_s + delay_s + n * period_s) for n in range(repeats)]


PHASES = st.floats(0, LOOK_S)


@settings(deadline=None)
@given(st.floats(0.21, 0.7), st.floats(0.02, 0.11), st.integers(2, 200), PHASES)
def test_a_key_held_down_is_one_press(delay_s: float, period_s: float, repeats: int, phase_s: float) -> None:
    assert given_out(held(delay_s, period_s, repeats), phase_s) == ["right"]


@pytest.mark.parametrize(
    ("delay_s", "period_s"),
    [(0.25, 0.0917), (0.66, 0.04), (0.5, 0.033), (0.25, 0.033), (0.375, 0.09), (0.225, 0.03)],
    ids=["Linux console", "X11", "Windows", "Windows, quickest", "macOS, usual", "macOS, quickest"],
)
def test_a_key_held_down_as_systems_repeat_it_is_one_press(delay_s: float, period_s: float) -> None:
    """How systems repeat: from memory."""
    assert given_out(held(delay_s, period_s, 50)) == ["right"]


@settings(deadline=None)
@given(st.lists(st.one_of(st.floats(0.8, 5), st.floats(0.13, 0.19)), max_size=20), PHASES)
def test_taps_are_a_press_each(gaps_s: list[float], phase_s: float) -> None:
    moments_s = [10.0]
    for gap_s in gaps_s:
        moments_s.append(moments_s[-1] + gap_s)
    assert given_out([("right", now_s) for now_s in moments_s], phase_s) == ["right"] * len(moments_s)


@settings(deadline=None)
@given(st.floats(0.3, 0.6), PHASES)
def test_two_taps_a_while_apart_are_two_presses(gap_s: float, phase_s: float) -> None:
    assert given_out([("right", 10.0), ("right", 10 + gap_s)], phase_s) == ["right", "right"]


@settings(deadline=None)
@given(st.lists(st.tuples(st.sampled_from("abcd"), st.floats(0, 2)), max_size=30), PHASES)
def test_no_press_is_lost_or_changes_its_turn_when_the_keys_differ(
    keys: list[tuple[str, float]], phase_s: float
) -> None:
    comings, now_s = list[tuple[str, float]](), 10.0
    for key, gap_s in keys:
        now_s += gap_s
        if not comings or comings[-1][0] != key:
            comings.append((key, now_s))
    assert given_out(comings, phase_s) == [key for key, _ in comings]


@settings(deadline=None)
@given(st.lists(st.tuples(st.sampled_from("ab"), st.floats(0, 1)), max_size=40), PHASES)
def test_nothing_is_given_out_that_did_not_come_and_no_change_of_key_is_lost(
    keys: list[tuple[str, float]], phase_s: float
) -> None:
    comings, now_s = list[tuple[str, float]](), 10.0
    for key, gap_s in keys:
        now_s += gap_s
        comings.append((key, now_s))
    found = given_out(comings, phase_s)
    assert len(found) <= len(comings)
    assert changes(found) == changes([key for key, _ in comings])


def changes(keys: list[str]) -> list[str]:
    return keys[:1] + [after for before, after in pairwise(keys) if after != before]


def test_a_doubtful_press_is_kept_back_just_long_enough() -> None:
    presses = Presses()
    assert presses.pressed("right", 0.0) == ("right",)
    assert presses.pressed("right", 0.5) == ()
    assert presses.due(0.6) == ()
    assert presses.due(0.625) == ("right",)
    assert presses.due(0.7) == ()


def test_a_doubtful_press_goes_before_another_key() -> None:
    presses = Presses()
    presses.pressed("right", 0.0)
    assert presses.pressed("right", 0.5) == ()
    assert presses.pressed("left", 0.55) == ("right", "left")


def test_a_quick_second_tap_is_done_at_once() -> None:
    presses = Presses()
    presses.pressed("right", 0.0)
    assert presses.pressed("right", 0.15) == ("right",)


def test_a_quick_second_tap_is_done_at_once_though_the_key_was_held_before() -> None:
    presses = Presses()
    comings = held(0.5, 0.033, 30)
    for key, now_s in comings:
        presses.pressed(key, now_s)
    rested_s = comings[-1][1] + 1
    assert presses.pressed("right", rested_s) == ("right",)
    assert presses.pressed("right", rested_s + 0.15) == ("right",)


def test_a_key_may_be_pressed_again_after_it_was_held() -> None:
    comings = held(0.5, 0.033, 30)
    again_s = comings[-1][1] + 0.3
    assert given_out([*comings, ("right", again_s), ("right", again_s + 0.9)]) == ["right"] * 3


@settings(deadline=None)
@given(st.floats(0.125, 0.6), st.integers(2, 20), st.integers(2, 20), PHASES)
def test_a_network_that_stumbles_while_a_key_is_held_makes_no_second_press(
    stumble_s: float, before: int, after: int, phase_s: float
) -> None:
    comings = held(0.5, 0.033, before)
    late_s = comings[-1][1] + stumble_s
    comings += [("right", late_s + n * 0.033) for n in range(after)]
    assert given_out(comings, phase_s) == ["right"]


def test_a_key_that_waited_unread_with_its_repeats_is_one_press() -> None:
    """An order may take longer than a held key needs to come again; then several are read at once."""
    presses = Presses()
    found = [*presses.pressed("right", 0.0)]
    for key in ("right", "right", "right"):
        found += presses.pressed(key, 0.4)
    assert found == ["right"]
    assert presses.due(0.6) == ()
