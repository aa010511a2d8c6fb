"""The one mixer: any stretch of a class as sound, the same samples whoever asks and however they ask."""

from bisect import bisect_left
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from types import MappingProxyType
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from guide.plan.timeline import Ring, RingRole, Timeline
from guide.sound import dips, levels, limiter
from guide.sound.balance import USUAL_BALANCE, Balance
from guide.sound.clip_finish import FULL_SCALE
from guide.sound.clip_measures import STEP_MS, Measures, unpacked
from guide.sound.dips import Dips
from guide.sound.music import laid_music
from guide.sound.music.tape import Tape
from guide.sound.palette import Palette
from guide.sound.room_tone import room_tone
from guide.units import frames_from_ms

#: A good number of frames to ask for when there is no hurry: long enough that the work around a block costs nothing,
#: short enough to stay in the processor's memory.
BLOCK_FRAMES = 96_000

#: What is mixed without music.
NO_TAPES: Mapping[str, Tape] = MappingProxyType({})

NO_DIPS = Dips((), ())

_CLIPS_KEPT = 4
_CUT_FADE_MS = 50
_CUT_FADE = (np.arange(frames_from_ms(_CUT_FADE_MS), 0, -1) / frames_from_ms(_CUT_FADE_MS)).astype(np.float32)

Single = NDArray[np.float32]


class Clips(Protocol):
    """Spoken words by their text; asked for when a cue begins and let go when it is over."""

    def __getitem__(self, text: str, /) -> NDArray[np.int16]:
        """The clip, mono at 48 kHz."""
        ...

    def measures(self, text: str, /) -> Single:
        """What `clip_finish.FINISH` measured of the clip."""
        ...


@dataclass(frozen=True, slots=True)
class MixedBell:
    """A ring as it is mixed: from frame `start` for `frames`, where it may be cut short; `sound` is at its level, and
    `depth_db` is how far it is turned down while words are said."""

    start: int
    frames: int
    sound: Single
    depth_db: float = dips.BELL_DB


@dataclass(frozen=True, slots=True)
class MixedCue:
    """A cue as it is mixed."""

    start: int
    frames: int
    words: str


@dataclass(frozen=True, slots=True)
class Mix:
    """A class ready to be heard: what sounds when, sorted by start, and at which levels.

    `clip` gives the words' clip at its level; it keeps the last few. `predicted` is what the whole will measure.
    """

    length_frames: int
    predicted: levels.Levels
    cues: tuple[MixedCue, ...]
    rings: tuple[MixedBell, ...]
    dips: Dips
    clip: Callable[[str], Single]
    longest_cue: int
    longest_ring: int
    has_room_tone: bool = False
    music: tuple[laid_music.LaidMusic, ...] = ()
    music_dips: Dips = NO_DIPS


def with_room_tone(mix: Mix) -> Mix:
    """The same class with room tone under all of it, which goes where the words go."""
    # Made now, and not by whoever pulls the first block.
    room_tone(0, 0)
    return replace(mix, has_room_tone=True)


def prepare(
    timeline: Timeline,
    clips: Clips,
    palette: Palette,
    target_lufs: float = -18.0,
    settled: levels.Levels | None = None,
    room_db: float = levels.METER_ROOM_DB,
    tapes: Mapping[str, Tape] = NO_TAPES,
    balance: Balance = USUAL_BALANCE,
) -> Mix:
    """Set every level of the class so that as a whole it measures `target_lufs`, without touching a sample, and no
    true peak is less than `room_db` below the most that may be heard.

    Music that is not among the `tapes` is not heard.

    With `settled`, the `predicted` of another mix, the levels are those: a class that is changed while it runs stays as
    loud as it was.

    Raises ValueError for a clip that is longer than the time the plan has for it.
    """

    def measures(words: str) -> Measures:
        return unpacked(clips.measures(words))

    for words, length_ms in dict.fromkeys((cue.words, cue.length_ms) for cue in timeline.cues):
        if (measures(words).peaks.size - 1) * STEP_MS >= length_ms:
            raise ValueError(f"the clip of {words!r} is longer than the {length_ms} ms planned for it")
    down, music_down = dips.from_plan(timeline.dips), laid_music.slow_dips(timeline.dips)
    music = laid_music.laid(timeline.music, tapes)
    if settled is None:
        bells = levels.bells_of(timeline.rings, palette, down, timeline.length_ms)
        played = laid_music.sounding(music, music_down, timeline.length_ms)
        settled = levels.settle(timeline.cues, measures, bells, target_lufs, room_db, played, balance)
    gain, ceiling = settled.voice, settled.voice_ceiling

    def clip(words: str) -> Single:
        return limiter.limited(clips[words] * np.float32(gain / FULL_SCALE), measures(words), ceiling / gain)

    cues = tuple(MixedCue(frames_from_ms(c.start_ms), frames_from_ms(c.length_ms), c.words) for c in timeline.cues)
    rings = _struck(timeline.rings, palette, settled.bells)
    return Mix(
        length_frames=frames_from_ms(timeline.length_ms),
        predicted=settled,
        cues=cues,
        rings=rings,
        dips=down,
        clip=lru_cache(_CLIPS_KEPT)(clip),
        longest_cue=max((cue.frames for cue in cues), default=0),
        longest_ring=max((ring.frames for ring in rings), default=0),
        music=music,
        music_dips=music_down,
    )


