"""Mixes made for the player: their sound tells which frame of the class it is."""

import numpy as np

from guide.sound import dips, levels
from guide.sound.mixer import Mix, Spoken

#: Small enough that every frame of a minute has a value of its own in float32, large enough to be told apart.
GRAIN = 1 / (1 << 22)


def ramp(length_frames: int, offset: float = 0.1) -> Mix:
    """One long cue whose sample at frame n is `offset + n * GRAIN`."""
    clip = (offset + np.arange(length_frames) * GRAIN).astype(np.float32)
    return of_clip(clip)


def steady(length_frames: int, value: float) -> Mix:
    return of_clip(np.full(length_frames, value, np.float32))


def of_clip(clip: "np.ndarray") -> Mix:
    return Mix(
        length_frames=clip.size,
        predicted=levels.Levels(1.0, 1.0, 1.0, -18.0),
        cues=(Spoken(0, clip.size, "all of it"),),
        rings=(),
        dips=dips.from_plan(()),
        clip=lambda words: clip,
        longest_cue=clip.size,
        longest_ring=0,
    )
