"""The chance of speech in every chunk of a long recording, by as many processes as there are processors.

A chunk takes about a millisecond, and three hours have 340,000 of them. Those that are no louder than the quiet around
them are not judged.
"""

import os
from collections import deque
from collections.abc import Iterable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from typing import TYPE_CHECKING

from guide.rehearse.hearing.activity import CHUNK_BYTES, CHUNK_SAMPLES, silero

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

#: Judged by one process at a time: two minutes, in chunks; each part is led in by so many chunks before it.
PART_CHUNKS = 3750
LEAD_CHUNKS = 12

#: The quiet of a part is the level that a tenth of its chunks have or less. What rises less than so far above it is not
#: judged, unless it lies close to something that does: before it, or after it, in chunks.
QUIET_SHARE = 0.1
ABOVE_DB = 3.0
BEFORE_CHUNKS, AFTER_CHUNKS = 10, 8


def chances(sound: "Iterable[NDArray[np.int16]]") -> Iterator[float]:
    """The chance of speech in each whole chunk of `sound`, which comes in pieces of any length.

    Raises what `silero` raises.
    """
    parts = _parts(sound)
    first = next(parts, None)
    second = next(parts, None)
    if first is None:
        return
    if second is None:
        yield from _judged(*first)
        return
    yield from _by_many(_after(first, second, parts))


def _after(
    first: "tuple[bytes, int]", second: "tuple[bytes, int]", rest: "Iterator[tuple[bytes, int]]"
) -> Iterator[tuple[bytes, int]]:
    yield first
    yield second
    yield from rest


def _by_many(parts: "Iterable[tuple[bytes, int]]") -> Iterator[float]:
    """Parts judged side by side, few at a time, so that few are in memory; told in their order."""
    workers = max(os.cpu_count() or 1, 1)
    waiting: deque[Future[list[float]]] = deque()
    with ProcessPoolExecutor(workers) as pool:
        for part, lead in parts:
            waiting.append(pool.submit(_judged, part, lead))
            if len(waiting) > workers + 1:
                yield from waiting.popleft().result()
        while waiting:
            yield from waiting.popleft().result()


def _parts(sound: "Iterable[NDArray[np.int16]]") -> Iterator[tuple[bytes, int]]:
    """Parts of whole chunks, and how many of the first ones belong to the part before."""
    rest, lead = bytearray(), 0
    for piece in sound:
        rest += piece.tobytes()
        while len(rest) >= (lead + PART_CHUNKS) * CHUNK_BYTES:
            end = (lead + PART_CHUNKS) * CHUNK_BYTES
            yield bytes(rest[:end]), lead
            del rest[: end - LEAD_CHUNKS * CHUNK_BYTES]
            lead = LEAD_CHUNKS
    whole = len(rest) // CHUNK_BYTES
    if whole > lead:
        yield bytes(rest[: whole * CHUNK_BYTES]), lead


def _judged(part: bytes, lead: int) -> list[float]:
    """The chance of speech in each chunk of a part but the first `lead`."""
    chance, found, is_fresh = silero(), list[float](), True
    for number, is_loud in enumerate(_loud(part).tolist()):
        if not is_loud:
            found.append(0.0)
            is_fresh = False
            continue
        if not is_fresh:
            # What was heard before the quiet would be taken for what came just before this.
            chance.reset()
            is_fresh = True
        found.append(float(chance(part[number * CHUNK_BYTES : (number + 1) * CHUNK_BYTES])))
    return found[lead:]


def _loud(part: bytes) -> "NDArray[np.bool_]":
    """Which chunks rise above the quiet of their part, or lie close to one that does."""
    import numpy as np

    samples = np.frombuffer(part, "<i2").reshape(-1, CHUNK_SAMPLES).astype(np.float32)
    level_db = 10 * np.log10(np.mean(samples**2, axis=1) + 1e-3)
    rises = level_db > np.quantile(level_db, QUIET_SHARE) + ABOVE_DB
    width = BEFORE_CHUNKS + AFTER_CHUNKS + 1
    padded = np.pad(rises, (AFTER_CHUNKS, BEFORE_CHUNKS))
    return np.asarray(np.lib.stride_tricks.sliding_window_view(padded, width).any(axis=1), np.bool_)
