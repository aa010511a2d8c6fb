"""Clips that are gathered while a class is already under way."""

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from guide.voice.class_clips import SpokenClips


class LateClips:
    """The clips of several batches as those of one; more may be added while others ask."""

    def __init__(self, batches: Iterable[SpokenClips] = ()) -> None:
        self._by_text: dict[str, SpokenClips] = {}
        for batch in batches:
            self.add(batch)

    def add(self, batch: SpokenClips) -> None:
        """Take in clips that were spoken while the class runs."""
        self._by_text = self._by_text | dict.fromkeys(batch, batch)

    def __contains__(self, text: object) -> bool:
        return text in self._by_text

    def __getitem__(self, text: str) -> NDArray[np.int16]:
        return self._by_text[text][text]

    def measures(self, text: str) -> NDArray[np.float32]:
        """What the finish measured of a clip."""
        return self._by_text[text].measures(text)

    def length_ms(self, text: str) -> int:
        """How long these words take. Raises KeyError where they are not spoken yet."""
        return self._by_text[text].length_ms(text)

    def lengths_ms(self) -> dict[str, int]:
        """How long each clip lasts, by its words."""
        return {text: batch.length_ms(text) for text, batch in self._by_text.items()}
