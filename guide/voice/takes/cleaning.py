"""A take as it becomes a clip: trimmed to its words, without rumble, with hum and steady noise lowered where measured.

The take itself is kept as it was recorded. Loudness is given to the result by whoever finishes clips, to all alike.
"""

import numpy as np
from numpy.typing import NDArray

from guide.voice.takes.filtering import hum_hz, without_rumble
from guide.voice.takes.measuring import STEP_MS, levels_dbfs, mean_db, quiet_dbfs, speech_in

#: The version of all that the result rests on, what is measured with it; it changes whenever that does.
VERSION = "2"

#: Speech that begins softly is kept from so long before it at most, and what dies away for so long after it.
BEFORE_MS, AFTER_MS = 120, 200

#: They are kept while they stand so far above the quiet, and so little below the loudest, in dB, and so much in any
#: case. (Steps tell a beginning up to 20 ms early; with this, words begin within 50 ms of where a plan has them.)
SOFT_DB, SOFTEST_DB, ALWAYS_MS = 4.0, 45.0, 20

#: Noise is lowered where speech is less than so far above it, and by so much at most, in dB.
CLEAN_DB, MOST_DB = 45.0, 12.0

#: A spectrum is taken of so many samples (43 ms of a take as it is kept), every quarter of it, and held against so much
#: noise.
WINDOW, OVERLAP, HELD_AGAINST = 2048, 4, 2.0

#: So many steps of quiet tell what the noise is like.
FEWEST_QUIET = 20

Single = NDArray[np.float32]
Double = NDArray[np.float64]


def cleaned(samples: Single, rate_hz: int) -> Single:
    """The words of a recording, mono, at its rate; empty where none are heard."""
    sound = without_rumble(samples, rate_hz)
    levels = levels_dbfs(sound, rate_hz)
    stretches = speech_in(levels)
    if not stretches:
        return samples[:0]
    quiet = _quiet_steps(levels, stretches)
    hum = hum_hz(_only(sound, quiet, rate_hz), rate_hz)
    if hum:
        sound = without_rumble(samples, rate_hz, hum)
        levels = levels_dbfs(sound, rate_hz)
    noise_dbfs = quiet_dbfs(levels)
    speech_dbfs = mean_db(np.concatenate([levels[begins:ends] for begins, ends in stretches]))
    least_dbfs = max(noise_dbfs + SOFT_DB, float(levels.max()) - SOFTEST_DB)
    begins = _softly_before(levels, stretches[0][0], least_dbfs)
    ends = _softly_after(levels, stretches[-1][1], least_dbfs)
    step = rate_hz * STEP_MS // 1000
    words = sound[begins * step : ends * step]
    if speech_dbfs - noise_dbfs < CLEAN_DB and quiet.sum() >= FEWEST_QUIET:
        words = _with_less_noise(words, _only(sound, quiet, rate_hz))
    return _faded(words, rate_hz)


def _quiet_steps(levels: Double, stretches: list[tuple[int, int]]) -> NDArray[np.bool_]:
    """The steps that are surely without speech."""
    quiet = np.ones(levels.size, bool)
    for begins, ends in stretches:
        quiet[max(0, begins - BEFORE_MS // STEP_MS) : ends + AFTER_MS // STEP_MS] = False
    return quiet & (levels <= quiet_dbfs(levels) + 6)


def _only(sound: Single, steps: NDArray[np.bool_], rate_hz: int) -> Single:
    """The longest run of steps that are wanted, as sound."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], steps, [False]]).astype(np.int8)))
    if not edges.size:
        return sound[:0]
    longest = int(np.argmax(edges[1::2] - edges[::2]))
    step = rate_hz * STEP_MS // 1000
    return sound[edges[2 * longest] * step : edges[2 * longest + 1] * step]


def _softly_before(levels: Double, begins: int, least_dbfs: float) -> int:
    """The step from which a beginning is kept."""
    first = max(0, begins - BEFORE_MS // STEP_MS)
    while begins > first and levels[begins - 1] > least_dbfs:
        begins -= 1
    return max(first, begins - ALWAYS_MS // STEP_MS, 0)


def _softly_after(levels: Double, ends: int, least_dbfs: float) -> int:
    """The step up to which an ending is kept."""
    last = min(levels.size, ends + AFTER_MS // STEP_MS)
    while ends < last and levels[ends] > least_dbfs:
        ends += 1
    return min(last, ends + ALWAYS_MS // STEP_MS)


def _faded(words: Single, rate_hz: int) -> Single:
    """The sound faded in and out within what is always kept around it."""
    kept = words.copy()
    fade = min(kept.size // 2, ALWAYS_MS * rate_hz // 1000 * 2 // 3)
    ramp = np.sin(np.linspace(0, np.pi / 2, fade, dtype=np.float32)) ** 2
    kept[:fade] *= ramp
    kept[kept.size - fade :] *= ramp[::-1]
    return kept


def _with_less_noise(sound: Single, noise: Single) -> Single:
    """The sound with each band turned down, by `MOST_DB` at most, where it is no more than the noise."""
    hop = WINDOW // OVERLAP
    window = np.sqrt(np.hanning(WINDOW + 1)[:-1])
    if noise.size < window.size:
        return sound
    usual = np.mean(np.abs(np.fft.rfft(_windows(noise, window, hop))) ** 2, axis=0)
    padded = np.pad(sound, (window.size, window.size + hop))
    spectra = np.fft.rfft(_windows(padded, window, hop))
    power = _even(np.abs(spectra) ** 2)
    least = 10 ** (-MOST_DB / 20)
    gains = np.sqrt(np.maximum(1 - HELD_AGAINST * usual / np.maximum(power, 1e-20), least**2))
    frames = np.fft.irfft(spectra * gains, window.size) * window
    made = np.zeros(padded.size + window.size)
    for number, frame in enumerate(frames):
        made[number * hop : number * hop + window.size] += frame
    # Windows that are squared and overlap four times add to two.
    return (made[window.size : window.size + sound.size] * 2 / OVERLAP).astype(np.float32)


def _windows(sound: Single, window: Double, hop: int) -> Double:
    """The pieces of a sound, each `hop` after the one before, under a window."""
    pieces: Double = np.lib.stride_tricks.sliding_window_view(sound, window.size)[::hop] * window
    return pieces


def _even(power: Double) -> Double:
    """The power of each band with those beside it in time and in pitch, so that no single one blinks."""
    padded = np.pad(power, 1, mode="edge")
    across = (padded[:-2] + padded[1:-1] + padded[2:]) / 3
    made: Double = (across[:, :-2] + across[:, 1:-1] + across[:, 2:]) / 3
    return made
