"""Readings of a script whose truth is known: lines read by another synthetic voice, in a room, with noise and slips."""

import io
import subprocess
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from random import Random

import numpy as np
import soundfile
import soxr
from numpy.typing import NDArray

from guide.voice.natural import NaturalVoice
from guide.voice.normalise import folded, normalised

Sound = NDArray[np.float32]

RATE_HZ = 24_000

#: The shortest pause between two lines is as long as pauses within a line can be.
LEAST_PAUSE_S, MOST_PAUSE_S = 0.5, 4.0
COMMA_PAUSES_S = (0.3, 0.55)


@dataclass(frozen=True, slots=True)
class Slips:
    """How often, of all lines, something else happens than that a line is read once."""

    twice: float = 0.04
    again: float = 0.04
    broken_off: float = 0.04
    cough: float = 0.05
    rustle: float = 0.05
    pause_at_commas: float = 0.3
    left_out: int = 1
    exchanged: int = 1


CLEAN = Slips(0, 0, 0, 0, 0, 0.3, 0, 0)


@dataclass(frozen=True, slots=True)
class Heard:
    """Something in a reading, from `start_ms` to `end_ms`; `line` is None where it is no whole line."""

    start_ms: int
    end_ms: int
    line: int | None


@dataclass(frozen=True, slots=True)
class Reading:
    """A reading as it sounds, at `RATE_HZ`, and all that is in it, in order."""

    sound: Sound
    heard: tuple[Heard, ...]

    def last_of(self, line: int) -> Heard | None:
        """Where a line was read for the last time."""
        return next((one for one in reversed(self.heard) if one.line == line), None)


