"""How a device takes sound, told by its pulls: too fast, in time, or dry."""

import pytest

from guide.live.speakers.device_timing import MOST_AHEAD_S, WINDOW_S, DeviceTiming
from guide.units import RATE_HZ

PIECE_S = 0.02
PIECE = round(PIECE_S * RATE_HZ)


def taken(timing: DeviceTiming, from_s: float, seconds: float, rate: float = 1.0, late_s: float = 0.0) -> float:
    """Pulls at the pace of sound, times `rate`, every other one late; gives when they end."""
    pieces = round(seconds * rate / PIECE_S)
    for number in range(pieces):
        timing.took(PIECE, from_s + number * PIECE_S / rate + late_s * (number % 2))
    return from_s + pieces * PIECE_S / rate


@pytest.mark.parametrize("off", [1 - 0.0001, 1.0, 1 + 0.0001])
def test_a_sound_card_whose_clock_is_a_little_off_keeps_time_for_hours(off: float) -> None:
    timing = DeviceTiming()
    for _ in range(10):
        timing.took(PIECE, 5.0)
    for number in range(36_000):
        timing.took(10 * PIECE, 5.0 + number * 10 * PIECE_S / off)
    assert not timing.is_too_fast and timing.dry_s == 0


def test_what_takes_everything_at_once_is_too_fast_before_two_seconds_of_it() -> None:
    timing = DeviceTiming()
    for _ in range(round(MOST_AHEAD_S / PIECE_S) - 1):
        timing.took(PIECE, 5.0)
    assert not timing.is_too_fast
    timing.took(2 * PIECE, 5.0)
    assert timing.is_too_fast


def test_what_takes_a_tenth_too_much_is_too_fast_in_time() -> None:
    timing = DeviceTiming()
    taken(timing, 0.0, 60, 1.1)
    assert timing.is_too_fast


def test_a_device_that_fell_silent_may_not_make_up_for_it_at_once() -> None:
    timing = DeviceTiming()
    until_s = taken(timing, 0.0, 10)
    for _ in range(round(10 / PIECE_S)):
        timing.took(PIECE, until_s + 10)
    assert timing.is_too_fast


def test_pulls_that_only_come_late_are_no_silence() -> None:
    timing = DeviceTiming()
    taken(timing, 0.0, 60, late_s=0.015)
    assert timing.dry_s == 0


def test_what_a_device_had_nothing_to_play_for_is_counted() -> None:
    timing = DeviceTiming()
    until_s = taken(timing, 0.0, 10)
    until_s = taken(timing, until_s + 0.25, 10)
    taken(timing, until_s + 0.125, 10 + 2 * WINDOW_S)
    assert timing.dry_s == pytest.approx(0.375, abs=0.03)
