"""The shape of a clip: one rate, one loudness, a capped peak, and measures from which a class can be levelled."""

import pickle

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from guide.sound import k_weighting, true_peak
from guide.sound.clip_finish import FINISH, Finish, from_int16, in_both_channels, resampled, to_int16
from guide.sound.clip_measures import loudest_lufs, measure, unpacked, whole_lufs
from guide.sound.limiter import limited
from guide.sound.loudness_meter import Meter
from guide.units import RATE_HZ


def tone(seconds: float, rate_hz: int = 24_000, level: float = 0.05, hz: float = 1000.0) -> np.ndarray:
    return (level * np.sin(2 * np.pi * hz * np.arange(int(seconds * rate_hz)) / rate_hz)).astype(np.float32)


@pytest.mark.parametrize("rate_hz", [16_000, 22_050, 24_000, 44_100, 48_000])
def test_a_clip_measures_minus_twenty_when_heard_in_both_channels(rate_hz: int) -> None:
    """By the meter, which is held to EBU Tech 3341; alone in one channel it is 3.01 LU less (BS.1770-5 Annex 1)."""
    clip, _ = FINISH(tone(3.0, rate_hz), rate_hz)
    both, one = Meter(RATE_HZ), Meter(RATE_HZ)
    both.feed(from_int16(clip))
    one.feed(np.stack([from_int16(clip), np.zeros(clip.size, np.float32)], axis=1))
    assert both.integrated == pytest.approx(-20.0, abs=0.05)
    assert one.integrated == pytest.approx(-23.01, abs=0.05)


@pytest.mark.parametrize("rate_hz", [16_000, 22_050, 24_000, 44_100])
def test_a_clip_keeps_its_length_and_its_pitch_at_the_new_rate(rate_hz: int) -> None:
    clip, _ = FINISH(tone(1.0, rate_hz), rate_hz)
    assert abs(clip.size - RATE_HZ) <= 1
    assert np.argmax(np.abs(np.fft.rfft(clip))) == pytest.approx(1000, abs=1)


def test_resampling_leaves_no_false_tone() -> None:
    """soxr keeps what is not there some 90 dB down at 9 kHz; a straight line between samples, 8 dB down."""
    clip = resampled(tone(1.0, 24_000, 0.5, 9000.0), 24_000)
    spectrum = np.abs(np.fft.rfft(clip[4800:-4800] * np.blackman(clip.size - 9600)))
    hz = np.fft.rfftfreq(clip.size - 9600, 1 / RATE_HZ)
    assert 20 * np.log10(spectrum[np.abs(hz - 9000) > 100].max() / spectrum.max()) < -85


@pytest.mark.parametrize("seconds", [0.05, 0.2, 0.39])
def test_a_clip_shorter_than_a_block_has_a_loudness_too(seconds: float) -> None:
    clip, _ = FINISH(tone(seconds), 24_000)
    assert whole_lufs(from_int16(clip)) == pytest.approx(-20.0, abs=0.1)


def test_a_clip_of_sharp_peaks_stays_under_the_cap() -> None:
    clicks = np.zeros(48_000, np.float32)
    clicks[::9600] = 0.5
    clip, numbers = FINISH(clicks, RATE_HZ)
    assert numbers[0] == pytest.approx(10 ** (-1 / 20), abs=0.001)
    assert whole_lufs(from_int16(clip)) < -20


def test_silence_and_nothing_stay_what_they_are() -> None:
    clip, numbers = FINISH(np.zeros(2400, np.float32), 24_000)
    assert clip.tolist() == [0] * 4800
    assert not numbers.any()
    clip, numbers = FINISH(np.zeros(0, np.float32), 24_000)
    assert clip.size == 0
    assert numbers.tolist() == [0.0]


@pytest.mark.parametrize("samples", [np.array([0.1, np.nan]), np.array([np.inf]), np.zeros((4, 2))])
def test_what_is_no_mono_sound_is_a_mistake_of_the_program(samples: np.ndarray) -> None:
    with pytest.raises(ValueError, match="one row of finite samples"):
        FINISH(samples.astype(np.float32), 24_000)


