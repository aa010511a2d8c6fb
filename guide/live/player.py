"""The player: the sound card pulls, and hears the samples that a render would write, with every change faded.

The device is the clock. `position` is the number of frames handed out; pause hands out silence and does not advance; a
jump sets the number; a new plan is a new mix, swapped in at a number. Whatever was sounding fades out over the same
frames over which the new sound fades in, so that a change never clicks, and what goes on as before is not heard to
change at all.
"""

import threading
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from guide.problem import GuideError
from guide.sound import limiter, mixer
from guide.sound.levels import METER_ROOM_DB, MOST_PEAK_DBTP
from guide.sound.mixer import Mix
from guide.units import frames_from_ms

Single = NDArray[np.float32]

#: How long a change takes: too short to be noticed, long enough not to click (at most 30 ms are promised).
FADE_FRAMES = frames_from_ms(20)

#: How long the sound takes to go at the end, when a class is ended before its time.
LAST_FADE_FRAMES = frames_from_ms(400)

#: Words that begin within this time are loaded ahead.
AHEAD_FRAMES = frames_from_ms(4000)

#: The loudest and the softest that words or chimes can be asked to be, beside the usual.
MOST_GAIN, LEAST_GAIN = 2.0, 0.0

#: What is louder than rendered stays under this, as what is rendered does.
CEILING = 10 ** ((MOST_PEAK_DBTP - METER_ROOM_DB) / 20)


#: How much of a sound is heard left and right.
Sides = tuple[float, float]

#: The sides by their names.
SIDES: Mapping[str, Sides] = {"both": (1.0, 1.0), "left": (1.0, 0.0), "right": (0.0, 1.0)}


@dataclass(slots=True)
class _Level:
    """A gain on its way: from `now` to `goal`, by `step` a frame."""

    now: float
    goal: float
    step: float = 0.0

    def toward(self, goal: float, frames: int) -> None:
        self.goal = goal
        self.step = abs(goal - self.now) / frames

    def over(self, count: int) -> Single | np.float32:
        """The gain of each of the next frames, which it takes: one number where it does not change."""
        if self.now == self.goal:
            return np.float32(self.now)
        way = self.step if self.goal > self.now else -self.step
        gains = self.now + way * np.arange(1, count + 1)
        bounded: Single = np.clip(gains, min(self.now, self.goal), max(self.now, self.goal)).astype(np.float32)
        self.now = self.goal if abs(self.goal - self.now) <= self.step * count else float(bounded[-1])
        return bounded


@dataclass(frozen=True, slots=True)
class _Gains:
    """How loud words, chimes and music are, as factors."""

    voice: float = 1.0
    bells: float = 1.0
    music: float = 1.0


@dataclass(frozen=True, slots=True)
class Ears:
    """Where words are heard, and chimes with the music: a teacher may have the words in her ear, the room the rest."""

    words: Sides = SIDES["both"]
    chimes: Sides = SIDES["both"]

    def gains(self, gains: _Gains, side: int) -> _Gains:
        """The gains that a side has: 0 is left."""
        return _Gains(
            gains.voice * self.words[side], *(each * self.chimes[side] for each in (gains.bells, gains.music))
        )


#: Everything everywhere.
EVERYWHERE = Ears()


@dataclass(slots=True)
class _Turn:
    """Gains that go over into others; what is asked for meanwhile has its turn when they are there."""

    before: _Gains = _Gains()
    after: _Gains = _Gains()
    asked: _Gains = _Gains()
    share: _Level = field(default_factory=lambda: _Level(1.0, 1.0))

    def toward(self, gains: _Gains) -> None:
        self.asked = gains

    def over(self, count: int) -> Single | np.float32:
        """The share of `after` in each of the next frames, which it takes: one number where it does not change."""
        if self.share.now == 1.0 and self.asked != self.after:
            self.before, self.after, self.share = self.after, self.asked, _Level(0.0, 0.0)
            self.share.toward(1.0, FADE_FRAMES)
        return self.share.over(count)


