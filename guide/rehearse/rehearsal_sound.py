"""What is heard in a rehearsal: nothing, the chimes of the plan, or its words as well, softly."""

from collections.abc import Callable
from dataclasses import replace
from typing import Protocol

from guide.live.orders import Order
from guide.live.player import Player
from guide.live.speakers.reconnecting import ReconnectingSpeaker
from guide.live.volume import Volume
from guide.sound.mixer import Mix
from guide.units import frames_from_ms

#: Words are said so softly beside the usual, that the teacher hears her own: 15 dB less.
WHISPER = 10 ** (-15 / 20)


class RehearsalSound(Protocol):
    """Sounds what the plan has between two moments, from when the teacher begins it."""

    @property
    def name(self) -> str:
        """Where it is heard, in a word or two."""
        ...

    @property
    def is_lost(self) -> bool:
        """Whether the loudspeaker has gone."""
        ...

    @property
    def is_over(self) -> bool:
        """Whether everything has faded, once `end` was called."""
        ...

    def begin(self, from_ms: int, to_ms: int) -> None:
        """Sound what begins between these moments of the plan, the first of them now."""
        ...

    def pause(self) -> None:
        """Fall silent until `go_on`."""
        ...

    def go_on(self) -> None:
        """Sound again from where the pause began."""
        ...

    def louder(self, order: Order) -> str:
        """Do as an order about loudness asks; what to tell of it."""
        ...

    def keep(self) -> str:
        """Look after the loudspeaker; called a few times a second. What there is to tell of it."""
        ...

    def end(self) -> None:
        """Fade, and let go of the loudspeaker."""
        ...


class Quiet:
    """Nothing is heard."""

    name, is_lost, is_over = "none", False, True

    def begin(self, from_ms: int, to_ms: int) -> None:
        """Nothing to do."""

    def pause(self) -> None:
        """Nothing to do."""

    def go_on(self) -> None:
        """Nothing to do."""

    def louder(self, order: Order) -> str:
        return "this rehearsal is silent"

    def keep(self) -> str:
        return ""

    def end(self) -> None:
        """Nothing to do."""


class Sounded:
    """What the mix of a class has is heard, over an output that is open; words at `voice` of their usual loudness.

    What `news` says is told.
    """

    def __init__(
        self, mix: Mix, speaker: ReconnectingSpeaker, voice: float = WHISPER, news: Callable[[], str] = str
    ) -> None:
        self._mix, self._speaker, self._news = mix, speaker, news
        # Music stays as far under the words as it is.
        self._loudness = Volume(voice=voice, music=voice if mix.cues else 1.0)
        self._player = Player(_between(mix, 0, 0))
        self._turn()
        speaker.source = self._player.pull

    @property
    def name(self) -> str:
        return self._speaker.name

    @property
    def is_lost(self) -> bool:
        return self._speaker.is_lost

    @property
    def is_over(self) -> bool:
        return self._player.is_over or self.is_lost

    def begin(self, from_ms: int, to_ms: int) -> None:
        self._player.swap(_between(self._mix, frames_from_ms(from_ms), frames_from_ms(to_ms)), frames_from_ms(from_ms))

    def pause(self) -> None:
        self._player.pause()

    def go_on(self) -> None:
        self._player.go_on()

    def louder(self, order: Order) -> str:
        self._loudness = self._loudness.turned(order)
        self._turn()
        return self._loudness.told(order)

    def _turn(self) -> None:
        self._player.set_gains(self._loudness.voice, self._loudness.bells, self._loudness.music)

    def keep(self) -> str:
        self._player.fetch_ahead()
        return self._speaker.keep() or self._player.news() or self._news()

    def end(self) -> None:
        self._player.end()


def _between(mix: Mix, from_frame: int, to_frame: int) -> Mix:
    """The mix with only what begins between two frames of it; its music plays on."""

    return replace(
        mix,
        cues=tuple(cue for cue in mix.cues if from_frame <= cue.start < to_frame),
        rings=tuple(ring for ring in mix.rings if from_frame <= ring.start < to_frame),
    )
