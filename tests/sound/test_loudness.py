"""The meter against published signals, against the printed filter run sample by sample, and against itself."""

import math
from functools import cache
from itertools import pairwise

import numpy as np
import pytest
from examples import tried
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from guide.sound import true_peak
from guide.sound.k_weighting import at_rest, gated_lufs, k_filter, stages
from guide.sound.loudness_meter import SURROUND, Meter

RATES = (44_100, 48_000)
TOLERANCE_LU = 0.1

#: BS.1770-5 Annex 1, Tables 1 and 2: the filter at 48 kHz as printed.
PRINTED = np.array(
    [
        [1.53512485958697, -2.69169618940638, 1.19839281085285, 1.0, -1.69065929318241, 0.73248077421585],
        [1.0, -2.0, 1.0, 1.0, -1.99004745483398, 0.99007225036621],
    ]
)


def tone(rate_hz: int, *parts: tuple[float, float]) -> NDArray[np.float32]:
    """1000 Hz without a break, in parts of so many seconds at so many dBFS of peak."""
    levels = np.concatenate([np.full(round(rate_hz * s), 10 ** (db / 20)) for s, db in parts])
    return (levels * np.sin(2 * np.pi * 1000 / rate_hz * np.arange(levels.size))).astype(np.float32)


def fed(sound: NDArray[np.float32], rate_hz: int) -> Meter:
    meter = Meter(rate_hz)
    for first in range(0, len(sound), rate_hz):
        meter.feed(sound[first : first + rate_hz])
    return meter


# EBU Tech 3341 v4 (2023), Table 1.


@pytest.mark.parametrize("rate_hz", RATES)
@pytest.mark.parametrize("level", [-23.0, -33.0], ids=["case 1", "case 2"])
def test_a_steady_tone_reads_its_level_three_ways(rate_hz: int, level: float) -> None:
    meter = fed(tone(rate_hz, (20, level)), rate_hz)
    for reading in (meter.momentary, meter.short_term, meter.integrated):
        assert reading == pytest.approx(level, abs=TOLERANCE_LU)


# What takes long is read at one rate by default.
@pytest.mark.parametrize("rate_hz", [48_000, pytest.param(44_100, marks=pytest.mark.slow)])
@pytest.mark.parametrize(
    "parts",
    [
        [(10, -36), (60, -23), (10, -36)],
        [(10, -72), (10, -36), (60, -23), (10, -36), (10, -72)],
        [(20, -26), (20.1, -20), (20, -26)],
    ],
    ids=["case 3", "case 4", "case 5"],
)
def test_gates_leave_out_what_is_quiet(rate_hz: int, parts: list[tuple[float, float]]) -> None:
    assert fed(tone(rate_hz, *parts), rate_hz).integrated == pytest.approx(-23.0, abs=TOLERANCE_LU)


@pytest.mark.parametrize("rate_hz", RATES)
def test_surround_channels_have_their_weights(rate_hz: int) -> None:
    """Case 6."""
    levels = (-28, -28, -24, -30, -30)
    meter = Meter(rate_hz, SURROUND)
    meter.feed(np.stack([tone(rate_hz, (20, level)) for level in levels], axis=1))
    assert meter.integrated == pytest.approx(-23.0, abs=TOLERANCE_LU)


@pytest.mark.parametrize("rate_hz", RATES)
def test_short_term_stays_when_the_tone_changes_in_step_with_it(rate_hz: int) -> None:
    """Case 9: constant after 3 s."""
    sound = tone(rate_hz, *[(1.34, -20), (1.66, -30)] * 5)
    meter, hop = Meter(rate_hz), rate_hz // 10
    for first in range(0, sound.size, hop):
        meter.feed(sound[first : first + hop])
        if first >= 3 * rate_hz:
            assert meter.short_term == pytest.approx(-23.0, abs=TOLERANCE_LU)


@pytest.mark.parametrize("rate_hz", RATES)
def test_momentary_stays_when_the_tone_changes_in_step_with_it(rate_hz: int) -> None:
    """Case 12: constant after 1 s."""
    sound = tone(rate_hz, *[(0.18, -20), (0.22, -30)] * 25)
    meter, hop = Meter(rate_hz), rate_hz // 10
    for first in range(0, sound.size, hop):
        meter.feed(sound[first : first + hop])
        if first >= rate_hz:
            assert meter.momentary == pytest.approx(-23.0, abs=TOLERANCE_LU)


@pytest.mark.parametrize("rate_hz", RATES)
@pytest.mark.parametrize(
    ("divisor", "amplitude", "phase", "expected"),
    [(4, 0.5, 0, -6.0), (4, 0.5, 45, -6.0), (6, 0.5, 60, -6.0), (8, 0.5, 67.5, -6.0), (4, 1.41, 45, 3.0)],
    ids=["case 15", "case 16", "case 17", "case 18", "case 19"],
)
def test_true_peak_sees_between_the_samples(
    rate_hz: int, divisor: int, amplitude: float, phase: float, expected: float
) -> None:
    at = np.arange(rate_hz)
    fades = np.minimum(1, np.minimum(at, at[::-1]) / (rate_hz / 100))
    sound = amplitude * fades * np.sin(2 * np.pi * at / divisor + np.radians(phase))
    assert -0.4 <= fed(sound.astype(np.float32), rate_hz).true_peak - expected <= 0.2


