"""How every spoken clip is shaped before it is kept: one rate, one loudness, a capped peak, and its measures."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

#: Every clip has this loudness, measured over the whole clip without gates, as one mono clip heard in both channels.
VOICE_LUFS = -20.0


@dataclass(frozen=True, slots=True)
class Finish:
    """Turns what a voice said into the clip that is kept; `version` changes whenever its results do."""

    version: str = "1"

    def __call__(self, samples: NDArray[np.float32], rate_hz: int) -> tuple[NDArray[np.int16], NDArray[np.float32]]:
        """The clip at 48 kHz, mono, at VOICE_LUFS, and its measures."""
        raise NotImplementedError


FINISH = Finish()
