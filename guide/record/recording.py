"""A recording under way: what the microphone hears goes into takes as the session says, and each is on the disk."""

import threading
from collections import deque
from dataclasses import replace
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from guide.live import steady_clock
from guide.live.scene import ReadingScene
from guide.live.speakers.base import Pull
from guide.problem import GuideError, MachineTrouble
from guide.record.record_keys import keys_for
from guide.record.session import Ask, Deed, Session, TakePhase, asked, played, stopped, ticked
from guide.sound.clip_finish import FINISH, from_int16
from guide.units import RATE_HZ
from guide.voice.takes.cleaning import cleaned
from guide.voice.takes.measuring import NOTHING_DBFS, STEP_MS, levels_dbfs, measured, speech_in
from guide.voice.takes.store import Takes

#: So much of what was heard before a line began is kept with it: who begins early loses nothing.
EARLY_MS = 300

#: How loud it is, is told of so much: pieces of sound may be as short as a system likes.
LEVEL_MS = 100

#: What is heard is 16-bit numbers.
BYTES_A_MS = RATE_HZ // 1000 * 2

Single = NDArray[np.float32]


class Ear(Protocol):
    """A microphone that is held open."""

    def keep(self) -> None:
        """Look after it, without ever waiting."""
        ...

    @property
    def is_lost(self) -> bool:
        """Whether it is gone."""
        ...


class Mouth(Protocol):
    """A loudspeaker that can be opened, and asks `source` for sound."""

    source: Pull | None

    def open(self) -> None:
        """Open it. Raises GuideError."""
        ...

    def keep(self) -> str:
        """Look after it, without ever waiting."""
        ...


class Recording:
    """Lines that are recorded one after the other. `hear` is given what the microphone hears, at 48 kHz.

    Keys come from threads, and so does sound; `tick` and `scene` are called by the one that leads.
    """

    def __init__(self, title: str, session: Session, takes: Takes, mouth: Mouth) -> None:
        self._title, self._session, self._takes, self._mouth = title, session, takes, mouth
        self._lock = threading.RLock()
        self._ear: Ear | None = None
        self._early: deque[bytes] = deque()
        self._sound = bytearray()
        self._play: _Playing | None = None
        self._is_open = False

    def listen(self, ear: Ear) -> None:
        """Look after this microphone from now on."""
        self._ear = ear

    def hear(self, sound: bytes) -> None:
        """Take in the next piece of sound."""
        with self._lock:
            if self._session.phase is TakePhase.RECORDING:
                self._sound += sound
            self._early.append(sound)
            while sum(map(len, self._early)) - len(self._early[0]) > EARLY_MS * BYTES_A_MS:
                self._early.popleft()

    def ask(self, ask: Ask) -> None:
        """Do what a key asks for."""
        with self._lock:
            self._turn(*asked(self._session, ask, _now_ms()))

    def tick(self) -> None:
        """Look after everything; called a few times a second."""
        if self._ear is not None:
            self._ear.keep()
        with self._lock:
            if self._is_open:
                self._mouth.keep()
            if self._play is not None and self._play.is_over:
                self._play, self._mouth.source = None, None
                self._session = played(self._session, _now_ms())
            flows = self._session.flows and self._session.phase is TakePhase.RECORDING
            self._turn(*ticked(self._session, _now_ms(), self._quiet_ms() if flows else None))

    def scene(self) -> ReadingScene:
        """What there is to show now."""
        with self._lock:
            session, now_ms = self._session, _now_ms()
            is_lost = self._ear is not None and self._ear.is_lost
            return ReadingScene(
                title=self._title,
                section=session.line.section,
                words=session.line.words,
                number=session.at + 1,
                lines=len(session.lines),
                recorded=len(session.lines) - session.missing,
                is_recorded=session.line.key in session.kept,
                room_ms=session.line.room_ms or 0,
                phase=session.phase.value,
                counts=session.counts(now_ms),
                at_ms=self._at_ms(),
                level_dbfs=self._level_dbfs(),
                told=session.told,
                keys=keys_for(session.flows),
                sound_lost=is_lost,
                is_over=session.phase is TakePhase.DONE,
            )

    def _at_ms(self) -> int:
        """How long has been recorded; of a take, how long its words last, which is what its place has room for."""
        match self._session.phase:
            case TakePhase.RECORDING:
                return len(self._sound) // BYTES_A_MS
            case TakePhase.TAKEN:
                return self._session.lasts_ms
        return 0

    def _level_dbfs(self) -> int:
        heard = _samples(b"".join(self._early))[-LEVEL_MS * RATE_HZ // 1000 :]
        return round(float(levels_dbfs(heard, RATE_HZ).max(initial=NOTHING_DBFS)))

    @property
    def missing(self) -> int:
        """How many lines have no take yet."""
        return self._session.missing

    def _turn(self, session: Session, deeds: tuple[Deed, ...]) -> None:
        """Go over to a session, doing what that asks for; a take that cannot be kept leaves all as it was."""
        before, self._session = self._session, session
        for deed in deeds:
            match deed:
                case Deed.BEGIN:
                    self._sound = bytearray(b"".join(self._early))
                case Deed.STOP:
                    self._turn(*stopped(session, measured(_samples(self._sound), RATE_HZ), _now_ms()))
                case Deed.KEEP:
                    self._keep(before)
                case Deed.PLAY:
                    self._begin_to_play()
                case Deed.HUSH:
                    self._play, self._mouth.source = None, None

    def _keep(self, before: Session) -> None:
        try:
            self._takes.keep(before.line.words, _samples(self._sound), RATE_HZ)
        except MachineTrouble as trouble:
            self._session = _told(before, str(trouble))

    def _begin_to_play(self) -> None:
        """Play the take as it will be heard; where there is no loudspeaker, say so."""
        pcm, _ = FINISH(cleaned(_samples(self._sound), RATE_HZ), RATE_HZ)
        try:
            if not self._is_open:
                self._mouth.open()
                self._is_open = True
        except GuideError as trouble:
            self._session = _told(self._session, str(trouble).splitlines()[0])
            return
        self._play = _Playing(from_int16(pcm))
        self._mouth.source = self._play

    def _quiet_ms(self) -> int | None:
        """How long nobody has spoken after words."""
        levels = levels_dbfs(_samples(self._sound), RATE_HZ)
        stretches = speech_in(levels)
        return (levels.size - stretches[-1][1]) * STEP_MS if stretches else None


class _Playing:
    """A sound that is played once."""

    def __init__(self, sound: Single) -> None:
        self._sound, self._at = sound, 0

    @property
    def is_over(self) -> bool:
        """Whether all of it was handed out."""
        return self._at >= self._sound.size

    def __call__(self, frames: int) -> Single:
        made = np.zeros((frames, 2), np.float32)
        piece = self._sound[self._at : self._at + frames]
        made[: piece.size] = piece[:, np.newaxis]
        self._at += frames
        return made


def _told(session: Session, what: str) -> Session:
    return replace(session, phase=TakePhase.TAKEN, told=(what, *session.told))


def _samples(sound: bytes | bytearray) -> Single:
    """What was heard as samples from -1 up to 1."""
    return np.frombuffer(bytes(sound[: len(sound) // 2 * 2]), "<i2").astype(np.float32) / np.float32(32768)


def _now_ms() -> int:
    return int(steady_clock.now_s() * 1000)
