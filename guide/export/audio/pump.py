"""One thread makes the sound, another encodes it, and an error in either ends both."""

import contextlib
from collections.abc import Callable, Iterator
from functools import partial
from queue import Queue
from threading import Event, Thread

import numpy as np
from numpy.typing import NDArray

from guide.export.audio.base import CHANNELS, Encoder, Frames, Sink
from guide.sound.clip_finish import in_both_channels, to_int16

#: Frames that the encoder gets at a time, whatever the blocks are: what some encoders make of a sound (Vorbis) depends
#: on how it is cut. A third of a second.
PIECE_FRAMES = 16_384

#: How many pieces may wait; bounds the memory, and is enough to even out the two threads.
WAITING_PIECES = 8


def encode(blocks: Iterator[NDArray[np.float32]], encoder: Encoder, sink: Sink, channels: int = CHANNELS) -> None:
    """Encode all `blocks` and finish the file: shape (n, 2), or (n,) for the same in both channels; full scale 1.0.

    Raises: whatever the iterator, the encoder or the disk raised first; the encoder is then abandoned.
    """
    worker = _Worker(encoder, sink)
    worker.start()
    try:
        for piece in pieces(blocks, channels):
            worker.give(piece)
            if worker.failed.is_set():
                break
        worker.end()
    except BaseException:
        worker.failed.set()
        worker.end()
        raise
    if worker.failure is not None:
        raise worker.failure


def pieces(blocks: Iterator[NDArray[np.float32]], channels: int = CHANNELS) -> Iterator[Frames]:
    """The sound of `blocks` in pieces of `PIECE_FRAMES`, the last one shorter.

    No sound at all becomes one silent frame, because most formats have no file without any.
    """
    piece = np.zeros((PIECE_FRAMES, channels), np.int16)
    filled = total = 0
    for block in blocks:
        total += len(block)
        taken = 0
        while taken < len(block):
            part = block[taken : taken + PIECE_FRAMES - filled]
            frames = to_int16(part)
            if part.ndim == 1:
                frames = in_both_channels(frames) if channels == CHANNELS else frames[:, np.newaxis]
            piece[filled : filled + len(part)] = frames
            filled += len(part)
            taken += len(part)
            if filled == PIECE_FRAMES:
                yield piece
                piece, filled = np.zeros_like(piece), 0
    if filled or not total:
        yield piece[: max(filled, 1)]


class _Worker:
    """The encoding thread: takes frames until the end is told, and after a failure throws them away until then."""

    def __init__(self, encoder: Encoder, sink: Sink) -> None:
        self._encoder = encoder
        self._sink = sink
        self._queue: Queue[Frames | None] = Queue(WAITING_PIECES)
        self._thread = Thread(target=self._run, name="encoder", daemon=True)
        self.failed = Event()
        self.failure: BaseException | None = None

    def start(self) -> None:
        self._thread.start()

    def give(self, frames: Frames) -> None:
        self._queue.put(frames)

    def end(self) -> None:
        self._queue.put(None)
        self._thread.join()

    def _run(self) -> None:
        while (frames := self._queue.get()) is not None:
            if not self.failed.is_set():
                self._attempt(partial(self._encoder.write, frames))
        if not self.failed.is_set():
            self._attempt(self._encoder.finish)
        if self.failed.is_set():
            self._abandon()

    def _attempt(self, work: Callable[[], None]) -> None:
        """Do `work`; a failure is kept for the caller, because a thread has nobody to raise it to."""
        try:
            work()
            self._sink.check()
        except BaseException as error:
            self.failure = error
            self.failed.set()

    def _abandon(self) -> None:
        with contextlib.suppress(Exception):
            self._encoder.abandon()
