"""The new length of a hold, and the style in which it is written: in the words of the file, and reading back as meant.

No outside source: the rounding is our own, told in the module.
"""

from fractions import Fraction

import pytest
from examples import tried
from hypothesis import given
from hypothesis import strategies as st
from rows import each_row

from guide.review.write_back.length_style import in_style_of
from guide.review.write_back.new_length import ends, in_time, new_length, round_ms, with_room, with_usual
from guide.review.write_back.taught_hold import Done
from guide.sequence.length_text import read_hold, write_hold
from guide.sequence.steps import AtBreath, AtTime, Breath, InBreaths, InTime, Side


def done(*held_s: float, planned_s: float = 40, period_s: int = 8) -> list[Done]:
    return [
        Done(0, Side.RIGHT, round(one * 1000), round(planned_s * 1000), Fraction(period_s * 1000)) for one in held_s
    ]


@each_row(
    "old, held_s, new",
    [
        ("5 breaths", [40], "5 breaths"),
        ("5 breaths", [43.9], "5 breaths"),
        ("5 breaths", [44], "6 breaths"),
        ("5 breaths", [35.9], "4 breaths"),
        ("5 breaths", [3], "1 breath"),
        ("5 breaths", [-20], "1 breath"),
        ("5 breaths", [40, 56], "6 breaths"),
        ("5 breaths", [8000], "300 breaths"),
        ("4 to 6 breaths", [48], "4 to 6 breaths"),
        ("4 to 6 breaths", [32], "4 to 6 breaths"),
        ("4 to 6 breaths", [24], "3 to 6 breaths"),
        ("4 to 6 breaths", [64], "4 to 8 breaths"),
        ("40 s", [42.4], "40 s"),
        ("40 s", [42.6], "45 s"),
        ("40 s", [17.4], "17 s"),
        ("40 s", [19.7], "20 s"),
        ("40 s", [0], "1 s"),
        ("40 s", [-5], "1 s"),
        ("40 s", [99], "1:40"),
        ("30 s to 1 min", [31], "30 s to 1 min"),
        ("30 s to 1 min", [22], "20 s to 1 min"),
        ("30 s to 1 min", [83], "30 s to 1:25"),
        ("40 s", [99_999], "4 h"),
    ],
)
def test_what_was_done_is_rounded_and_a_range_gives_at_the_nearer_end(old: str, held_s: list[float], new: str) -> None:
    assert write_hold(new_length(read_hold(old), done(*held_s))) == new


@pytest.mark.parametrize(("held_s", "new"), [(8.1, "10 s"), (11.9, "10 s"), (8.0, "8 s"), (12.0, "12 s"), (1, "1 s")])
def test_a_short_time_stays_where_it_was_done_within_two_seconds(held_s: float, new: str) -> None:
    assert write_hold(new_length(read_hold("10 s"), done(held_s, planned_s=10))) == new


def test_a_hold_that_the_plan_made_longer_for_its_words_stays_when_it_was_done_as_planned() -> None:
    assert new_length(read_hold("2 breaths"), done(33, planned_s=32)) == read_hold("2 breaths")
    assert new_length(read_hold("33 s"), done(34, planned_s=33)) == read_hold("33 s")


@given(st.fractions(min_value=0, max_value=10_000_000))
def test_a_time_is_rounded_to_the_nearest_step(ms: Fraction) -> None:
    rounded = round_ms(ms)
    step_ms = 1000 if ms < 20_000 else 5000
    assert rounded % step_ms == 0
    assert abs(rounded - ms) <= step_ms / 2 or (ms < 500 and rounded == 1000)


@pytest.mark.parametrize(
    ("old", "new", "at", "kept"),
    [
        ("6 breaths", "3 breaths", AtBreath(4, Breath.EXHALE), "4 breaths"),
        ("6 breaths", "3 breaths", AtBreath(6, Breath.EXHALE), "6 breaths"),
        ("6 breaths", "3 breaths", AtBreath(None, Breath.EXHALE), "3 breaths"),
        ("6 breaths", "3 breaths", AtTime(24_000), "4 breaths"),
        ("6 breaths", "3 breaths", AtTime(23_999), "3 breaths"),
        ("6 to 8 breaths", "2 to 8 breaths", AtBreath(6, Breath.EXHALE), "4 to 8 breaths"),
        ("1 min", "20 s", AtTime(30_000), "35 s"),
        ("1 min", "20 s", AtBreath(4, Breath.EXHALE), "35 s"),
        ("1 min", "10 s", AtTime(12_000), "13 s"),
    ],
)
def test_a_hold_stays_long_enough_for_a_cue_that_asks_for_its_place(
    old: str, new: str, at: AtBreath | AtTime, kept: str
) -> None:
    assert write_hold(with_room(read_hold(old), read_hold(new), [at], [Fraction(8000)])) == kept


