"""What a voice is, and the errors that it may raise."""

import math
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from guide.problem import MachineTrouble, UnusableChoice
from guide.voice.lexicon import Pronunciation

SLOWEST = 0.5
FASTEST = 2.0


@dataclass(frozen=True, slots=True)
class Clip:
    """One piece of speech: mono samples from -1 to 1, float32, at `rate_hz` frames a second."""

    samples: NDArray[np.float32]
    rate_hz: int


class Unspeakable(UnusableChoice):
    """Words that this voice has no sounds for: why, and what to write instead."""

    def __init__(self, what: str, fix: str) -> None:
        self.what = what
        self.fix = fix
        super().__init__(what, fix)

    def __str__(self) -> str:
        return f"{self.what} ({self.fix})"


class VoiceFailed(MachineTrouble):
    """The engine crashed, hung, or gave nothing, with words that it should be able to say."""


class Voice(Protocol):
    """One voice of one engine.

    A new engine is one file with a frozen dataclass that has these members, and one line in `registry.ENGINES`:

    - Making the object does no work: it is sent to other processes. Load the engine when `speak` is first called, and
      keep it in a module-level cache.
    - `version` names everything that the sound depends on: the library, its data, your own rules. Spoken words are kept
      under it, so change it whenever the same text would sound different.
    - `hint` says how the engine is told to say a word: its own phonemes, or `said.respelt`. What it returns stands in
      the text that `speak` gets; the rest of that text is letters, spaces and `. , ; : ! ? ' -`, so any other sign
      but `|` is free for marking.
    - `speak` is called in a process of its own, one call at a time. The same text and rate must give the same samples,
      whatever was said before. Silence around the words does not matter: it is cut off. `rate` is from 0.5 to 2.0; 1.0
      is how the voice speaks by itself, and 2.0 takes about half as long.
    - It raises Unspeakable or VoiceFailed with a plain sentence; whoever called adds the words and their place.
    """

    @property
    def name(self) -> str: ...

    @property
    def version(self) -> str: ...

    def hint(self, said: Pronunciation) -> str: ...

    def speak(self, text: str, rate: float) -> Clip: ...


def checked_rate(rate: float) -> float:
    """`rate`, when it is one that voices speak at. Raises UnusableChoice."""
    if not (math.isfinite(rate) and SLOWEST <= rate <= FASTEST):
        raise UnusableChoice(f"a voice cannot speak at the rate {rate:g} (write a number from {SLOWEST} to {FASTEST})")
    return rate
