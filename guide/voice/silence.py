"""Silence cut off around speech, and sentences put together with a pause of ours between them."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

#: What stays below this is silence. Engines put 270 to 500 ms of it around each sentence, and onsets would lie.
SILENT_DBFS = -50.0

#: So much of the silence is kept, for the soft beginnings and ends of sounds.
KEPT_MS = 30


def trimmed(samples: NDArray[np.float32], rate_hz: int) -> NDArray[np.float32]:
    """Mono `samples` without the silence before and after; empty when there is nothing else."""
    loud = np.flatnonzero(np.abs(samples) > 10 ** (SILENT_DBFS / 20))
    if not loud.size:
        return samples[:0]
    kept = KEPT_MS * rate_hz // 1000
    return samples[max(0, int(loud[0]) - kept) : int(loud[-1]) + 1 + kept]


def joined(parts: Sequence[NDArray[np.float32]], pauses_ms: Sequence[int], rate_hz: int) -> NDArray[np.float32]:
    """Trimmed `parts` one after the other, with `pauses_ms[k]` of silence between part k and the next."""
    pieces: list[NDArray[np.float32]] = []
    for part, pause_ms in zip(parts, (*pauses_ms, 0), strict=True):
        pieces += [trimmed(part, rate_hz), np.zeros(pause_ms * rate_hz // 1000, np.float32)]
    return np.concatenate(pieces)
