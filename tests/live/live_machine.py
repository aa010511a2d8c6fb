"""What random orders to a class need: a clock, a device and mixes that do as the test says."""

from functools import lru_cache

import numpy as np
from live_mixes import GRAIN

from guide.live.speakers.base import Pull
from guide.problem import MachineTrouble
from guide.sound import dips, levels
from guide.sound.mixer import Mix, MixedBell, MixedCue
from guide.units import frames_from_ms

#: The sound is made of pieces of this length.
PIECE_FRAMES = frames_from_ms(1000)

#: The words rise from the softest to the loudest and fall again, a grain a frame, so that each sample tells its frame.
SOFTEST, LOUDEST = 0.05, 0.35
TURN_FRAMES = int((LOUDEST - SOFTEST) / GRAIN)

#: The chimes tell which plan is heard: each has a level of its own, up to the loudest.
BELLS_LEAST, BELLS_STEP, BELLS_LEVELS = 0.1, 0.001, 16
BELLS_LOUDEST = BELLS_LEAST + BELLS_STEP * BELLS_LEVELS

#: All of it goes to nothing over the last frames of a class, as a class does.
LAST_FRAMES = frames_from_ms(1000)

#: Two neighbouring frames of a mix are never further apart.
STEEPEST = GRAIN + (LOUDEST + BELLS_LOUDEST) / LAST_FRAMES


class Clock:
    """Goes on when the test says so; stands in for the module `time` as well."""

    def __init__(self) -> None:
        self.s = 1000.0

    def now_s(self) -> float:
        return self.s

    def monotonic(self) -> float:
        return self.s


class Line:
    """One opened way to the device."""

    name = "test"
    latency_ms = 0
    widens = False

    def sink(self) -> None:
        """No sound server tells."""

    def __init__(self, pull: Pull) -> None:
        self.pull = pull
        self.alive = True

    def stop(self) -> None:
        self.alive = False


class Device:
    """Opens while it is there; the last line opened is the one that plays."""

    def __init__(self) -> None:
        self.is_there = True
        self.lines: list[Line] = []

    def open(self, pull: Pull, asked: str | None) -> Line:
        if not self.is_there:
            raise MachineTrouble("no device")
        self.lines.append(Line(pull))
        return self.lines[-1]

    def go(self) -> None:
        self.is_there = self.lines[-1].alive = False

    @property
    def plays(self) -> bool:
        return self.lines[-1].alive


def telling(length_frames: int, number: int) -> Mix:
    """The mix of a plan: its sound tells the frame, and which plan it is of those with near numbers."""
    level = BELLS_LEAST + BELLS_STEP * (number % BELLS_LEVELS)
    starts = range(0, length_frames, PIECE_FRAMES)
    sizes = [min(PIECE_FRAMES, length_frames - start) for start in starts]

    def voice(words: str) -> np.ndarray:
        start = int(words)
        if start + PIECE_FRAMES <= length_frames - LAST_FRAMES:
            return words_from(start)
        return words_from(start)[: length_frames - start] * going(start, length_frames)

    def bell(start: int) -> np.ndarray:
        if start + PIECE_FRAMES <= length_frames - LAST_FRAMES:
            return chimes_at(level)
        return chimes_at(level)[: length_frames - start] * going(start, length_frames)

    return Mix(
        length_frames=length_frames,
        predicted=levels.Levels(1.0, 1.0, 1.0, -18.0),
        cues=tuple(MixedCue(start, size, str(start)) for start, size in zip(starts, sizes, strict=True)),
        rings=tuple(MixedBell(start, size, bell(start)) for start, size in zip(starts, sizes, strict=True)),
        dips=dips.from_plan(()),
        clip=lru_cache(8)(voice),
        longest_cue=PIECE_FRAMES,
        longest_ring=PIECE_FRAMES,
    )


@lru_cache(512)
def words_from(start: int) -> np.ndarray:
    frames = start + np.arange(PIECE_FRAMES)
    return (SOFTEST + np.abs(frames % (2 * TURN_FRAMES) - TURN_FRAMES) * GRAIN).astype(np.float32)


@lru_cache(BELLS_LEVELS)
def chimes_at(level: float) -> np.ndarray:
    return np.full(PIECE_FRAMES, level, np.float32)


def going(start: int, length_frames: int) -> np.ndarray:
    """What is left of the sound of the frames of one piece, toward the end of the class."""
    left = length_frames - np.arange(start, min(start + PIECE_FRAMES, length_frames))
    return np.minimum(1.0, left / LAST_FRAMES).astype(np.float32)
