"""Bells and chimes made from numbers: the modes of struck bowls and bars, each ringing down by itself.

Every sound comes out the same on every machine, byte for byte. The sums are made in a fixed order in double precision
and rounded to 16 bits only at the end; mathematics libraries differ in the last digits of a sine, some 1e-9 of a
16-bit step once summed up, and no sample of any sound lies within 1e-8 of a step of where its rounding would turn (a
test holds this).
"""

import io
import wave
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from guide.problem import UnusableChoice
from guide.units import RATE_HZ, frames_from_ms

Double = NDArray[np.float64]

_PEAK = 0.7
_FULL_SCALE = 32767
_FADE_MS = 60
_KNOCK_MS = 4

#: exp(-_FALL t / T60) is 60 dB down at T60.
_FALL = 3 * float(np.log(10))


@dataclass(frozen=True, slots=True)
class Mode:
    """One way in which a body rings: its frequency over the lowest, its level, when it is 60 dB down, and its beat.

    No bowl is quite round, so that each mode is a pair close together; they beat `beat_hz` times a second.
    """

    ratio: float
    level: float
    t60_s: float
    beat_hz: float = 0.0


@dataclass(frozen=True, slots=True)
class Strike:
    """A body struck at `start_ms`: its lowest frequency, its modes, how softly it begins, its mallet's noise."""

    start_ms: int
    lowest_hz: float
    modes: tuple[Mode, ...]
    attack_ms: int
    noise: float


@dataclass(frozen=True, slots=True)
class Recipe:
    """A sound of the palette: strikes, cut at `length_ms`, where what is left is 60 dB down."""

    strikes: tuple[Strike, ...]
    length_ms: int


# Bowls: ratios near 1 : 2.7 : 4.8 : 7.5 : 10.6 after Inácio, Henrique & Antunes 2006, from memory. Bars: a free bar of
# even thickness has 1 : 2.756 : 5.404 : 8.933 (Euler-Bernoulli); the tuned wooden bars of orchestras 1 : 4 : 10 (common
# practice). Levels, decays and beats were chosen by ear and belong to no instrument.
_DEEP_BOWL = (
    Mode(1.0, 1.0, 10.0, 0.7),
    Mode(2.71, 0.75, 7.5, 1.1),
    Mode(4.82, 0.34, 5.0, 1.6),
    Mode(7.51, 0.14, 2.8, 2.3),
    Mode(10.6, 0.06, 1.5, 2.9),
)
_SMALL_BOWL = (
    Mode(1.0, 1.0, 6.2, 1.3),
    Mode(2.74, 0.5, 4.2, 2.1),
    Mode(4.86, 0.2, 2.4, 3.2),
    Mode(7.55, 0.07, 1.2, 4.0),
)
_METAL_BAR = (Mode(1.0, 1.0, 2.8), Mode(2.756, 0.3, 1.4), Mode(5.404, 0.1, 0.6), Mode(8.933, 0.03, 0.25))
_WOOD_BAR = (Mode(1.0, 1.0, 0.9), Mode(4.0, 0.25, 0.35), Mode(10.0, 0.06, 0.12))
_SOFT_BAR = (Mode(1.0, 1.0, 1.5, 0.8), Mode(2.0, 0.12, 0.9), Mode(4.0, 0.03, 0.3))
_TICK = (Mode(1.0, 1.0, 0.07), Mode(2.756, 0.3, 0.03))

_LOW_HZ, _HIGH_HZ = 587.33, 880.0
_SECOND_NOTE_MS = 280

