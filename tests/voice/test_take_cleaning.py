"""What becomes of a recording on its way to a clip, and what is said of one."""

import numpy as np
import pytest
from rows import each_row
from take_sounds import BEFORE_MS, in_room, recorded, spoken

from guide.sound.clip_finish import FINISH, from_int16
from guide.sound.clip_measures import measure, whole_lufs
from guide.units import RATE_HZ
from guide.voice.takes.cleaning import cleaned
from guide.voice.takes.measuring import TakeFault, levels_dbfs, measured, verdicts
from guide.voice.takes.tightening import tightened


def faults(sound: np.ndarray) -> list[TakeFault]:
    return [verdict.fault for verdict in verdicts(measured(sound, RATE_HZ))]


@each_row("length_ms, room_s, noise_db", [(400, 0.3, 30), (1500, 0.3, 20), (2500, 0.4, 70)])
def test_words_are_found_and_kept_with_no_more_around_them_than_is_heard(
    length_ms: int, room_s: float, noise_db: float
) -> None:
    sound = recorded(in_room(spoken(length_ms), room_s), noise_db=noise_db)
    found = measured(sound, RATE_HZ)
    assert found.words_ms is not None
    assert abs(found.words_ms[0] - BEFORE_MS) <= 20
    assert BEFORE_MS + length_ms - 30 <= found.words_ms[1] <= BEFORE_MS + length_ms + 1000 * room_s
    assert abs(found.speech_over_noise_db - noise_db) < 4
    clip = cleaned(sound, RATE_HZ)
    loud = np.flatnonzero(levels_dbfs(clip, RATE_HZ) > levels_dbfs(clip, RATE_HZ).max() - 20)
    # The words begin within 50 ms of the clip, so that they begin where the plan says.
    assert loud[0] * 10 <= 50
    assert length_ms - 30 <= clip.size * 1000 / RATE_HZ <= length_ms + 120 + 200 + 1000 * room_s


def test_all_takes_come_out_at_one_loudness_without_clipping() -> None:
    loudness, peaks = [], []
    for number, noise_db in enumerate((30, 20, 30, 20)):
        words = in_room(spoken(500 + 500 * number, number), 0.2 + 0.1 * number, seed=number)
        sound = recorded(words, noise_db=noise_db, level_dbfs=-20.0 - 5 * number, seed=number)
        clip = from_int16(FINISH(cleaned(sound, RATE_HZ), RATE_HZ)[0])
        loudness.append(whole_lufs(clip))
        peaks.append(measure(clip).true_peak)
    assert max(loudness) - min(loudness) <= 1.0
    assert max(peaks) < 1.0


def kept_of(sound: np.ndarray, clip: np.ndarray) -> np.ndarray:
    """The part of a recording that a clip was cut from."""
    whole = 1 << (sound.size + clip.size).bit_length()
    likeness = np.fft.irfft(np.fft.rfft(sound, whole) * np.conj(np.fft.rfft(clip, whole)), whole)
    begins = int(np.argmax(likeness[: sound.size - clip.size + 1]))
    return sound[begins : begins + clip.size]


def quiet_db(sound: np.ndarray, hertz: float, width_hz: float) -> float:
    """The level of a band of the sound."""
    power = np.abs(np.fft.rfft(sound * np.hanning(sound.size))) ** 2
    hz = np.fft.rfftfreq(sound.size, 1 / RATE_HZ)
    return 10 * float(np.log10(power[np.abs(hz - hertz) <= width_hz].sum() + 1e-12))