def read_aloud(
    lines: Sequence[str],
    voice: str,
    seed: int,
    slips: Slips = Slips(),
    room_s: float = 0.0,
    noise_db: float | None = None,
) -> Reading:
    """The lines read by a `voice` of `VOICES` in a room that rings for `room_s`, with noise so far below the speech."""
    random = Random(f"{voice} {seed}")
    parts = list(_parts(lines, VOICES[voice], random, slips))
    quiet_s = 1.0
    pieces, heard, at = [np.zeros(RATE_HZ, np.float32)], [], RATE_HZ
    for sound, line, pause_s in parts:
        heard.append(Heard(at * 1000 // RATE_HZ, (at + len(sound)) * 1000 // RATE_HZ, line))
        pieces += [sound, np.zeros(round(pause_s * RATE_HZ), np.float32)]
        at += len(sound) + len(pieces[-1])
    whole = np.concatenate([*pieces, np.zeros(round(quiet_s * RATE_HZ), np.float32)])
    speech_power = float(np.mean(np.concatenate([sound for sound, line, _ in parts if line is not None]) ** 2))
    numbers = np.random.default_rng(seed)
    if room_s:
        whole = _in_room(whole, room_s, numbers)
    if noise_db is not None:
        whole += _pink(len(whole), numbers) * np.float32(np.sqrt(speech_power) * 10 ** (-noise_db / 20))
    return Reading(whole * np.float32(0.5 / np.abs(whole).max()), tuple(heard))


def _parts(
    lines: Sequence[str], say: Callable[[str], Sound], random: Random, slips: Slips
) -> Iterator[tuple[Sound, int | None, float]]:
    """Everything that sounds, with its line and the pause after it."""
    for number in _order(len(lines), random, slips):
        words = lines[number]
        happens = random.random()
        if happens < slips.twice:
            yield _line(words, say, random, slips), number, _pause_s(random)
        elif happens < slips.twice + slips.again:
            yield _line(words, say, random, slips), number, random.uniform(0.3, 1.0)
            yield say("Again."), None, random.uniform(0.5, 1.5)
        elif happens < slips.twice + slips.again + slips.broken_off and len(words) > 20:
            yield say(_half(words, random)), None, random.uniform(0.4, 1.2)
        if random.random() < slips.cough:
            yield _cough(random), None, random.uniform(0.5, 1.5)
        yield _line(words, say, random, slips), number, _pause_s(random)
        if random.random() < slips.rustle:
            yield _rustle(random), None, random.uniform(0.4, 1.0)


def _order(count: int, random: Random, slips: Slips) -> list[int]:
    order = list(range(count))
    for _ in range(slips.exchanged):
        at = random.randrange(count - 1)
        order[at], order[at + 1] = order[at + 1], order[at]
    for _ in range(slips.left_out):
        order.pop(random.randrange(len(order)))
    return order


def _pause_s(random: Random) -> float:
    return min(max(random.lognormvariate(0.5, 0.5), LEAST_PAUSE_S), MOST_PAUSE_S)


def _line(words: str, say: Callable[[str], Sound], random: Random, slips: Slips) -> Sound:
    """A line; some have long pauses at their commas and stops."""
    if random.random() >= slips.pause_at_commas:
        return say(words)
    parts = words.replace(", ", ",|").replace(". ", ".|").split("|")
    pauses = [np.zeros(round(random.uniform(*COMMA_PAUSES_S) * RATE_HZ), np.float32) for _ in parts[1:]]
    joined = [say(parts[0])]
    for pause, part in zip(pauses, parts[1:], strict=True):
        joined += [pause, say(part)]
    return np.concatenate(joined)


def _half(words: str, random: Random) -> str:
    parts = words.split()
    return " ".join(parts[: max(2, round(len(parts) * random.uniform(0.3, 0.7)))]).rstrip(",.")


@cache
def _by_espeak(words: str) -> Sound:
    command = ["espeak-ng", "-v", "en-us", "-s", "150", "--stdout", folded(words)]
    return _finished(*soundfile.read(io.BytesIO(subprocess.run(command, check=True, capture_output=True).stdout)))


@cache
def _by_natural_voice(words: str) -> Sound:
    clip = NaturalVoice().speak(folded(normalised(words)), 0.9)
    return _finished(clip.samples, clip.rate_hz)


VOICES: dict[str, Callable[[str], Sound]] = {"espeak": _by_espeak, "natural": _by_natural_voice}


def _finished(sound: NDArray[np.floating], rate_hz: int) -> Sound:
    """At `RATE_HZ`, without the quiet around it, and as loud as all others."""
    sound = soxr.resample(sound.astype(np.float32), rate_hz, RATE_HZ)
    loud = np.flatnonzero(np.abs(sound) > 0.01 * np.abs(sound).max())
    sound = sound[loud[0] : loud[-1] + 1]
    return (sound * (0.1 / np.sqrt(np.mean(sound**2)))).astype(np.float32)


def _cough(random: Random) -> Sound:
    """One to three bursts of noise, as from a throat."""
    from scipy.signal import butter, sosfilt

    numbers = np.random.default_rng(random.randrange(2**32))
    bursts = []
    for _ in range(random.randrange(1, 4)):
        size = round(random.uniform(0.15, 0.3) * RATE_HZ)
        noise = sosfilt(butter(2, (300, 2500), "band", fs=RATE_HZ, output="sos"), numbers.standard_normal(size))
        bursts += [noise * np.exp(-np.arange(size) / (0.06 * RATE_HZ)) * 0.6, np.zeros(round(0.08 * RATE_HZ))]
    return np.concatenate(bursts).astype(np.float32)


def _rustle(random: Random) -> Sound:
    """A page that is turned: high noise that comes and goes."""
    from scipy.signal import butter, sosfilt

    numbers = np.random.default_rng(random.randrange(2**32))
    size = round(random.uniform(0.3, 0.9) * RATE_HZ)
    noise = sosfilt(butter(2, 2000, "high", fs=RATE_HZ, output="sos"), numbers.standard_normal(size))
    swells = np.interp(np.arange(size), np.linspace(0, size, 9), [0, *numbers.uniform(0.2, 1, 7), 0])
    return (noise * swells * 0.06).astype(np.float32)


def _in_room(sound: Sound, room_s: float, numbers: np.random.Generator) -> Sound:
    """Sound with the echoes of a room, which are 60 dB down after `room_s`."""
    from scipy.signal import fftconvolve

    at_s = np.arange(round(room_s * RATE_HZ)) / RATE_HZ
    ringing = numbers.standard_normal(len(at_s)) * 10 ** (-3 * at_s / room_s) * (at_s > 0.004)
    impulse = 0.5 * ringing / np.sqrt(np.sum(ringing**2))
    impulse[0] = 1
    return fftconvolve(sound, impulse)[: len(sound)].astype(np.float32)


def _pink(size: int, numbers: np.random.Generator) -> Sound:
    """Noise of power 1 whose power falls by half with each octave."""
    spectrum = np.fft.rfft(numbers.standard_normal(size))
    spectrum[1:] /= np.sqrt(np.arange(1, len(spectrum)))
    spectrum[0] = 0
    noise = np.fft.irfft(spectrum, size)
    return (noise / noise.std()).astype(np.float32)