RECIPES: Mapping[str, Recipe] = {
    "deep bowl": Recipe((Strike(0, 138.0, _DEEP_BOWL, 6, 0.10),), 9600),
    "small bowl": Recipe((Strike(0, 415.0, _SMALL_BOWL, 4, 0.08),), 6000),
    "wood bar": Recipe((Strike(0, 330.0, _WOOD_BAR, 2, 0.10),), 900),
    "metal bar": Recipe((Strike(0, 988.0, _METAL_BAR, 2, 0.05),), 2700),
    "rising": Recipe(
        (Strike(0, _LOW_HZ, _SOFT_BAR, 14, 0.0), Strike(_SECOND_NOTE_MS, _HIGH_HZ, _SOFT_BAR, 14, 0.0)), 1800
    ),
    "falling": Recipe(
        (Strike(0, _HIGH_HZ, _SOFT_BAR, 14, 0.0), Strike(_SECOND_NOTE_MS, _LOW_HZ, _SOFT_BAR, 14, 0.0)), 1800
    ),
    "tick": Recipe((Strike(0, 740.0, _TICK, 2, 0.05),), 80),
}


def steps(name: str) -> Double:
    """The sound in steps of 16 bits, not yet rounded. Raises KeyError for a name that is not in RECIPES."""
    recipe = RECIPES[name]
    whole = np.zeros(frames_from_ms(recipe.length_ms))
    for strike in recipe.strikes:
        start = frames_from_ms(strike.start_ms)
        whole[start:] += _struck(strike, whole.size - start)
    fade = frames_from_ms(min(_FADE_MS, recipe.length_ms // 2))
    whole[-fade:] *= np.arange(fade, 0, -1) / fade
    whole *= _PEAK * _FULL_SCALE / np.abs(whole).max()
    return whole


def pcm(name: str) -> NDArray[np.int16]:
    """The sound, mono at 48 kHz, in 16 bits."""
    return np.rint(steps(name)).astype(np.int16)


def wav_bytes(name: str) -> bytes:
    """The sound as a whole WAV file."""
    kept = io.BytesIO()
    with wave.open(kept, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(RATE_HZ)
        file.writeframes(pcm(name).astype("<i2").tobytes())
    return kept.getvalue()


def file_name(name: str) -> str:
    """The name of the file that holds the sound: `deep-bowl.wav`."""
    return name.replace(" ", "-") + ".wav"


def write(folder: Path) -> list[Path]:
    """Make every sound of the palette into `folder`, which is made too if need be; returns the files.

    Raises:
        UnusableChoice: a file of that name is there, and holds something else; nothing is written then.
        OSError: the folder cannot be written.
    """
    folder.mkdir(parents=True, exist_ok=True)
    made = {folder / file_name(name): wav_bytes(name) for name in RECIPES}
    for path, raw in made.items():
        if path.exists() and path.read_bytes() != raw:
            what = "there is a file of that name already, and it is not this sound"
            raise UnusableChoice(f"{path}: {what} (name another folder, or move it away)")
    for path, raw in made.items():
        path.write_bytes(raw)
    return list(made)


def _struck(strike: Strike, frames: int) -> Double:
    """The strike's ringing from its first frame on."""
    at_s = np.arange(frames) / RATE_HZ
    rung = np.zeros(frames)
    for mode in strike.modes:
        middle_hz = strike.lowest_hz * mode.ratio
        for hz in (middle_hz - mode.beat_hz / 2, middle_hz + mode.beat_hz / 2):
            rung += mode.level / 2 * np.sin(2 * np.pi * hz * at_s) * np.exp(-_FALL / mode.t60_s * at_s)
    attack = min(frames, frames_from_ms(strike.attack_ms))
    rung[:attack] *= (1 - np.cos(np.pi * np.arange(attack) / attack)) / 2
    knock = frames_from_ms(_KNOCK_MS)
    rung[:knock] += strike.noise * _noise(knock) * np.arange(knock, 0, -1) / knock
    return rung


def _noise(frames: int) -> Double:
    """Noise between -1 and 1, always the same (a linear congruential generator; its constants are Knuth's MMIX)."""
    state, drawn = 1, []
    for _ in range(frames):
        state = (6364136223846793005 * state + 1442695040888963407) % 2**64
        drawn.append((state >> 11) / 2**52 - 1)
    return np.array(drawn)
