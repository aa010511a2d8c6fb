"""The sound of cuts, read from a recording piece by piece."""

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from guide.record.lines import ReadingLine
from guide.review.hearing.recorded_speech import first_bytes
from guide.review.hearing.sound_decoder import mono
from guide.units import RATE_HZ, frames_from_ms
from guide.voice.takes.store import Take, Takes

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Sound = NDArray[np.float32]

#: Samples that a take holds are whole numbers of 24 bits; two recordings that differ by less than one are the same.
SAME = 2.0**-22


def sounds_of(
    recording: Path, spans_ms: "list[tuple[int, int]]", progress: Callable[[int, int], None] | None = None
) -> "Iterator[Sound]":
    """What is heard in a recording in each of some spans that follow one another, at `units.RATE_HZ`.

    No more of it is held than a span and a piece. `progress` is told `(done_ms, total_ms)`.

    Raises:
        UnusableChoice: the file cannot be read, or breaks off.
    """
    waiting, start, pieces = np.zeros(0, np.float32), 0, mono(recording, first_bytes(recording), RATE_HZ)
    for start_ms, end_ms in spans_ms:
        first, end = frames_from_ms(start_ms), frames_from_ms(end_ms)
        while start + len(waiting) < end and (piece := next(pieces, None)) is not None:
            waiting, start = _without_past(waiting, start, first)
            waiting = np.concatenate([waiting, piece[0]])
            if progress is not None and piece[1] > 0:
                total_ms = int(piece[1] * 1000)
                progress(min((start + len(waiting)) * 1000 // RATE_HZ, total_ms), total_ms)
        yield waiting[max(first - start, 0) : end - start].copy()


def _without_past(waiting: "Sound", start: int, first: int) -> "tuple[Sound, int]":
    """What is not before frame `first` yet, and the frame with which that begins."""
    past = min(max(first - start, 0), len(waiting))
    return waiting[past:], start + past


def kept_anew(takes: Takes, line: ReadingLine, sound: "Sound") -> Take | None:
    """Keep a recording of a line, if the last take of it is not that very one; nothing where it is.

    Raises:
        MachineTrouble: the disk would not have it.
    """
    last = takes.latest(line.words)
    if last is not None and _is_same(last, sound):
        return None
    return takes.keep(line.words, sound, RATE_HZ)


def _is_same(take: Take, sound: "Sound") -> bool:
    from guide.problem import UnusableChoice

    try:
        samples, rate_hz = take.read()
    except UnusableChoice:
        return False
    clipped = np.clip(sound, -1.0, 1.0)
    return rate_hz == RATE_HZ and samples.shape == clipped.shape and bool(np.allclose(samples, clipped, 0, SAME))
