"""A sound encoded in stretches on all cores, joined where the encoders on both sides wrote the same.

Each stretch has an encoder of its own, which begins some seconds before the one ahead of it ends. An encoder that has
heard a few seconds knows all that matters to it, so that from some packet on both write the same; there the one ends
and the other begins, and whoever decodes the file meets what one encoder would have written. Where both never come to
agree, the one ahead goes on. Stretches are cut by the clock of the sound, so that the file is the same on any machine.
"""

from collections import deque
from collections.abc import Callable, Hashable, Iterable, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass
from threading import Event
from typing import Generic, Protocol, TypeVar

import numpy as np

from guide.export.audio.base import Frames
from guide.priority import cores
from guide.units import RATE_HZ

Packet = TypeVar("Packet")

#: A multiple of the packets of every format that is encoded so (960 and 1152 frames), since each stretch begins with a
#: packet; short enough that those held at a time need little memory (5 MB each, in one channel).
STRETCH_FRAMES = 24 * RATE_HZ

#: What two encoders both hear: in 116 cuts through words and music LAME needed at most 2.8 s, and 1 s as a rule.
OVERLAP_FRAMES = 3 * RATE_HZ

#: So many packets in a row are no accident (0.4 s), and more than an MP3 reaches back for the sound of one.
LEAST_ALIKE = 20

#: So much is encoded at a time, between two looks whether it is still wanted.
PIECE_FRAMES = 16_384


class PacketEncoder(Protocol[Packet]):
    """Makes packets of a stretch of sound, each for the same number of frames."""

    def encode(self, frames: Frames) -> list[Packet]:
        """The packets that are whole by now."""

    def flush(self) -> list[Packet]:
        """Those that are left when the sound has ended."""


@dataclass(frozen=True, slots=True)
class PacketFormat(Generic[Packet]):
    """How a format is encoded in stretches.

    `start` makes an encoder for the sound from a frame on; `heard` gives for each of some packets what a decoder makes
    use of, so that packets of two encoders can be compared. After `settled` packets an encoder may begin though it
    does not write the same; where that is None, it may not.
    """

    packet_frames: int
    start: Callable[[int], PacketEncoder[Packet]]
    heard: Callable[[Sequence[Packet]], Iterable[Hashable]]
    settled: int | None


@dataclass(slots=True)
class _Encoded(Generic[Packet]):
    """What is left of a stretch from packet `first` of the whole on: its packets so far, without those handed out; of
    those that the one ahead of it wrote as well, `written` have gone out."""

    first: int
    frames: Frames
    encoder: PacketEncoder[Packet]
    packets: list[Packet]
    written: int = 0


class Stretches(Generic[Packet]):
    """Takes the frames of a sound, one piece after the other, and hands out its packets in their order."""

    def __init__(self, packet_format: PacketFormat[Packet], emit: Callable[[Sequence[Packet]], None]) -> None:
        self._format = packet_format
        self._emit = emit
        self._waiting: list[Frames] = []
        self._waiting_frames = 0
        self._next_frame = 0
        self._pool: ThreadPoolExecutor | None = None
        self._under_way: deque[Future[_Encoded[Packet]]] = deque()
        self._ahead: _Encoded[Packet] | None = None
        self._unwanted = Event()

    def write(self, frames: Frames) -> None:
        """Take the next piece; waits for stretches before it, so that few are held."""
        self._waiting.append(frames)
        self._waiting_frames += len(frames)
        if self._waiting_frames > STRETCH_FRAMES + OVERLAP_FRAMES:
            self._begin(STRETCH_FRAMES + OVERLAP_FRAMES)
            while len(self._under_way) > cores():
                self._join(self._under_way.popleft().result())

    def finish(self) -> None:
        """Hand out what is left."""
        self._begin(self._waiting_frames)
        while self._under_way:
            self._join(self._under_way.popleft().result())
        if self._ahead is not None:
            self._ahead.packets += self._ahead.encoder.flush()
            self._hand_out(len(self._ahead.packets))
        self.abandon()

    def abandon(self) -> None:
        """Let go of everything."""
        self._unwanted.set()
        if self._pool is not None:
            self._pool.shutdown(cancel_futures=True)

    def _begin(self, count: int) -> None:
        """Have the first frames of those that wait encoded; all but the overlap is waited for no more."""
        whole = np.concatenate(self._waiting)
        rest = whole[STRETCH_FRAMES:].copy() if count < len(whole) else whole[:0]
        self._waiting, self._waiting_frames = [rest], len(rest)
        if self._pool is None:
            self._pool = ThreadPoolExecutor(cores(), "stretch")
        self._under_way.append(self._pool.submit(self._encoded, whole[:count], self._next_frame))
        self._next_frame += STRETCH_FRAMES

    def _encoded(self, frames: Frames, first_frame: int) -> _Encoded[Packet]:
        encoder = self._format.start(first_frame)
        encoded = _Encoded(first_frame // self._format.packet_frames, frames, encoder, [])
        self._go_on(encoded, frames)
        return encoded

    def _go_on(self, encoded: _Encoded[Packet], frames: Frames) -> None:
        for at in range(0, len(frames), PIECE_FRAMES):
            if self._unwanted.is_set():
                return
            encoded.packets += encoded.encoder.encode(frames[at : at + PIECE_FRAMES])

    def _join(self, after: _Encoded[Packet]) -> None:
        """Let the stretch ahead end where the one after it can begin, or go on to the end of that."""
        ahead, self._ahead = self._ahead, after
        heard, after.frames = after.frames, after.frames[:0].copy()
        if ahead is None:
            return
        earlier = after.first - ahead.first
        both = min(len(ahead.packets) - earlier, len(after.packets))
        one, other = (self._format.heard(p) for p in (ahead.packets[earlier:][:both], after.packets[:both]))
        place = join_place([here == there for here, there in zip(one, other, strict=True)], self._format.settled)
        self._ahead = ahead
        if place is None:
            self._go_on(ahead, heard[OVERLAP_FRAMES:])
            # What the next stretch is compared with comes later, and all before it is wanted no more.
            self._hand_out(min(earlier + STRETCH_FRAMES // self._format.packet_frames, len(ahead.packets)))
            return
        self._hand_out(earlier + place)
        self._ahead, after.written = after, place

    def _hand_out(self, end: int) -> None:
        ahead = self._ahead
        assert ahead is not None
        self._emit(ahead.packets[ahead.written : end])
        del ahead.packets[:end]
        ahead.first, ahead.written = ahead.first + end, 0


def join_place(alike: Sequence[bool], settled: int | None) -> int | None:
    """Where an encoder may begin: amid packets that are alike to the last one known, else when it is settled.

    None where it may not.
    """
    run = next((count for count, same in enumerate(reversed(alike)) if not same), len(alike))
    if run >= LEAST_ALIKE:
        return len(alike) - run // 2
    return settled if settled is not None and settled < len(alike) else None
