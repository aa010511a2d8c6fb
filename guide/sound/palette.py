"""The sounds that a class rings: those that are shipped, and files of a person's own."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True)
class Palette:
    """Sounds by the names that rings give them, all at 48 kHz, mono, at one loudness."""

    sounds: Mapping[str, NDArray[np.float32]]

    def samples(self, name: str) -> NDArray[np.float32]:
        """The sound, mono at 48 kHz."""
        return self.sounds[name]

    def length_ms(self, name: str) -> int:
        """The length of the sound in whole milliseconds, rounded up."""
        raise NotImplementedError


def load(names: Iterable[str], folder: Path) -> Palette:
    """The sounds named: of the shipped palette, or files at or below `folder`, trimmed, faded, levelled.

    Raises UnusableChoice for a name or a file that cannot be had, naming it.
    """
    raise NotImplementedError
