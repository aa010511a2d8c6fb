"""Mixes made for the player: their sound tells which frame of the class it is."""

from dataclasses import replace
from functools import lru_cache

import numpy as np

from guide.sound import dips, levels
from guide.sound.mixer import Mix, MixedCue
from guide.units import frames_from_ms

#: Small enough that every frame of a minute has a value of its own in float32, large enough to be told apart.
GRAIN = 1 / (1 << 22)


#: A ramp is made of words of this length, one after the other, so that only what is heard is made.
PIECE_FRAMES = frames_from_ms(4000)


def ramp(length_frames: int, offset: float = 0.1) -> Mix:
    """Words from the first frame to the last, whose sample at frame n is `offset + n * GRAIN`."""
    starts = range(0, length_frames, PIECE_FRAMES)
    return replace(
        of_clip(np.zeros(length_frames, np.float32)),
        cues=tuple(MixedCue(start, min(PIECE_FRAMES, length_frames - start), str(start)) for start in starts),
        clip=lambda words: _piece(int(words), offset)[: length_frames - int(words)],
        longest_cue=PIECE_FRAMES,
    )


@lru_cache(64)
def _piece(start: int, offset: float) -> "np.ndarray":
    return (offset + np.arange(start, start + PIECE_FRAMES) * GRAIN).astype(np.float32)


def steady(length_frames: int, value: float) -> Mix:
    return of_clip(np.full(length_frames, value, np.float32))


def of_clip(clip: "np.ndarray") -> Mix:
    return Mix(
        length_frames=clip.size,
        predicted=levels.Levels(1.0, 1.0, 1.0, -18.0),
        cues=(MixedCue(0, clip.size, "all of it"),),
        rings=(),
        dips=dips.from_plan(()),
        clip=lambda words: clip,
        longest_cue=clip.size,
        longest_ring=0,
    )
