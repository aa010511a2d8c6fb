"""Lengths as text: what is written reads back as the same length, and what is no length is refused."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from guide.sequence.length_text import (
    LONGEST_HOLD_MS,
    MOST_BREATHS,
    NotALength,
    read_hold,
    read_pattern,
    read_rate,
    read_share,
    read_time,
    read_time_range,
    write_hold,
    write_time,
)
from guide.sequence.model import ElasticPace
from guide.sequence.steps import InBreaths, InTime
from guide.sequence.written_paces import read_rates, split

BREATHS = some.integers(1, MOST_BREATHS)
HOLD_MS = some.integers(1_000, LONGEST_HOLD_MS)


@given(some.integers(0, 12 * 3_600_000))
@settings(deadline=None)
def test_a_time_that_is_written_reads_back(ms: int) -> None:
    assert read_time(write_time(ms)) == ms


@given(BREATHS, BREATHS)
@settings(deadline=None)
def test_a_hold_in_breaths_that_is_written_reads_back(one: int, other: int) -> None:
    least, most = sorted((one, other))
    hold = InBreaths(least, (least + most) // 2, most)
    assert read_hold(write_hold(hold)) == hold


@given(HOLD_MS, HOLD_MS)
@settings(deadline=None)
def test_a_hold_in_time_that_is_written_reads_back(one: int, other: int) -> None:
    hold = read_hold(f"{write_time(min(one, other))} to {write_time(max(one, other))}")
    assert isinstance(hold, InTime)
    assert (hold.least_ms, hold.most_ms) == (min(one, other), max(one, other))
    assert hold.least_ms <= hold.usual_ms <= hold.most_ms
    assert read_hold(write_hold(hold)) == hold


@given(some.text(max_size=40))
@settings(deadline=None)
def test_any_text_is_a_length_or_is_refused_with_what_to_write(text: str) -> None:
    for read in (read_time, read_time_range, read_hold, read_rate, read_rates, read_pattern, read_share):
        try:
            read(text)
        except NotALength as error:
            assert error.what
            assert error.fix


@given(some.integers(0, 9), some.integers(0, 59), some.integers(0, 59))
@settings(deadline=None)
def test_a_clock_is_hours_minutes_and_seconds(hours: int, minutes: int, seconds: int) -> None:
    assert read_time(f"{hours}:{minutes:02}:{seconds:02}") == 1000 * (hours * 3600 + minutes * 60 + seconds)


@pytest.mark.parametrize(
    ("text", "ms"),
    [
        ("45 s", 45_000),
        ("1:30", 90_000),
        ("1:02:03", 3_723_000),
        ("2 min", 120_000),
        ("2 min 30 s", 150_000),
        ("1.5 min", 90_000),
        ("90 seconds", 90_000),
        ("45s", 45_000),
        ("1 h 30 min", 5_400_000),
        ("0.25 s", 250),
    ],
)
def test_times_are_written_as_people_write_them(text: str, ms: int) -> None:
    assert read_time(text) == ms


@pytest.mark.parametrize(
    "text", ["", "45", "1:75", "1:2", "30 s 2 min", "2 min 3 min", "-5 s", "5 m", "1e3 s", "４ s", "s"]
)
def test_what_is_no_time_is_refused(text: str) -> None:
    with pytest.raises(NotALength):
        read_time(text)


@pytest.mark.parametrize(
    "text",
    ["5", "0 breaths", "301 breaths", "5 breaths breaths", "0.5 s", "4:00:01", "5.3 breaths", "4 to 5.5 breaths"],
)
def test_what_is_no_hold_is_refused(text: str) -> None:
    with pytest.raises(NotALength):
        read_hold(text)


@pytest.mark.parametrize("text", ["4 and a half breaths", "4.5 breaths", "4½ breaths"])
def test_a_hold_may_have_half_a_breath_more(text: str) -> None:
    assert read_hold(text) == InBreaths(4, 4, 4, and_a_half=True)
    assert write_hold(read_hold(text)) == "4.5 breaths"
    assert read_hold("4.5 to 6.5 breaths") == InBreaths(4, 5, 6, and_a_half=True)
    assert write_hold(read_hold("4.5 to 6.5 breaths")) == "4.5 to 6.5 breaths"


def test_the_usual_length_of_a_range_is_its_middle_rounded_down() -> None:
    assert read_hold("4 to 7 breaths") == InBreaths(4, 5, 7)
    assert read_hold("30 s to 45 s") == InTime(30_000, 37_000, 45_000)
    assert read_hold("1.5 s to 1.8 s") == InTime(1_500, 1_500, 1_800)


@given(some.integers(10, 300))
@settings(deadline=None)
def test_a_pace_by_the_minute_is_exact(tenths: int) -> None:
    pace = read_rate(f"{tenths // 10}.{tenths % 10} breaths a minute")
    assert pace.period_ms * Fraction(tenths, 10) == 60_000
    assert pace.inhale_ms == pace.exhale_ms


@given(some.integers(10, 300), some.integers(10, 300))
@settings(deadline=None)
def test_a_pace_with_room_is_exact_at_both_ends_and_usual_in_the_middle_of_its_breaths(one: int, other: int) -> None:
    few, many = sorted((one, other))
    usual, room = split(read_rates(f"{few / 10} to {many / 10} breaths a minute"))
    slowest, quickest = (room.slowest, room.quickest) if room else (usual, usual)
    assert (room is None) == (few == many)
    assert slowest.period_ms * Fraction(few, 10) == quickest.period_ms * Fraction(many, 10) == 60_000
    assert usual.period_ms == (slowest.period_ms + quickest.period_ms) / 2


def test_breaths_may_be_named_twice_in_a_pace_with_room() -> None:
    pace = read_rates("6 breaths to 7.5 breaths per minute")
    assert isinstance(pace, ElasticPace)
    assert pace == read_rates("6 to 7.5 breaths a minute")


@given(some.integers(1, 12 * 3_600_000), some.integers(1, 12 * 3_600_000))
@settings(deadline=None)
def test_a_share_is_one_time_of_another(one: int, other: int) -> None:
    if one != other:
        part, whole = sorted((one, other))
        assert read_share(f"{write_time(part)} in {write_time(whole)}") == Fraction(part, whole)


@pytest.mark.parametrize(
    "text", ["1 min", "1 min in", "10 min in 10 min", "0 s in 10 min", "1 in 10", "1 min of 10 min"]
)
def test_what_is_no_share_is_refused(text: str) -> None:
    with pytest.raises(NotALength):
        read_share(text)


def test_patterns_name_their_parts_in_the_order_of_the_breath() -> None:
    # In, full, out, empty: 4-7-8 lasts 19 s and box breathing 16 s (common practice, no source).
    assert sum(read_pattern("4-7-8").parts) == 19
    assert read_pattern("4-7-8").parts == (4, 7, 8, 0)
    assert sum(read_pattern("4-4-4-4").parts) == 16
    assert read_pattern("1:2").parts == (1, 0, 2, 0)
    assert read_pattern("1:2").in_seconds is False
    assert read_pattern("box").parts == (1, 1, 1, 1)
