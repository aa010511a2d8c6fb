"""Music as a tape that never ends: pieces one after the other, each fading into the next, and the last into the first.

The samples of a frame depend on nothing but the frame.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from guide.sound.clip_finish import from_int16
from guide.sound.music.measured import HOP_FRAMES, Hops
from guide.units import frames_from_ms

#: Where a piece ends it becomes the next for so long, or for a quarter of the shorter one.
OVERLAP_FRAMES = frames_from_ms(3000)

#: A piece may end so much earlier that its waves go on in those of the next.
MOST_EARLIER_FRAMES = frames_from_ms(100)

Single = NDArray[np.float32]


class Samples(Protocol):
    """A stored sound, mono at 48 kHz in 16 bits."""

    def read(self, first: int, count: int) -> NDArray[np.int16]:
        """So many frames from one on, which must all be there."""
        ...


@dataclass(frozen=True, slots=True)
class InMemory:
    """A sound that is at hand."""

    pcm: NDArray[np.int16]

    def read(self, first: int, count: int) -> NDArray[np.int16]:
        return self.pcm[first : first + count]


@dataclass(frozen=True, slots=True)
class MusicPiece:
    """A stored sound that is played, with its hops, which are whole."""

    samples: Samples
    hops: Hops

    @property
    def frames(self) -> int:
        """How long it is."""
        return self.hops.squares.size * HOP_FRAMES

    def sound(self, first: int, count: int) -> Single:
        """So many of its frames from one on."""
        return from_int16(self.samples.read(first, count))


@dataclass(frozen=True, slots=True)
class _Laid:
    """A piece at its place on the tape, and how long it takes to come and to go; `coming` and `going` say how like the
    sounds are that meet there."""

    piece: MusicPiece
    start: int
    frames: int
    fade_in: int
    coming: float
    fade_out: int
    going: float


@dataclass(frozen=True)
class Tape:
    """Pieces laid one after the other; after `period` frames they come again. Make one with `circle` or `joined`."""

    laid: tuple[_Laid, ...]
    period: int

    def sound(self, first: int, count: int) -> Single:
        """So many frames from `first` on, which is 0 at the beginning and never less."""
        heard = np.zeros(count, np.float32)
        for lap in range(max(0, first // self.period - 1), (first + count - 1) // self.period + 1):
            for number, one in enumerate(self.laid):
                start = lap * self.period + one.start - first
                low, high = max(0, start), min(count, start + one.frames)
                if low < high:
                    heard[low:high] += _faded(one, low - start, high - low, lap == number == 0)
        return heard

    def hops_at(self, middles: NDArray[np.int64]) -> tuple[Single, Single]:
        """The mean square of the 100 ms around each of some frames of the tape, and a bound on the peak there."""
        squares, peaks = np.zeros(middles.size, np.float32), np.zeros(middles.size, np.float32)
        at = middles % self.period
        for one in self.laid:
            # What reaches over the end of the tape is heard at its beginning.
            for inside in (at - one.start, at - one.start + self.period):
                heard = (inside >= 0) & (inside < one.frames)
                of_two, peak = _around(one.piece, inside[heard])
                squares[heard] += of_two * _gains(one, inside[heard]) ** 2
                peaks[heard] += peak
        return squares, peaks

    @cached_property
    def hops(self) -> Hops:
        """The hops of all pieces."""
        every = [one.piece.hops for one in self.laid]
        return Hops(np.concatenate([hops.squares for hops in every]), np.concatenate([hops.peaks for hops in every]))


def circle(pcm: NDArray[np.int16], hops: Hops) -> Tape:
    """A sound whose end goes on into its beginning by itself."""
    return Tape((_Laid(MusicPiece(InMemory(pcm), hops), 0, pcm.size, 0, 0.0, 0, 0.0),), pcm.size)


def joined(pieces: Sequence[MusicPiece]) -> Tape:
    """Sounds one after the other, the first again after the last."""
    meetings = [_meeting(one, pieces[(number + 1) % len(pieces)]) for number, one in enumerate(pieces)]
    laid, start = [], 0
    for number, piece in enumerate(pieces):
        overlap_before, _, like_before = meetings[number - 1]
        overlap, earlier, like = meetings[number]
        frames = piece.frames - earlier
        laid.append(_Laid(piece, start, frames, overlap_before, like_before, overlap, like))
        start += frames - overlap
    return Tape(tuple(laid), start)


def _meeting(one: MusicPiece, other: MusicPiece) -> tuple[int, int, float]:
    """How long one piece takes to become another, how much earlier it ends for that, and how like they are there."""
    overlap = min(OVERLAP_FRAMES, one.frames // 4, other.frames // 4)
    room = min(MOST_EARLIER_FRAMES, one.frames // 8)
    tail = one.sound(one.frames - overlap - room, overlap + room).astype(np.float64)
    weights = np.sin(np.pi * (np.arange(overlap) + 0.5) / overlap)
    head = other.sound(0, overlap).astype(np.float64)
    size = 1 << (tail.size + overlap).bit_length()

    def slid(over: NDArray[np.float64], along: NDArray[np.float64]) -> NDArray[np.float64]:
        """The sum of products where `along` is slid over the tail."""
        return np.fft.irfft(np.fft.rfft(over, size) * np.conj(np.fft.rfft(along, size)), size)[: room + 1]

    energies = slid(tail**2, weights) * float((weights * head**2).sum())
    like = slid(tail, weights * head) / np.sqrt(np.maximum(energies, 1e-12))
    best = int(like.argmax())
    return overlap, room - best, float(np.clip(like[best], 0.0, 1.0))


def _around(piece: MusicPiece, middles: NDArray[np.int64]) -> tuple[Single, Single]:
    """The mean square and the peak of 100 ms around frames of a piece, from the two measured hops that they lie in."""
    starts, last = middles - HOP_FRAMES // 2, piece.hops.squares.size - 1
    before, later = (np.clip(starts // HOP_FRAMES + step, 0, last) for step in (0, 1))
    share = ((starts % HOP_FRAMES) / HOP_FRAMES).astype(np.float32)
    squares = piece.hops.squares[before] * (1 - share) + piece.hops.squares[later] * share
    return squares, np.maximum(piece.hops.peaks[before], piece.hops.peaks[later])


def _gains(one: _Laid, frames: NDArray[np.int64]) -> Single:
    """How much of a piece is heard at some of its frames."""
    gains = np.ones(frames.size, np.float32)
    coming, left = frames < one.fade_in, one.frames - 1 - frames
    gains[coming] = _rising(one.fade_in, one.coming)[frames[coming]] if one.fade_in else 1
    going = left < one.fade_out
    gains[going] *= _rising(one.fade_out, one.going)[left[going]] if one.fade_out else 1
    return gains


def _faded(one: _Laid, first: int, count: int, begins: bool) -> Single:
    """Frames of a piece with its fades; where the tape `begins`, nothing is before it to fade out of."""
    sound = one.piece.sound(first, count)
    if one.fade_in and not begins and first < one.fade_in:
        size = min(count, one.fade_in - first)
        sound[:size] *= _rising(one.fade_in, one.coming)[first : first + size]
    going = one.frames - one.fade_out
    if one.fade_out and first + count > going:
        low = max(first, going)
        falling = _rising(one.fade_out, one.going)[::-1]
        sound[low - first :] *= falling[low - going : first + count - going]
    return sound


@lru_cache(8)
def _rising(frames: int, like: float) -> Single:
    """The gain of what comes in; turned round, of what goes. Both together keep the power of sounds so like."""
    way = np.pi / 2 * (np.arange(frames) + 0.5) / frames
    coming, going = np.sin(way), np.cos(way)
    rising: Single = (coming / np.sqrt(1 + 2 * like * coming * going)).astype(np.float32)
    return rising