@pytest.mark.parametrize("rate_hz", RATES)
@pytest.mark.parametrize("offset", range(4), ids=lambda offset: f"case {20 + offset}")
def test_true_peak_finds_one_high_period_wherever_the_samples_fall(rate_hz: int, offset: int) -> None:
    """A tone of fs/6 at 0.5 with one period of fs/4 at 1.0 in it, made at four times the rate."""
    low = 0.5 * np.sin(2 * np.pi * np.arange(24 * 200) / 24)
    high = np.sin(2 * np.pi * np.arange(16) / 16)
    fine = np.concatenate([low, high, low])
    at = np.arange(fine.size)
    fine *= np.minimum(1, np.minimum(at, at[::-1]) / (0.04 * rate_hz))
    assert -0.4 <= fed(fine[offset::4].astype(np.float32), rate_hz).true_peak <= 0.2


# BS.1770-5 Annex 1.


def test_the_filter_at_48_khz_is_the_printed_one() -> None:
    for mine, printed in zip(stages(48_000), PRINTED, strict=True):
        assert mine == pytest.approx([*printed[:3], *printed[4:]], abs=1e-9)


@pytest.mark.real
def test_the_filter_at_another_rate_has_the_same_response() -> None:
    from scipy.signal import sosfreqz

    other = np.array([[*stage[:3], 1.0, *stage[3:]] for stage in stages(44_100)])
    hz = np.array([30, 60, 100, 300, 1000, 2000, 4000, 8000])
    _, printed = sosfreqz(PRINTED, hz, fs=48_000)
    _, mine = sosfreqz(other, hz, fs=44_100)
    assert 20 * np.log10(np.abs(mine / printed)) == pytest.approx(np.zeros(hz.size), abs=0.1)


@pytest.mark.real
def test_the_filter_by_rows_is_the_filter_sample_by_sample() -> None:
    from scipy.signal import sosfilt

    noise = np.random.default_rng(3).normal(0, 0.2, 48_000).astype(np.float32)
    first, state = k_filter(48_000)(noise[:19_200], at_rest())
    rest, _ = k_filter(48_000)(noise[19_200:], state)
    by_sample = sosfilt(PRINTED, noise.astype(float))
    np.testing.assert_allclose(np.concatenate([first, rest]), by_sample, rtol=0, atol=1e-5)


def test_a_full_tone_in_one_channel_reads_three_less() -> None:
    at = np.arange(48_000 * 5)
    full = np.sin(2 * np.pi * 997 / 48_000 * at).astype(np.float32)
    meter = fed(np.stack([full, np.zeros_like(full)], axis=1), 48_000)
    assert meter.integrated == pytest.approx(-3.01, abs=0.01)


def test_nothing_shorter_than_a_block_has_a_loudness() -> None:
    meter = fed(tone(48_000, (0.39, -10)), 48_000)
    assert meter.integrated == meter.momentary == meter.short_term == -math.inf
    assert Meter(48_000).true_peak == -math.inf


def test_the_gates_are_strict_and_empty_is_silent() -> None:
    assert gated_lufs(np.zeros(0)) == -math.inf
    assert gated_lufs(np.full(10, 1e-9)) == -math.inf


# The meter against itself.


@cache
def programme() -> NDArray[np.float32]:
    """Speech-like bursts with silences, alike in both channels at first and not afterwards."""
    draw = np.random.default_rng(11)
    left = draw.normal(0, 0.1, 48_000 * 6).astype(np.float32)
    left[48_000:120_000] = 0
    right = left.copy()
    right[150_000:200_000] *= -0.3
    return np.stack([left, right], axis=1)


@cache
def read_whole() -> Meter:
    meter = Meter(48_000)
    meter.feed(programme())
    return meter


@given(cuts=st.lists(st.integers(0, 48_000 * 6), max_size=12))
@tried(25)
def test_blocks_of_any_size_read_the_same(cuts: list[int]) -> None:
    sound, whole = programme(), read_whole()
    meter, edges = Meter(48_000), [0, *sorted(cuts), len(sound)]
    for first, last in pairwise(edges):
        meter.feed(sound[first:last])
    assert meter.integrated == pytest.approx(whole.integrated, abs=1e-5)
    assert meter.short_term == pytest.approx(whole.short_term, abs=1e-5)
    assert meter.true_peak == pytest.approx(whole.true_peak, abs=1e-5)


def test_one_channel_stands_for_two_alike() -> None:
    sound = programme()[:, 0]
    once, twice = Meter(48_000), Meter(48_000)
    once.feed(sound)
    twice.feed(np.stack([sound, sound], axis=1))
    assert once.integrated == twice.integrated
    assert once.true_peak == twice.true_peak


def test_passing_over_quiet_pieces_changes_no_peak() -> None:
    """The peak of a sound that grows and shrinks is that of the curve looked at everywhere."""
    draw = np.random.default_rng(5)
    shape = np.abs(np.sin(np.arange(96_000) / 3000)) ** 3
    sound = (draw.normal(0, 0.2, 96_000) * shape).astype(np.float32)
    meter = Meter(48_000)
    for first in range(0, sound.size, 4800):
        meter.feed(sound[first : first + 4800])
    assert meter.true_peak == pytest.approx(true_peak.decibels(float(true_peak.each(sound).max())), abs=1e-5)


def test_the_peak_of_the_last_sample_counts_before_its_hop_is_full() -> None:
    meter = Meter(48_000)
    meter.feed(np.array([0, 0, 0.25], np.float32))
    assert meter.true_peak >= -12.05


def test_a_block_with_other_channels_is_refused() -> None:
    with pytest.raises(ValueError, match="3 channels for a meter of 2"):
        Meter(48_000).feed(np.zeros((10, 3), np.float32))