def block(mix: Mix, first_frame: int, count: int) -> Single:
    """`count` frames from `first_frame` on, left and right: shape (count, 2). Outside the class there is silence.

    The samples of a frame depend on nothing but the frame: not on where blocks begin, nor on the order they come in.
    """
    # Two samples are written at once as one number of 64 bits, which is faster than one by one.
    pairs = centre(mix, first_frame, count).view(np.uint32).astype(np.uint64) * np.uint64(0x1_0000_0001)
    return pairs.view(np.float32).reshape(-1, 2)


def centre(mix: Mix, first_frame: int, count: int) -> Single:
    """The same frames as `block` in one channel, since all is heard in the middle: shape (count,)."""
    # Every sample is the sum of the same numbers in the same order, whatever block it falls in: bells by their start,
    # turned down, chimes likewise, then the words, of which only one is said at a time, then the music.
    sound = bells(mix, first_frame, count) + voice(mix, first_frame, count)
    return sound + music(mix, first_frame, count) if mix.music else sound


def bells(mix: Mix, first_frame: int, count: int) -> Single:
    """The chimes and bells alone, turned down under the words: shape (count,)."""
    sound, inside, first = _inside(mix, first_frame, count)
    index = _first_at(mix.rings, first - mix.longest_ring)
    rung = mix.rings[index : _first_at(mix.rings, first + inside.size)]
    for depth_db in (dips.BELL_DB, dips.CHIME_DB):
        alike = [ring for ring in rung if ring.depth_db == depth_db]
        if alike:
            part = np.zeros(inside.size, np.float32)
            for ring in alike:
                _ring(part, first, ring)
            mix.dips.turn_down(part, first, depth_db)
            inside += part
    return sound


def voice(mix: Mix, first_frame: int, count: int) -> Single:
    """The words alone, with the room tone: shape (count,)."""
    sound, inside, first = _inside(mix, first_frame, count)
    index = _first_at(mix.cues, first - mix.longest_cue)
    while index < len(mix.cues) and mix.cues[index].start < first + inside.size:
        cue = mix.cues[index]
        if cue.start + cue.frames > first:
            _add(inside, cue.start - first, mix.clip(cue.words))
        index += 1
    if mix.has_room_tone:
        inside += room_tone(first, inside.size)
    return sound


def music(mix: Mix, first_frame: int, count: int) -> Single:
    """The music alone, turned down under the words: shape (count,)."""
    sound, inside, first = _inside(mix, first_frame, count)
    for one in mix.music:
        one.add(inside, first, mix.music_dips, mix.predicted.music)
    return sound


def with_music_going_on(mix: Mix, frame: int, before: Mix, was: int) -> Mix:
    """The mix with its music at a frame going on as in another mix at a frame of that, where both play the same."""
    if not mix.music or not before.music:
        return mix
    return replace(mix, music=laid_music.going_on(mix.music, frame, before.music, was))


def fetch(mix: Mix, first_frame: int, count: int) -> None:
    """Load the words that begin in these frames, so that mixing them will not have to wait."""
    index = _first_at(mix.cues, first_frame)
    while index < len(mix.cues) and mix.cues[index].start < first_frame + count:
        mix.clip(mix.cues[index].words)
        index += 1


def _inside(mix: Mix, first_frame: int, count: int) -> tuple[Single, Single, int]:
    """Silence of `count` frames, the part of it that lies inside the class, and the frame where that begins."""
    sound = np.zeros(count, np.float32)
    return sound, sound[max(0, -first_frame) : max(0, mix.length_frames - first_frame)], max(0, first_frame)


def _first_at(events: tuple[MixedCue, ...] | tuple[MixedBell, ...], frame: int) -> int:
    """The index of the first event that starts at `frame` or later."""
    return bisect_left(events, frame, key=lambda event: event.start)


def _struck(rings: tuple[Ring, ...], palette: Palette, gain: float) -> tuple[MixedBell, ...]:
    """The rings at their levels; rings of one sound and role share their samples."""

    @lru_cache(None)
    def at_level(sound: str, role: RingRole) -> Single:
        return palette.samples(sound) * np.float32(gain * 10 ** (levels.ROLE_LU[role] / 20))

    return tuple(
        MixedBell(
            frames_from_ms(ring.start_ms),
            min(frames_from_ms(ring.length_ms), at_level(ring.sound, ring.role).size),
            at_level(ring.sound, ring.role),
            levels.ROLE_DEPTH_DB[ring.role],
        )
        for ring in rings
    )


def _ring(sound: Single, first_frame: int, ring: MixedBell) -> None:
    """Add a ring to `sound`; one that is cut short fades out."""
    start = ring.start - first_frame
    if ring.frames == ring.sound.size:
        _add(sound, start, ring.sound)
        return
    fade = min(_CUT_FADE.size, ring.frames)
    _add(sound, start, ring.sound[: ring.frames - fade])
    _add(sound, start + ring.frames - fade, ring.sound[ring.frames - fade : ring.frames] * _CUT_FADE[-fade:])


def _add(sound: Single, start: int, part: Single) -> None:
    """Add to `sound` what of `part`, which begins at index `start`, lies inside."""
    low, high = max(0, start), min(sound.size, start + part.size)
    if low < high:
        sound[low:high] += part[low - start : high - start]
