"""The music of a plan as it is mixed: at its level, turned down under the words, faded where the plan says."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from guide.plan.timeline import Dip, MusicSpan
from guide.sound import dips
from guide.sound.clip_finish import VOICE_LUFS
from guide.sound.k_weighting import CHANNELS, HOP_MS
from guide.sound.music.measured import HOP_FRAMES
from guide.sound.music.tape import Tape
from guide.units import frames_from_ms

#: How slowly music goes down before words and comes up after them: too slowly to draw the ear.
FALL_MS, RISE_MS = 1200, 2400

#: How much louder it is where nobody speaks: so much, and what its loudest seconds are over the rest of it, since it is
#: these that have to be far enough under the words; but never more than MOST_RISE_DB.
RISE_DB, MOST_RISE_DB = 6.0, 12.0

#: How much further than the plan asks its loudest seconds are under the words, since no two words are as loud.
SPARE_DB = 1.0

Single = NDArray[np.float32]
Double = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class LaidMusic:
    """Music from frame `start` to `end`, at frame `origin` of which its tape would begin; `gain` is for where nobody
    speaks, beside a voice at VOICE_LUFS, and `depth_db` how far it is turned down while words are said."""

    start: int
    end: int
    origin: int
    tape: Tape
    gain: float
    depth_db: float
    fade_in: int
    fade_out: int

    def add(self, heard: Single, first_frame: int, down: dips.Dips, gain: float) -> None:
        """Add what of it is heard to a stretch that begins at a frame of the class."""
        low, high = max(self.start, first_frame), min(self.end, first_frame + heard.size)
        if low >= high:
            return
        sound = self.tape.sound(low - self.origin, high - low) * np.float32(self.gain * gain)
        for first, last in ((low, min(high, self.start + self.fade_in)), (max(low, self.end - self.fade_out), high)):
            if first < last:
                sound[first - low : last - low] *= self._fades(np.arange(first, last)).astype(np.float32)
        down.turn_down(sound, low, self.depth_db)
        heard[low - first_frame : high - first_frame] += sound

    def gains(self, frames: NDArray[np.int64], down: dips.Dips) -> Double:
        """Its gain at some frames of the class in which it plays."""
        return self.gain * self._fades(frames) * down.gains(frames, self.depth_db)

    def _fades(self, frames: NDArray[np.int64]) -> Double:
        """How much is there while it comes and goes: a quarter of a wave, so that two together keep their power."""
        come = np.clip((frames - self.start + 0.5) / max(1, self.fade_in), 0, 1)
        left = np.clip((self.end - frames - 0.5) / max(1, self.fade_out), 0, 1)
        fades: Double = np.sin(np.pi / 2 * come) * np.sin(np.pi / 2 * left)
        return fades


@dataclass(frozen=True, slots=True)
class Sounding:
    """What something of a class amounts to before any gain, in hops of 100 ms: energy, and a bound on the peak."""

    energy: Double
    peak: Double


def slow_dips(planned: Iterable[Dip]) -> dips.Dips:
    """Where music is down: gently, and all the while that words follow each other."""
    return dips.from_plan(planned, FALL_MS, RISE_MS)


def laid(spans: Iterable[MusicSpan], tapes: Mapping[str, Tape]) -> tuple[LaidMusic, ...]:
    """The music of a plan; what has no tape is not heard."""
    return tuple(_laid(span, tapes[span.source]) for span in spans if span.source in tapes)


def _laid(span: MusicSpan, tape: Tape) -> LaidMusic:
    start, end = frames_from_ms(span.start_ms), frames_from_ms(span.end_ms)
    loudest_lufs = tape.hops.loudest_lufs
    depth_db = min(MOST_RISE_DB, RISE_DB + loudest_lufs - tape.hops.integrated_lufs)
    under_db = VOICE_LUFS - span.below_db - SPARE_DB - loudest_lufs
    return LaidMusic(
        start=start,
        end=end,
        origin=start - frames_from_ms(span.from_ms),
        tape=tape,
        gain=float(10 ** ((under_db + depth_db) / 20)),
        depth_db=depth_db,
        fade_in=frames_from_ms(span.fade_in_ms),
        fade_out=frames_from_ms(span.fade_out_ms),
    )


def sounding(music: Iterable[LaidMusic], down: dips.Dips, length_ms: int) -> Sounding:
    """What the music of a class amounts to."""
    hops = -(-length_ms // HOP_MS) + 1
    energy, peak = np.zeros(hops), np.zeros(hops)
    for one in music:
        at = np.arange(one.start // HOP_FRAMES, min(hops, -(-one.end // HOP_FRAMES)))
        middles = np.clip(at * HOP_FRAMES + HOP_FRAMES // 2, one.start, one.end - 1)
        squares, peaks = one.tape.hops_at(middles - one.origin)
        energy[at] += CHANNELS * squares * one.gains(middles, down) ** 2
        edges = (np.clip(middles + way * HOP_FRAMES // 2, one.start, one.end - 1) for way in (-1, 0, 1))
        peak[at] += peaks * np.max([one.gains(edge, down) for edge in edges], axis=0)
    return Sounding(energy, peak)


def going_on(
    music: tuple[LaidMusic, ...], frame: int, before: tuple[LaidMusic, ...], was: int
) -> tuple[LaidMusic, ...]:
    """The music with that which plays at a frame going on as it was `before` at another, where the tape is the same."""
    played = {id(one.tape): was - one.origin for one in before if one.start <= was < one.end}

    def moved(one: LaidMusic) -> LaidMusic:
        if not one.start <= frame < one.end or id(one.tape) not in played:
            return one
        origin = frame - played[id(one.tape)]
        # Some whole rounds earlier, so that there is music from its start on, should somebody ask for that.
        return replace(one, origin=origin - max(0, -(-(origin - one.start) // one.tape.period)) * one.tape.period)

    return tuple(map(moved, music))
