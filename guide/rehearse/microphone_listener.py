"""A microphone that listens while a class is rehearsed: where there is a voice, and which step that lets one expect."""

from collections import deque
from collections.abc import Callable, Iterator
from typing import Protocol

from guide.live.microphones.base import Heard
from guide.live.record import Spoke
from guide.plan.timeline import Timeline
from guide.review.hearing.online_filter import OnlineFilter
from guide.review.hearing.voice_activity import Detector, SpeechProbability, Stretch


class Open(Protocol):
    """A microphone that is held open, as `ReconnectingMicrophone` is."""

    @property
    def is_lost(self) -> bool: ...

    def open(self) -> None: ...

    def keep(self) -> None: ...

    def stop(self) -> None: ...


class MicrophoneListener:
    """Listens as `Listening` says; `chance` is as from `silero()`, `made` makes the microphone that hands on its sound.

    Nothing that is heard is kept but where there was a voice.
    """

    def __init__(self, timeline: Timeline, chance: SpeechProbability, made: Callable[[Heard], Open]) -> None:
        self._sound: deque[bytes] = deque()
        self._detector, self._follower = Detector(chance), OnlineFilter(timeline)
        self._microphone = made(self._sound.append)
        self._from_ms: int | None = None
        self._real_ms = 0
        self._new: list[Stretch] = []
        self._voice_ms = 0

    def open(self) -> None:
        """Begin to listen. Raises MachineTrouble where there is no microphone."""
        self._microphone.open()

    def stop(self) -> None:
        self._microphone.stop()

    @property
    def state(self) -> str:
        """What to tell of it in a word or two."""
        if self._microphone.is_lost:
            return "the microphone is gone: press the key"
        return "hears you" if self._detector.is_speaking else "listening"

    def begin(self) -> None:
        """Let real time run from now on, for sound that comes after it."""
        self._from_ms = None

    def heard(self, real_ms: int) -> Iterator[Spoke]:
        """Take what has come from the microphone; what was spoken in it."""
        self._microphone.keep()
        self._real_ms = real_ms
        found: list[Stretch] = []
        while self._sound:
            found += self._detector.feed(self._sound.popleft())
        if self._from_ms is None and self._detector.at_ms:
            self._from_ms = real_ms - self._detector.at_ms
        if self._detector.is_speaking or found:
            self._voice_ms = real_ms
        self._new = [self._in_real(one) for one in found]
        for one in self._new:
            if one.end_ms > 0:
                yield Spoke(max(one.start_ms, 0), one.end_ms)

    def _in_real(self, one: Stretch) -> Stretch:
        from_ms = self._from_ms or 0
        return Stretch(one.start_ms + from_ms, one.end_ms + from_ms)

    def step(self, moment_ms: int) -> int:
        """The step that is under way, by what was heard until `moment_ms`."""
        shift_ms = moment_ms - self._real_ms
        spoken = [Stretch(one.start_ms + shift_ms, one.end_ms + shift_ms) for one in self._new]
        since_ms = self._detector.speaking_since_ms
        if since_ms is not None:
            since_ms = min(since_ms + (self._from_ms or 0) + shift_ms, moment_ms - 1)
        return self._follower.hear(moment_ms, spoken, since_ms).step

    def began(self, step: int, moment_ms: int) -> None:
        """Take it for certain that this step began then."""
        self._follower.pin(step, moment_ms)

    def quiet_ms(self, real_ms: int) -> int:
        """How long nobody has spoken."""
        return real_ms - self._voice_ms
