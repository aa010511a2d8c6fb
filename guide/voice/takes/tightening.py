"""A take said a little faster than it was recorded, at the same pitch: by FFmpeg's `atempo`, which PyAV carries.

It keeps the pitch by laying alike stretches of the wave over each other (WSOLA), and is LGPL; PyAV is in the extra that
M4A needs as well. The well-kept libraries that do nothing else are GPL.
"""

from collections.abc import Iterator
from fractions import Fraction
from importlib.util import find_spec

import numpy as np
from numpy.typing import NDArray

#: Faster by so much at most: a change of tempo below about a tenth is seldom noticed in speech (from memory).
MOST = 1.08

#: What brings it, where it is missing.
INSTALL = "python -m pip install 'practice-guide[m4a]'"

Single = NDArray[np.float32]


def can_tighten() -> bool:
    """Whether this machine has what it needs."""
    return find_spec("av") is not None


def tightened(samples: Single, rate_hz: int, tempo: float) -> Single:
    """The samples, mono, `tempo` times as fast; they end within some milliseconds of where that is."""
    if tempo == 1.0:
        return samples
    return np.concatenate([samples[:0], *_at_tempo(samples, rate_hz, tempo)])


def _at_tempo(samples: Single, rate_hz: int, tempo: float) -> Iterator[Single]:
    import av

    graph = av.filter.Graph()
    source = graph.add("abuffer", f"sample_rate={rate_hz}:sample_fmt=flt:channel_layout=mono:time_base=1/{rate_hz}")
    faster, sink = graph.add("atempo", f"{tempo:.4f}"), graph.add("abuffersink")
    source.link_to(faster)
    faster.link_to(sink)
    graph.configure()
    frame = av.AudioFrame.from_ndarray(samples.reshape(1, -1), format="flt", layout="mono")
    frame.sample_rate, frame.pts, frame.time_base = rate_hz, 0, Fraction(1, rate_hz)
    graph.push(frame)
    graph.push(None)
    while True:
        try:
            yield np.asarray(graph.pull().to_ndarray(), np.float32).reshape(-1)
        except (av.EOFError, av.BlockingIOError):
            return
