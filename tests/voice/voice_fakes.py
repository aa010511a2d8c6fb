"""Voices and a finish that are quick and known in every sample, for tests; each can be sent to another process."""

import os
import signal
import threading
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from guide.problem import Place
from guide.units import RATE_HZ
from guide.voice.lexicon import Pronunciation
from guide.voice.protocol import Clip, Unspeakable

#: Its clips have so many loud frames for each letter of the text.
FRAMES_A_LETTER = 101


@dataclass(frozen=True, slots=True)
class ToneVoice:
    """A hum of a length that the text decides, in silence; every text spoken is a line in the log."""

    log: Path
    name: str = "tone"
    version: str = "1"
    silence_ms: int = 300

    def hint(self, said: Pronunciation) -> str:
        return f"<{said.respelt}>"

    def speak(self, text: str, rate: float) -> Clip:
        with self.log.open("a", encoding="utf-8") as log:
            log.write(f"{text}\n")
        silence = np.zeros(self.silence_ms * RATE_HZ // 1000, np.float32)
        hum = np.full(round(len(text) * FRAMES_A_LETTER / rate), 0.25, np.float32)
        return Clip(np.concatenate((silence, hum, silence)), RATE_HZ)


@dataclass(frozen=True, slots=True)
class BadVoice:
    """A voice that fails, in the way given, at the texts that hold the word "bad"; otherwise a ToneVoice."""

    way: str
    tone: ToneVoice
    name: str = "bad"
    version: str = "1"

    def hint(self, said: Pronunciation) -> str:
        return said.respelt

    def speak(self, text: str, rate: float) -> Clip:
        if "bad" in text:
            return getattr(self, f"_{self.way}")()
        return self.tone.speak(text, rate)

    def _empty(self) -> Clip:
        return Clip(np.zeros(0, np.float32), RATE_HZ)

    def _silent(self) -> Clip:
        return Clip(np.full(RATE_HZ, 0.001, np.float32), RATE_HZ)

    def _not_numbers(self) -> Clip:
        return Clip(np.full(RATE_HZ, np.nan, np.float32), RATE_HZ)

    def _raises(self) -> Clip:
        raise RuntimeError("the model is broken")

    def _refuses(self) -> Clip:
        raise Unspeakable("no sound for it", "write something else")

    def _crashes(self) -> Clip:
        os.kill(os.getpid(), signal.SIGSEGV)
        return self._empty()

    def _leaves(self) -> Clip:
        os._exit(3)

    def _hangs(self) -> Clip:
        threading.Event().wait()
        return self._empty()


@dataclass(frozen=True, slots=True)
class PlainFinish:
    """Samples as they are, in 16 bits; one measure: the loudest sample."""

    version: str = "plain"

    def __call__(self, samples: NDArray[np.float32], rate_hz: int) -> tuple[NDArray[np.int16], NDArray[np.float32]]:
        assert rate_hz == RATE_HZ
        return np.rint(samples * 32767).astype(np.int16), np.array([np.abs(samples).max()], np.float32)

    def measured(self, pcm: NDArray[np.int16]) -> NDArray[np.float32]:
        return np.array([np.abs(pcm / np.float32(32767)).max()], np.float32)


@dataclass(slots=True)
class FullDisk:
    """Writes until `room` bytes are used up, then fails as a full disk does, leaving the half that still fitted."""

    room: int
    asked: list[Path] = field(default_factory=list)

    def __call__(self, path: Path, content: bytes) -> None:
        self.asked.append(path)
        path.write_bytes(content[: self.room])
        if len(content) > self.room:
            raise OSError(28, "No space left on device", str(path))
        self.room -= len(content)


def at(line: int) -> Place:
    """A place in the class of the tests."""
    return Place("class.yaml", line, 5)
