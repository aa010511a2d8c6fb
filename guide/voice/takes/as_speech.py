"""A take as what a voice would have said: cleaned, and as fast as its place asks."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from guide.voice.protocol import Clip, Unspeakable
from guide.voice.takes import cleaning
from guide.voice.takes.store import Take
from guide.voice.takes.tightening import tightened


@dataclass(frozen=True, slots=True)
class SpokenTake:
    """A take that says a line, `tempo` times as fast as it was recorded; `content` is a hash of the recording."""

    take: Take
    content: str
    tempo: float

    @property
    def version(self) -> str:
        """Everything that its sound rests on beside the recording."""
        return f"cleaning {cleaning.VERSION}, tempo {self.tempo:.4f}"

    def speak(self) -> Clip:
        """The words of the take. Raises Unspeakable for a take that is damaged, or holds none."""
        samples, rate_hz = self.take.read()
        words: NDArray[np.float32] = cleaning.cleaned(samples, rate_hz)
        if not words.size:
            what = f"no words are heard in the take {self.take.path}"
            raise Unspeakable(what, "record the line again, or take the file away for the take before it")
        return Clip(tightened(words, rate_hz, self.tempo), rate_hz)