def test_the_same_words_give_the_same_clip_and_the_finish_travels() -> None:
    sound = tone(1.0)
    sent: Finish = pickle.loads(pickle.dumps(FINISH))
    for one, other in zip(FINISH(sound, 24_000), sent(sound, 24_000), strict=True):
        assert np.array_equal(one, other)
    assert sent.version == FINISH.version


# The measures.


def test_measures_survive_being_packed() -> None:
    clip, numbers = FINISH(tone(0.333), 24_000)
    assert numbers.dtype == np.float32
    kept, fresh = unpacked(numbers), measure(from_int16(clip))
    assert np.array_equal(kept.mean_squares, fresh.mean_squares)
    assert np.array_equal(kept.peaks, fresh.peaks)
    assert kept.peaks.size == 34
    assert kept.true_peak == numbers[0]


def test_the_energies_of_the_steps_add_up_to_what_the_meter_reads() -> None:
    sound = tone(2.0, RATE_HZ, 0.2)
    meter = Meter(RATE_HZ)
    meter.feed(sound)
    steps = measure(sound).mean_squares.astype(float)
    hops = steps.reshape(-1, 10).mean(axis=1) * 2
    assert k_weighting.gated_lufs(k_weighting.block_means(hops)) == pytest.approx(meter.integrated, abs=1e-4)


def test_the_loudest_part_is_the_loudest_momentary_reading() -> None:
    sound = np.concatenate([tone(1.0, RATE_HZ, 0.02), tone(1.0, RATE_HZ, 0.3), tone(1.0, RATE_HZ, 0.02)])
    meter, highest = Meter(RATE_HZ), -100.0
    for first in range(0, sound.size, 4800):
        meter.feed(sound[first : first + 4800])
        highest = max(highest, meter.momentary)
    assert loudest_lufs(measure(sound)) == pytest.approx(highest, abs=0.01)


@given(st.lists(st.floats(-2.0, 2.0, width=32), max_size=50))
def test_to_16_bits_and_back_is_off_by_half_a_step_at_most(values: list[float]) -> None:
    samples = np.array(values, np.float32)
    back = from_int16(to_int16(samples))
    assert np.abs(back - np.clip(samples, -1, 32767 / 32768)).max(initial=0.0) <= 0.5 / 32768 + 1e-7


@given(st.lists(st.integers(-32768, 32767), max_size=50))
def test_both_channels_hold_the_sound_as_it_is(values: list[int]) -> None:
    both = in_both_channels(np.array(values, np.int16))
    assert both.tolist() == [[value, value] for value in values]


# Soft limiting.


@given(seed=st.integers(0, 1000), ceiling=st.floats(0.1, 0.9), frames=st.integers(1, 20_000))
@settings(deadline=None, max_examples=60)
def test_limiting_keeps_every_true_peak_under_the_ceiling(seed: int, ceiling: float, frames: int) -> None:
    draw = np.random.default_rng(seed)
    clip = (draw.normal(0, 0.3, frames) * np.abs(np.sin(np.arange(frames) / 2000))).astype(np.float32)
    held = limited(clip, measure(clip), ceiling)
    assert float(np.abs(held).max()) <= ceiling * (1 + 1e-6)
    # Between the samples the moving gain may bend the curve by a hair.
    assert float(true_peak.each(held).max()) <= ceiling * 1.005


def test_limiting_leaves_alone_what_is_far_from_a_peak() -> None:
    clip = tone(1.0, RATE_HZ, 0.3)
    clip[24_000:24_100] *= 3
    held = limited(clip, measure(clip), 0.5)
    assert np.array_equal(held[:20_000], clip[:20_000])
    assert np.array_equal(held[28_500:], clip[28_500:])
    assert not np.array_equal(held, clip)


def test_limiting_bends_the_gain_softly() -> None:
    clip = np.full(48_000, 0.3, np.float32)
    clip[24_000] = 0.9
    gain = limited(clip, measure(clip), 0.3)[:24_000] / clip[:24_000]
    assert np.abs(np.diff(gain)).max() < 0.001
