"""Recordings of lines made from numbers: syllables in a room, with noise and hum, whose words are known exactly."""

import numpy as np
from numpy.typing import NDArray

from guide.units import RATE_HZ

Single = NDArray[np.float32]

#: How loud the words are where nothing is said, and the quiet before and after them.
LEVEL_DBFS, BEFORE_MS, AFTER_MS = -26.0, 700, 700


def spoken(length_ms: int, seed: int = 0) -> Single:
    """So much of something like speech: voiced syllables of 180 ms with little gaps, each of another pitch."""
    random = np.random.default_rng(seed)
    at_s = np.arange(length_ms * RATE_HZ // 1000) / RATE_HZ
    made = np.zeros(at_s.size)
    begins_s = 0.0
    while begins_s < length_ms / 1000 - 0.05:
        ends_s = length_ms / 1000 if begins_s + 0.33 > length_ms / 1000 else begins_s + 0.18
        inside = (at_s >= begins_s) & (at_s < ends_s)
        here_s = at_s[inside] - begins_s
        hertz = random.uniform(110, 260)
        voiced = sum(np.sin(2 * np.pi * hertz * k * here_s + k) / k for k in range(1, 10))
        edge_s = np.minimum(here_s, ends_s - begins_s - here_s)
        made[inside] = random.uniform(0.6, 1.0) * voiced * np.clip(edge_s / 0.015, 0, 1)
        begins_s = ends_s + 0.05
    return made.astype(np.float32)


def in_room(dry: Single, dies_away_s: float, direct_db: float = 6.0, seed: int = 0) -> Single:
    """The sound in a room made from numbers: noise that dies away, so far below what comes straight."""
    size = int(RATE_HZ * dies_away_s)
    response = np.random.default_rng(seed).normal(size=size) * 10 ** (-3 * np.arange(size) / RATE_HZ / dies_away_s)
    response *= 10 ** (-direct_db / 20) / np.sqrt(np.sum(response**2))
    response[0] += 1
    whole = 1 << (dry.size + size).bit_length()
    wet = np.fft.irfft(np.fft.rfft(dry, whole) * np.fft.rfft(response, whole), whole)
    return wet[: dry.size + size].astype(np.float32)


def recorded(
    words: Single, *, noise_db: float = 50.0, level_dbfs: float = LEVEL_DBFS, hum_hz: float = 0.0, seed: int = 0
) -> Single:
    """A recording of the words with quiet around them, and steady noise so far below them."""
    random = np.random.default_rng(seed)
    loud = words[np.abs(words) > 0.02 * np.abs(words).max(initial=1e-9)]
    at_level = words * 10 ** (level_dbfs / 20) / np.sqrt(np.mean(loud**2)) if loud.size else words
    sound = np.pad(at_level, (BEFORE_MS * RATE_HZ // 1000, AFTER_MS * RATE_HZ // 1000))
    whole = 1 << (sound.size - 1).bit_length()
    spectrum = np.fft.rfft(random.normal(size=whole))
    noise = np.fft.irfft(spectrum / np.sqrt(np.arange(spectrum.size) + whole / 500), whole)[: sound.size]
    sound = sound + noise * 10 ** ((level_dbfs - noise_db) / 20) / np.sqrt(np.mean(noise**2))
    at_s = np.arange(sound.size) / RATE_HZ
    for k in range(1, 12) if hum_hz else ():
        sound = sound + 10 ** ((level_dbfs - 25) / 20) / k * np.sin(2 * np.pi * hum_hz * k * at_s + k)
    return sound.astype(np.float32)