@pytest.mark.parametrize("mains_hz", [50.0, 60.0])
def test_the_hum_of_the_mains_is_taken_out_where_there_is_one(mains_hz: float) -> None:
    # A pause of a second in the words, where what is left of the hum can be measured.
    words = np.concatenate([spoken(900), np.zeros(RATE_HZ, np.float32), spoken(900, 1)])
    sound = recorded(words, noise_db=45, hum_hz=mains_hz)
    clip = cleaned(sound, RATE_HZ)
    raw = kept_of(sound, clip)
    pause = slice(RATE_HZ * 11 // 10, RATE_HZ * 18 // 10)
    assert quiet_db(raw[pause], 4 * mains_hz, 3) - quiet_db(clip[pause], 4 * mains_hz, 3) > 20


def test_steady_noise_is_lowered_where_it_is_measured_and_words_stay_as_they_were() -> None:
    words = np.concatenate([spoken(900), np.zeros(RATE_HZ, np.float32), spoken(900, 1)])
    sound = recorded(words, noise_db=20)
    clip = cleaned(sound, RATE_HZ)
    raw = kept_of(sound, clip)
    pause, said = slice(RATE_HZ * 11 // 10, RATE_HZ * 18 // 10), slice(RATE_HZ // 10, RATE_HZ * 8 // 10)
    assert 8 < quiet_db(raw[pause], 1000, 500) - quiet_db(clip[pause], 1000, 500) < 13
    assert abs(quiet_db(raw[said], 1000, 900) - quiet_db(clip[said], 1000, 900)) < 1


def test_a_clean_take_is_only_cut_and_loses_its_rumble() -> None:
    words = spoken(1200)
    sound = recorded(words, noise_db=70)
    clip = cleaned(sound, RATE_HZ)
    raw = kept_of(sound, clip)
    said = slice(RATE_HZ // 20, RATE_HZ)
    assert np.max(np.abs(clip[said] - raw[said])) < 0.1 * np.max(np.abs(raw))
    rumble = np.sin(2 * np.pi * 25 * np.arange(sound.size) / RATE_HZ).astype(np.float32) * 0.2
    shaken = cleaned(sound + rumble, RATE_HZ)
    assert quiet_db(shaken, 25, 10) < quiet_db(sound + rumble, 25, 10) - 30


def test_a_click_before_the_words_is_left_out() -> None:
    sound = recorded(spoken(900))
    sound[RATE_HZ // 5 : RATE_HZ // 5 + 600] += np.random.default_rng(0).normal(0, 0.1, 600).astype(np.float32)
    assert abs(cleaned(sound, RATE_HZ).size * 1000 / RATE_HZ - 960) < 60


def test_a_good_take_has_nothing_said_of_it() -> None:
    assert faults(recorded(in_room(spoken(2000), 0.3), noise_db=35)) == []


def test_what_is_wrong_with_a_take_is_said_with_its_number_and_what_to_do() -> None:
    good = in_room(spoken(2000), 0.3)
    clipped = np.clip(recorded(good, level_dbfs=-8), -0.4, 0.4) * np.float32(2.5)
    assert faults(clipped) == [TakeFault.LOUD]
    assert faults(recorded(good, level_dbfs=-48, noise_db=30)) == [TakeFault.SOFT]
    assert faults(recorded(good, noise_db=15)) == [TakeFault.NOISY]
    assert faults(recorded(in_room(spoken(2000), 1.6, direct_db=-3), noise_db=45)) == [TakeFault.ROOMY]
    told = [str(verdict) for verdict in verdicts(measured(recorded(good, noise_db=15, seed=3), RATE_HZ))]
    assert told == [
        "too noisy: your voice is 15 dB above the noise, and 24 is the least "
        "(switch off what hums, shut the window, come closer)"
    ]


@each_row("sound", [np.zeros(RATE_HZ, np.float32), recorded(np.zeros(RATE_HZ, np.float32)), np.zeros(0, np.float32)])
def test_a_take_that_is_silent_gives_no_words(sound: np.ndarray) -> None:
    assert faults(sound) == [TakeFault.SILENT]
    assert cleaned(sound, RATE_HZ).size == 0


def test_a_take_said_faster_keeps_its_pitch() -> None:
    pytest.importorskip("av")
    at_s = np.arange(2 * RATE_HZ) / RATE_HZ
    tone = np.sin(2 * np.pi * 200 * at_s).astype(np.float32) / 2
    faster = tightened(tone, RATE_HZ, 1.08)
    assert abs(faster.size / RATE_HZ - 2 / 1.08) < 0.01
    middle = faster[RATE_HZ // 2 : RATE_HZ // 2 + RATE_HZ]
    peak = int(np.argmax(np.abs(np.fft.rfft(middle * np.hanning(middle.size)))))
    assert abs(peak - 200) <= 2
    assert tightened(tone, RATE_HZ, 1.0) is tone
