"""Loudness and true peak of a programme while it streams by, as ITU-R BS.1770-5 and EBU Tech 3341 define them."""

import numpy as np
from numpy.typing import NDArray


class Meter:
    """Feed it blocks of any size; ask at any time.

    A block is (count, channels), or (count,) for a sound that is the same in all channels.
    """

    def __init__(self, rate_hz: int, weights: tuple[float, ...] = (1.0, 1.0)) -> None:
        raise NotImplementedError

    def feed(self, block: NDArray[np.float32]) -> None:
        """Take in the next frames."""
        raise NotImplementedError

    @property
    def momentary(self) -> float:
        """Loudness of the last 400 ms, in LUFS; -inf for silence or before 400 ms."""
        raise NotImplementedError

    @property
    def short_term(self) -> float:
        """Loudness of the last 3 s, in LUFS."""
        raise NotImplementedError

    @property
    def integrated(self) -> float:
        """Gated loudness of everything fed so far, in LUFS; -inf where nothing passed the gates."""
        raise NotImplementedError

    @property
    def true_peak(self) -> float:
        """The highest true peak so far, in dBTP."""
        raise NotImplementedError
