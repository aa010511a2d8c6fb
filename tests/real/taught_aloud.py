"""A shipped class taught aloud: the program's own voice at other times than planned, in a room that is not quiet."""

from bisect import bisect_right
from dataclasses import dataclass
from itertools import accumulate, pairwise
from math import exp
from pathlib import Path
from random import Random

import numpy as np
import soundfile
from numpy.typing import NDArray

from guide.ready.load import load
from guide.ready.make_ready import ReadyClass, make_ready
from guide.units import RATE_HZ, frames_from_ms

SEQUENCES = Path(__file__).parents[2] / "sequences"

#: The class begins so long after the recording does, and the recording ends so long after the class.
AROUND_MS = 20_000


@dataclass(frozen=True, slots=True)
class Aloud:
    """The class, its sound (one channel at 48 kHz), and the truth: when each step began and where each cue lies."""

    ready: ReadyClass
    sound: NDArray[np.float32]
    starts_ms: tuple[int, ...]
    cues_ms: tuple[tuple[int, int], ...]


def taught_aloud(name: str, noise_db: float, seed: int, first_cues: int | None = None) -> Aloud:
    """A shipped class, each step a fifth longer or shorter, in pink noise so far below the voice; with `first_cues`,
    no more of it than those."""
    ready = make_ready(load(SEQUENCES / f"{name}.yaml"))
    random, spans = Random(seed), ready.timeline.spans
    edges = [0, *(span.start_ms for span in spans), spans[-1].end_ms]
    lengths = [(b - a) * min(max(exp(random.gauss(0, 0.2)), 0.75), 1.6) for a, b in pairwise(edges)]
    real = [AROUND_MS + round(ms) for ms in accumulate(lengths, initial=0.0)]
    cues_ms, free_ms = list[tuple[int, int]](), 0
    voice = [ready.spoken[cue.words].astype(np.float32) / 32768 for cue in ready.timeline.cues[:first_cues]]
    for cue, clip in zip(ready.timeline.cues, voice, strict=False):
        at = bisect_right(edges, cue.start_ms) - 1
        into = (cue.start_ms - edges[at]) / max(edges[at + 1] - edges[at], 1)
        start_ms = max(round(real[at] + into * (real[at + 1] - real[at])), free_ms)
        end_ms = start_ms + round(clip.size * 1000 / RATE_HZ)
        cues_ms.append((start_ms, end_ms))
        free_ms = end_ms + 250
    sound = np.zeros(frames_from_ms((real[-1] if first_cues is None else free_ms) + AROUND_MS), np.float32)
    for (start_ms, _), clip in zip(cues_ms, voice, strict=True):
        at = frames_from_ms(start_ms)
        sound[at : at + clip.size] += clip
    said = np.concatenate(voice)
    loud = float(np.sqrt(np.mean(said**2)))
    sound += pink(sound.size, seed) * np.float32(loud * 10 ** (-noise_db / 20))
    sound *= np.float32(0.05 / loud)
    return Aloud(ready, sound, tuple(real[1:-1]), tuple(cues_ms))


def pink(frames: int, seed: int) -> NDArray[np.float32]:
    """Noise that falls by 3 dB an octave, as loud as 1; it comes again every minute or so.

    Source: the usual definition, power in proportion to 1/f.
    """
    size = 1 << 21
    white = np.fft.rfft(np.random.default_rng(seed).standard_normal(size))
    # Below 40 Hz there is more of it than any microphone hears.
    hz = np.maximum(np.fft.rfftfreq(size, 1 / RATE_HZ), 40.0)
    noise = np.fft.irfft(white / np.sqrt(hz), size)
    return np.resize((noise / np.sqrt(np.mean(noise**2))).astype(np.float32), frames)


def written(sound: NDArray[np.float32], path: Path, rate_hz: int = RATE_HZ) -> Path:
    """The sound as a file, by its ending."""
    soundfile.write(path, sound, rate_hz)
    return path