@dataclass(slots=True)
class _Run:
    """A mix being played, from `frame` on, at a level that comes and goes."""

    mix: Mix
    frame: int
    level: _Level = field(default_factory=lambda: _Level(0.0, 0.0))


class Player:
    """Plays a mix, obeying from any thread; `pull` is for the sound card's thread and never raises.

    Positions are frames at 48 kHz. `ears` is where words and chimes are heard. `trouble` is what went wrong: in a pull,
    which then gave silence, or with music that cannot be read on, which fades, while all else goes on without it.
    """

    def __init__(self, mix: Mix, position: int = 0, ears: Ears = EVERYWHERE) -> None:
        self._ears = ears
        self._lock = threading.Lock()
        self._run = _Run(mix, position, _Level(1.0, 1.0))
        self._leaving: list[_Run] = []
        self._paused = False
        self._turn = _Turn()
        self._has_music = True
        self.trouble: BaseException | None = None

    @property
    def position(self) -> int:
        """The next frame of the class to be handed out."""
        # Read without the lock, here and below: whoever looks shall never keep the sound card's thread waiting.
        return self._run.frame

    @property
    def is_paused(self) -> bool:
        """Whether it plays silence until it is told to go on."""
        return self._paused

    @property
    def is_over(self) -> bool:
        """Whether all of the class has been handed out, and what was fading has gone."""
        run = self._run
        return run.frame >= run.mix.length_frames and not self._leaving

    def pull(self, frames: int) -> NDArray[np.float32]:
        """The next frames, left and right: shape (frames, 2)."""
        with self._lock:
            try:
                return self._next(frames)
            except Exception as error:
                self.trouble = error
                return np.zeros((frames, 2), np.float32)

    def news(self) -> str:
        """What went wrong since this was asked before, in words; nothing where nothing did."""
        trouble, self.trouble = self.trouble, None
        return "" if trouble is None else f"a sound was left out: {trouble}"

    def fetch_ahead(self) -> None:
        """Load what is heard next, so that the sound card never waits for a disk. Not for its own thread."""
        run = self._run
        self._fetch(run.mix, run.frame, AHEAD_FRAMES)

    def _fetch(self, mix: Mix, first: int, count: int) -> None:
        mixer.fetch(mix, first, count)
        if self._has_music:
            try:
                mixer.music(mix, first, count)
            except GuideError as error:
                with self._lock:
                    self._has_music, self.trouble = False, error
                    self._turn.toward(replace(self._turn.asked, music=0.0))

    def _fetch_jump(self, mix: Mix, position: int) -> None:
        self._fetch(mix, position - mix.longest_cue, mix.longest_cue + FADE_FRAMES)

    def _next(self, frames: int) -> Single:
        share = self._turn.over(frames)
        sound = np.zeros((frames, 2), np.float32) if self._paused else self._sound(self._run, frames, share)
        for run in self._leaving:
            sound = sound + self._sound(run, frames, share)
        self._leaving = [run for run in self._leaving if run.level.now > 0]
        return np.clip(sound, -1.0, 1.0)

    def _sound(self, run: _Run, frames: int, share: Single | np.float32) -> Single:
        """The next frames of a run, left and right: shape (frames, 2)."""
        sides = [self._side(run, frames, share, side) for side in ((0,) if self._ears == EVERYWHERE else (0, 1))]
        run.frame += frames
        level = run.level.over(frames)
        return np.column_stack([sides[0] * level, sides[-1] * level])

    def _side(self, run: _Run, frames: int, share: Single | np.float32, side: int) -> Single:
        """What of it is heard on a side: 0 is left."""
        made = _as_loud(run, frames, self._ears.gains(self._turn.after, side))
        if np.ndim(share):
            before = _as_loud(run, frames, self._ears.gains(self._turn.before, side))
            made = made * share + before * (1 - share)
        return made

    def pause(self) -> None:
        """Fall silent; the position stays where the pause began."""
        with self._lock:
            if not self._paused:
                self._leave(FADE_FRAMES)
                self._paused = True

    def go_on(self) -> None:
        """Sound again from where the pause began."""
        with self._lock:
            if self._paused:
                self._paused = False
                self._run.level = _Level(0.0, 0.0)
                self._run.level.toward(1.0, FADE_FRAMES)

    def jump(self, position: int) -> None:
        """Go on from another frame of the same mix."""
        self.swap(self._run.mix, position)

    def rewind(self, position: int) -> None:
        """Go on from another frame of the same mix, while it is paused or nobody hears it: nothing has to fade out."""
        self._fetch_jump(self._run.mix, position)
        with self._lock:
            self._swap(self._run.mix, position)
            if not self._paused:
                self._leaving.clear()

    def swap(self, mix: Mix, position: int) -> None:
        """Go on with another mix, from a frame of it."""
        self._fetch_jump(mix, position)
        with self._lock:
            self._swap(mix, position)

    def renew(self, mix: Mix, before: int) -> bool:
        """Go on with another mix from the frame that is next: what is in both is not heard to change.

        That is what comes before the frame `before`; where that has been handed out, nothing is done, and it is False.
        """
        self._fetch(mix, self.position, AHEAD_FRAMES)
        with self._lock:
            run = self._run
            # Behind the end of a class there is only silence.
            if min(run.frame, run.mix.length_frames) > before and not self._paused:
                return False
            self._swap(mix, self._run.frame)
        return True

    def _swap(self, mix: Mix, position: int) -> None:
        # Wherever the class goes, its music plays on.
        mix = mixer.with_music_going_on(mix, position, self._run.mix, self._run.frame)
        if self._paused:
            self._run = _Run(mix, position)
            return
        self._leave(FADE_FRAMES)
        self._run = _Run(mix, position)
        self._run.level.toward(1.0, FADE_FRAMES)

    def _leave(self, frames: int) -> None:
        """Let what sounds now fade, from the level that it has."""
        if not self._paused:
            leaving = _Run(self._run.mix, self._run.frame, _Level(self._run.level.now, self._run.level.now))
            leaving.level.toward(0.0, frames)
            self._leaving.append(leaving)

    def set_gains(self, voice: float, bells: float, music: float = 1.0) -> None:
        """How loud words, chimes and music are, as factors; 1 is as rendered.

        Raises:
            ValueError: for a factor outside `LEAST_GAIN` to `MOST_GAIN`.
        """
        for gain in (voice, bells, music):
            if not LEAST_GAIN <= gain <= MOST_GAIN:
                raise ValueError(f"a gain is {LEAST_GAIN} to {MOST_GAIN}, not {gain}")
        with self._lock:
            self._turn.toward(_Gains(voice, bells, music if self._has_music else 0.0))

    def end(self) -> None:
        """Fade out and be over."""
        with self._lock:
            self._leave(LAST_FADE_FRAMES)
            self._run = _Run(self._run.mix, self._run.mix.length_frames, _Level(1.0, 1.0))
            self._paused = False


def _as_loud(run: _Run, frames: int, gains: _Gains) -> Single:
    """The next frames of a run at these gains; what is louder than rendered is limited, before it would be clipped."""
    first, last = run.frame, run.frame + frames
    if max(gains.voice, gains.bells, gains.music) <= 1.0:
        return _mixed(run.mix, first, last, gains)
    start, end = limiter.around(first, frames)
    return limiter.held_under(_mixed(run.mix, start, end, gains), CEILING)[first - start : last - start]


def _mixed(mix: Mix, first: int, last: int, gains: _Gains) -> Single:
    bells = mixer.bells(mix, first, last - first) * np.float32(gains.bells)
    sound: Single = bells + mixer.voice(mix, first, last - first) * np.float32(gains.voice)
    if mix.music and gains.music:
        # What cannot be read is told by whoever reads ahead.
        with suppress(GuideError):
            sound += mixer.music(mix, first, last - first) * np.float32(gains.music)
    return sound