@each_row(
    "written, new, made",
    [
        ("5 breaths", "7 breaths", "7 breaths"),
        ("5breaths", "7 breaths", "7breaths"),
        ("5  breaths", "1 breath", "1  breath"),
        ("1 breath", "2 breaths", "2 breaths"),
        ("5 breath", "7 breaths", "7 breaths"),
        ("4 to 6 breaths", "3 to 6 breaths", "3 to 6 breaths"),
        ("4 breaths  to 6 breaths", "4 to 9 breaths", "4 breaths  to 9 breaths"),
        ("4 breaths to 6 breaths", "1 to 6 breaths", "1 breath to 6 breaths"),
        ("4 to\n    6 breaths", "4 to 9 breaths", "4 to\n    9 breaths"),
        ("5 to 5 breaths", "7 breaths", "7 to 7 breaths"),
        ("45 s", "50 s", "50 s"),
        ("45s", "2 min", "120s"),
        ("45 seconds", "1 s", "1 second"),
        ("1:30", "1:45", "1:45"),
        ("1:30", "50 s", "0:50"),
        ("01:30", "2:05", "02:05"),
        ("90:00", "1 h", "60:00"),
        ("1:02:03", "1:10:00", "1:10:00"),
        ("1:02:03", "55 s", "0:00:55"),
        ("2 min", "3 min", "3 min"),
        ("2 min", "2 min 25 s", "2 min 25 s"),
        ("2 min", "40 s", "40 s"),
        ("2 minutes", "1 min", "1 minute"),
        ("1 minute", "2 min 30 s", "2 minutes 30 seconds"),
        ("1.5 min", "2 min 30 s", "2.5 min"),
        ("1.5 min", "2 min 20 s", "2 min 20 s"),
        ("2 min 30 s", "3 min 5 s", "3 min 5 s"),
        ("2min30s", "3 min 5 s", "3min5s"),
        ("2 min 30 s", "3 min", "3 min"),
        ("1 h", "1 h 20 min", "1 h 20 min"),
        ("3 to 5 min", "2 to 5 min", "2 to 5 min"),
        ("3 to 5 min", "2 min 30 s to 5 min", "2.5 to 5 min"),
        ("3 to 5 min", "3 min to 6 min 20 s", "3 min to 6 min 20 s"),
        ("45 s to 1 min", "45 s to 2 min", "45 s to 2 min"),
        ("1.50 min to 3 min", "1 min 30 s to 4 min", "1.50 min to 4 min"),
        ("45 s to 1.50 min", "30 s to 1 min 30 s", "30 s to 1.50 min"),
        ("45 s to 1 min", "30 s to 1 min", "30 s to 1 min"),
    ],
)
def test_a_new_length_is_written_in_the_manner_of_the_old(written: str, new: str, made: str) -> None:
    assert in_style_of(written, read_hold(" ".join(written.split())), read_hold(new)) == made


@pytest.mark.parametrize("written", ["", "five breaths", "7\\x20breaths", "45 s", "4 breaths"])
def test_where_nothing_of_the_manner_is_known_a_length_is_written_as_usual(written: str) -> None:
    assert in_style_of(written, read_hold("7 breaths"), read_hold("3 to 8 breaths")) == "3 to 8 breaths"


WHOLE = st.integers(1, 300)
TIMES = st.integers(1, 14_400).map(lambda seconds: seconds * 1000)
UNITS = st.sampled_from(["s", "sec", "secs", "seconds", "min", "mins", "minutes", "h", "hours"])


@st.composite
def lengths(draw: st.DrawFn) -> InBreaths | InTime:
    low, high = sorted(draw(st.tuples(*2 * [WHOLE])))
    if draw(st.booleans()):
        return with_usual(InBreaths(low, low, draw(st.sampled_from([low, high])), draw(st.booleans())))
    low_ms, high_ms = sorted(draw(st.tuples(*2 * [TIMES])))
    return in_time(low_ms, draw(st.sampled_from([low_ms, high_ms])))


@st.composite
def manners(draw: st.DrawFn) -> str:
    """A length that a person might write."""
    number, other = sorted(draw(st.tuples(st.integers(1, 40), st.integers(1, 40))))
    space, unit = draw(st.sampled_from(["", " ", "  "])), draw(UNITS)
    breath = draw(st.sampled_from(["breath", "breaths"]))
    hours = unit.startswith("h")
    one = f"{min(number, 4) if hours else number}{space}{unit}"
    return draw(
        st.sampled_from(
            [
                f"{number}{space}{breath}",
                f"{number} to {other}{space}{breath}",
                f"{number} {breath} to {other}{space}{breath}",
                one,
                f"{number}:{other:02}",
                f"{number} min {other} s",
                f"{number}{space}s  to {other}{space}min",
                f"{number} to {other}{space}{'min' if hours else unit}",
            ]
        )
    )


@tried(400)
@given(manners(), lengths())
def test_whatever_the_manner_a_new_length_reads_back_as_meant(written: str, new: InBreaths | InTime) -> None:
    old = read_hold(written)
    read = read_hold(in_style_of(written, old, new))
    assert (type(read), ends(read)) == (type(new), ends(new))


@tried(200)
@given(manners())
def test_the_same_length_is_written_just_as_it_was_but_for_a_wrong_plural(written: str) -> None:
    old = read_hold(written)
    if isinstance(old, InBreaths):
        assert in_style_of(written, old, old) == written


@tried(300)
@given(
    lengths(),
    st.lists(st.integers(-5_000, 4_000_000), min_size=1, max_size=4),
    st.integers(2, 20),
    st.integers(1, 4_000),
)
def test_what_is_written_once_stays_when_the_same_is_kept_again_whatever_is_planned(
    old: InBreaths | InTime, held_ms: list[int], period_s: int, planned_s: int
) -> None:
    held_s = [one / 1000 for one in held_ms]
    first = new_length(old, done(*held_s, period_s=period_s))
    if ends(first) != ends(old):
        assert ends(new_length(first, done(*held_s, planned_s=planned_s, period_s=period_s))) == ends(first)
