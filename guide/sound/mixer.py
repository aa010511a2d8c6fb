"""The one mixer: any stretch of a class as sound, the same samples whoever asks and however they ask."""

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from guide.plan.timeline import Timeline
from guide.sound.palette import Palette


class Clips(Protocol):
    """Spoken words by their text; asked for when a cue begins and let go when it is over."""

    def __getitem__(self, text: str, /) -> NDArray[np.int16]:
        """The clip, mono at 48 kHz."""
        ...

    def measures(self, text: str, /) -> NDArray[np.float32]:
        """What `shape.FINISH` measured of the clip."""
        ...


@dataclass(frozen=True, slots=True)
class Mix:
    """A class ready to be heard."""

    length_frames: int
    loudness_lufs: float


def prepare(timeline: Timeline, clips: Clips, palette: Palette, target_lufs: float = -18.0) -> Mix:
    """Set every level of the class so that as a whole it measures `target_lufs`, without touching a sample."""
    raise NotImplementedError


def block(mix: Mix, first_frame: int, count: int) -> NDArray[np.float32]:
    """`count` frames from `first_frame` on, left and right: shape (count, 2). Beyond the end there is silence."""
    raise NotImplementedError


def centre(mix: Mix, first_frame: int, count: int) -> NDArray[np.float32]:
    """The same frames as `block` in one channel, since all is heard in the middle: shape (count,)."""
    raise NotImplementedError
