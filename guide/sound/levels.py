"""How loud the voice and the bells of a class must be, in closed form from the measures of its sounds.

The energy of every 100 ms of the class is the sum of the energies of what sounds in it: so its integrated loudness is
known before a sample is mixed, and the one gain that brings it to the target.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from guide.plan.timeline import Cue, Ring, RingRole
from guide.sound.balance import USUAL_BALANCE, Balance, factor
from guide.sound.clip_finish import VOICE_LUFS
from guide.sound.clip_measures import STEP_FRAMES, STEP_MS, Measures
from guide.sound.dips import BELL_DB, CHIME_DB, Dips
from guide.sound.k_weighting import CHANNELS, HOP_MS, block_means, gated_lufs
from guide.sound.limiter import step_gains
from guide.sound.music.laid_music import Sounding
from guide.sound.palette import Palette
from guide.units import frames_from_ms

#: The loudest 400 ms of each kind of ring, over the loudness of the voice, in LU.
ROLE_LU: Mapping[RingRole, float] = {
    RingRole.CLASS: -4.0,
    RingRole.SECTION: -6.0,
    RingRole.STEP: -8.0,
    RingRole.INHALE: -14.0,
    RingRole.EXHALE: -14.0,
    RingRole.PAUSE: -10.0,
    RingRole.INTERVAL: -8.0,
}

#: How far each kind is turned down while words are said, in dB.
ROLE_DEPTH_DB: Mapping[RingRole, float] = {
    role: CHIME_DB if role in (RingRole.INHALE, RingRole.EXHALE, RingRole.PAUSE) else BELL_DB for role in RingRole
}

#: No true peak of a class that is heard is above this (EBU Tech 3343, Appendix 2).
MOST_PEAK_DBTP = -1.0

#: How far below that the mix must stay, since a meter that looks closer than four times between the samples may find a
#: higher point there.
METER_ROOM_DB = 0.3

#: In a class of few words and many chimes the chimes pull the measured loudness down. The voice makes up for this by no
#: more than so much over the target; beyond, the chimes become softer until they no longer count.
MOST_LIFT_LU = 1.0

#: Music that a meter counts among the words makes a class measure softer than they are. It stays so soft that it is not
#: counted, and would not be if it were this much louder: then it changes what is measured by no more than so much, as
#: the beginnings and ends of words do, and the gain makes up for it.
MUSIC_SPARE_DB = 1.5
MUSIC_CHANGE_LU = 0.5

_MOST_GAIN = 4.0
_BELLS_UNDER_VOICE = 0.2
_STEPS_IN_HOP = HOP_MS // STEP_MS

Double = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Levels:
    """Linear gains for clips, for sounds of a palette at the level of a role and for music, and what comes of them.

    `voice_ceiling` bounds the true peaks of the voice after its gain; `loudness_lufs` is the programme as a whole,
    -inf for one that is silent or shorter than 400 ms.
    """

    voice: float
    voice_ceiling: float
    bells: float
    loudness_lufs: float
    music: float = 0.0


def settle(
    cues: tuple[Cue, ...],
    measures: Callable[[str], Measures],
    bells: Sounding,
    target_lufs: float,
    room_db: float = METER_ROOM_DB,
    music: Sounding | None = None,
    balance: Balance = USUAL_BALANCE,
) -> Levels:
    """The levels at which the class measures `target_lufs`; without words, those that it would have with some.

    The peaks of the mix stay `room_db` below MOST_PEAK_DBTP. What `balance` makes louder or softer than usual is so
    beside all else, and with it the class as a whole.
    """
    music = music or Sounding(np.zeros_like(bells.energy), np.zeros_like(bells.peak))
    highest = float(10 ** ((MOST_PEAK_DBTP - room_db) / 20))
    starts = _starts_by_words(cues)
    at = _spoken_at(starts, measures)

    def spoken(ceiling: float) -> Double:
        return _voice_energy(starts, at, measures, bells.energy.size, ceiling)

    gain = float(10 ** ((target_lufs - VOICE_LUFS) / 20))
    voice = spoken(np.inf)
    is_silent = not np.isfinite(_lufs(voice))
    share = music_share = 1.0
    # Limiting takes a little from the voice, and the gain makes up for it: what is left after three rounds is too
    # little to hear.
    for _ in range(0 if is_silent else 3):
        music_share = _music_share(voice, music.energy)
        played = music_share**2 * music.energy
        share = _bell_share(voice, bells.energy, played)
        loudness = _lufs(gain**2 * (voice + share**2 * bells.energy + played))
        gain = min(_MOST_GAIN, float(gain * 10 ** ((target_lufs - loudness) / 20)))
        share = min(share, _peak_share(bells.peak, voice > 0, gain, highest))
        under = gain * (share * bells.peak + music_share * music.peak)
        voice = spoken((highest - float(under[voice > 0].max())) / gain)
    bells_gain, music_gain = gain * share * factor(balance.bells_db), gain * music_share * factor(balance.music_db)
    gain *= factor(balance.voice_db)
    room = min(1.0, highest / max(1e-9, float((bells_gain * bells.peak + music_gain * music.peak).max(initial=0.0))))
    bells_gain, music_gain = bells_gain * room, music_gain * room
    ceiling = highest
    if not is_silent:
        ceiling -= float((bells_gain * bells.peak + music_gain * music.peak)[voice > 0].max())
        voice = spoken(ceiling / gain)
    loudness = _lufs(gain**2 * voice + bells_gain**2 * bells.energy + music_gain**2 * music.energy)
    return Levels(gain, ceiling, bells_gain, loudness, music_gain)


def bells_of(rings: Iterable[Ring], palette: Palette, dips: Dips, length_ms: int) -> Sounding:
    """What all rings of a class amount to, turned down where the voice speaks."""
    hops = -(-length_ms // HOP_MS) + 1
    parts = [part for ring in rings if (part := _steps_of(ring, palette.measures(ring.sound), length_ms)).at.size]
    if not parts:
        return Sounding(np.zeros(hops), np.zeros(hops))
    # All steps of all rings at once: a call for each ring would take most of the time of a start.
    sizes = [part.at.size for part in parts]
    at, squares, peaks = (
        np.concatenate([getattr(part, name) for part in parts]) for name in ("at", "squares", "peaks")
    )
    middles = np.concatenate([part.middles for part in parts])
    gains = np.repeat([10 ** (ROLE_LU[part.role] / 20) for part in parts], sizes)
    depths_db = np.repeat([ROLE_DEPTH_DB[part.role] for part in parts], sizes)
    for depth_db in (BELL_DB, CHIME_DB):
        alike = depths_db == depth_db
        gains[alike] *= dips.gains(middles[alike], depth_db)
    # Where a ring, or a hop of it, begins: of the steps of one ring in a hop the loudest counts, and rings add up.
    numbers = np.repeat(np.arange(len(parts)), sizes)
    begins = np.flatnonzero(np.diff(numbers, prepend=-1) | np.diff(at, prepend=-1))
    loudest = np.maximum.reduceat(peaks * gains, begins)
    return Sounding(_added_up(at, squares * gains**2, hops), _added_up(at[begins], loudest, hops))


@dataclass(frozen=True, slots=True)
class _RingSteps:
    """The steps of one ring: the hop of 100 ms, the frame in the middle, the energy and the peak of each."""

    role: RingRole
    at: NDArray[np.int64]
    middles: NDArray[np.int64]
    squares: NDArray[np.float32]
    peaks: NDArray[np.float32]


def _steps_of(ring: Ring, measures: Measures, length_ms: int) -> _RingSteps:
    """What of a ring is heard, before its end and that of the class."""
    steps = min(measures.peaks.size, -(-ring.length_ms // STEP_MS), (length_ms - ring.start_ms) // STEP_MS)
    middles = frames_from_ms(ring.start_ms) + STEP_FRAMES // 2 + STEP_FRAMES * np.arange(steps)
    squares = measures.mean_squares[:steps] * np.float32(CHANNELS / _STEPS_IN_HOP)
    return _RingSteps(ring.role, _hops(ring.start_ms, steps), middles, squares, measures.peaks[:steps])


def _starts_by_words(cues: tuple[Cue, ...]) -> dict[str, list[int]]:
    """Where each clip stands: words said often are measured once."""
    starts: dict[str, list[int]] = {}
    for cue in cues:
        starts.setdefault(cue.words, []).append(cue.start_ms)
    return starts


def _spoken_at(starts: Mapping[str, list[int]], measures: Callable[[str], Measures]) -> NDArray[np.int64]:
    """The hop in which each step of each clip begins, clip by clip."""
    at = [_hops(start_ms, measures(words).mean_squares.size) for words, at_ms in starts.items() for start_ms in at_ms]
    return np.concatenate([np.zeros(0, np.int64), *at])


def _voice_energy(
    starts: Mapping[str, list[int]],
    at: NDArray[np.int64],
    measures: Callable[[str], Measures],
    hops: int,
    ceiling: float,
) -> Double:
    """The energy of the voice in each hop, its clips limited to `ceiling`, before any gain; `at` is `_spoken_at`."""
    energies = [np.zeros(0, np.float32)]
    for words, at_ms in starts.items():
        clip = measures(words)
        squares = clip.mean_squares * np.float32(CHANNELS / _STEPS_IN_HOP)
        if clip.true_peak > ceiling:
            squares = squares * step_gains(clip, ceiling) ** 2
        energies += [squares] * len(at_ms)
    return _added_up(at, np.concatenate(energies).astype(np.float64), hops)


def _added_up(at: NDArray[np.int64], values: Double, hops: int) -> Double:
    """The sum of the values in each hop; what lies after the last hop is left out."""
    total, inside = np.zeros(hops), at < hops
    np.add.at(total, at[inside], values[inside])
    return total


def _hops(start_ms: int, steps: int) -> NDArray[np.int64]:
    """The hop of 100 ms in which each step of a sound begins."""
    return (start_ms + STEP_MS * np.arange(steps)) // HOP_MS


def _lufs(energy: Double) -> float:
    return gated_lufs(block_means(energy))


def _bell_share(voice: Double, bells: Double, music: Double) -> float:
    """How much of their level the bells keep so that the voice need not be lifted more than MOST_LIFT_LU: 0 to 1."""
    alone = _lufs(voice)
    if alone - _lufs(voice + bells + music) <= MOST_LIFT_LU:
        return 1.0
    kept, too_much = 0.0, 1.0
    for _ in range(10):
        share = (kept + too_much) / 2
        if alone - _lufs(voice + share**2 * bells + music) <= MOST_LIFT_LU:
            kept = share
        else:
            too_much = share
    return kept


def _music_share(voice: Double, music: Double) -> float:
    """How much of its level music keeps so that a meter does not count it among the words: 0 to 1."""
    alone = _lufs(voice)

    def is_counted(share: float) -> bool:
        with_music = (_lufs(voice + (share * spare) ** 2 * music) for spare in (1.0, factor(MUSIC_SPARE_DB)))
        return any(abs(alone - each) > MUSIC_CHANGE_LU for each in with_music)

    if not music.any() or not is_counted(1.0):
        return 1.0
    kept, too_much = 0.0, 1.0
    for _ in range(12):
        share = (kept + too_much) / 2
        kept, too_much = (kept, share) if is_counted(share) else (share, too_much)
    return kept


def _peak_share(peaks: Double, speaking: NDArray[np.bool_], gain: float, highest: float) -> float:
    """How much of their level the bells may keep so that no peak passes `highest`, alone or under the voice."""
    alone = highest / max(1e-9, gain * float(peaks.max()))
    under = _BELLS_UNDER_VOICE * highest / max(1e-9, gain * float(peaks[speaking].max()))
    return min(1.0, alone, under)
