"""Timelines, clips and voices that tests make up."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from guide.plan.timeline import Cue, CuePart, Dip, Ring, RingRole, Timeline
from guide.problem import Place
from guide.sequence.sound_names import DEFAULT_SOUNDS, PALETTE_NAMES
from guide.sequence.steps import CueKind
from guide.sound.clip_finish import FINISH, from_int16
from guide.sound.clip_measures import measure
from guide.sound.palette import Palette, load
from guide.units import RATE_HZ, ms_from_frames

PLACE = Place("lakeside.yaml", 3, 5)


@dataclass(frozen=True, slots=True)
class KeptClips:
    """Clips in memory; `asked` counts how often each was fetched."""

    clips: Mapping[str, NDArray[np.int16]]
    asked: dict[str, int] = field(default_factory=dict)
    measured: dict[str, NDArray[np.float32]] = field(default_factory=dict)

    def __getitem__(self, text: str, /) -> NDArray[np.int16]:
        self.asked[text] = self.asked.get(text, 0) + 1
        return self.clips[text]

    def measures(self, text: str, /) -> NDArray[np.float32]:
        if text not in self.measured:
            self.measured[text] = measure(from_int16(self.clips[text])).packed()
        return self.measured[text]


class MadeClips:
    """Clips of noise made when they are asked for and kept nowhere, `length_ms` long each."""

    def __init__(self, length_ms: int) -> None:
        self.length_ms = length_ms
        self.kept = np.zeros(0, np.float32)

    def __getitem__(self, text: str, /) -> NDArray[np.int16]:
        draw = np.random.default_rng(int(text))
        return draw.integers(-6000, 6000, self.length_ms * RATE_HZ // 1000).astype(np.int16)

    def measures(self, text: str, /) -> NDArray[np.float32]:
        """Those of the first clip: all are the same noise, as far as loudness goes."""
        if not self.kept.size:
            self.kept = measure(from_int16(self["0"])).packed()
        return self.kept


@cache
def palette_of_shipped() -> Palette:
    return load(PALETTE_NAMES, Path())


@cache
def speech_like(seed: int, seconds: float) -> NDArray[np.int16]:
    """A buzz that comes and goes as syllables do, shaped like every clip; its peaks are well above its loudness."""
    draw = np.random.default_rng(seed)
    at_s = np.arange(int(seconds * RATE_HZ)) / RATE_HZ
    pitch = np.cumsum(110 + 20 * np.sin(2 * np.pi * 0.7 * at_s + draw.uniform(0, 6))) / RATE_HZ
    buzz = sum(np.sin(2 * np.pi * k * pitch + draw.uniform(0, 6)) / k**0.7 for k in range(1, 25))
    syllables = np.maximum(0, np.sin(2 * np.pi * 3.1 * at_s)) ** 0.7
    return FINISH((0.1 * buzz * syllables).astype(np.float32), RATE_HZ)[0]


def cues_at(starts_ms: Sequence[int], words: Sequence[str], clips: Mapping[str, NDArray[np.int16]]) -> tuple[Cue, ...]:
    return tuple(
        Cue(start, ms_from_frames(clips[text].size), text, CueKind.HOW, CuePart.HOLD, PLACE, 0)
        for start, text in zip(starts_ms, words, strict=True)
    )


def ring_at(start_ms: int, role: RingRole, length_ms: int | None = None) -> Ring:
    # A chime of an interval sounds as the bell of a step does.
    sound = DEFAULT_SOUNDS["step" if role is RingRole.INTERVAL else role.value]
    return Ring(start_ms, length_ms or palette_of_shipped().length_ms(sound), sound, role, None)


def timeline_of(cues: tuple[Cue, ...], rings: tuple[Ring, ...], length_ms: int) -> Timeline:
    """Every cue in a dip of its own."""
    dips = tuple(Dip(cue.start_ms, cue.end_ms) for cue in cues)
    rings = tuple(sorted(rings, key=lambda ring: ring.start_ms))
    return Timeline("made up", length_ms, (), cues, rings, dips, (), (), ())


def led_class(gap_ms: int, length_ms: int, chime_every_ms: int = 4000) -> tuple[Timeline, KeptClips]:
    """Words every so often, a chime on every breath, and a bell for the class and a section."""
    clips = {f"words {seed}": speech_like(seed, 1.5 + 0.4 * seed) for seed in range(4)}
    starts = list(range(4000, length_ms - 14_000, gap_ms))
    cues = cues_at(starts, [f"words {i % 4}" for i in range(len(starts))], clips)
    roles = (RingRole.INHALE, RingRole.EXHALE)
    chimes = [ring_at(at, roles[i % 2]) for i, at in enumerate(range(5000, length_ms - 12_000, chime_every_ms))]
    bells = [ring_at(0, RingRole.CLASS), ring_at(2500, RingRole.SECTION), ring_at(length_ms - 9600, RingRole.CLASS)]
    return timeline_of(cues, (*chimes, *bells), length_ms), KeptClips(clips)
