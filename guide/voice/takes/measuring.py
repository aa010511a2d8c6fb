"""What a recording of a line is like: where its words are, how loud, how noisy and how roomy it is, and what to do."""

from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from guide.voice.takes.filtering import without_rumble

#: The level is looked at in steps of 10 ms.
STEP_MS = 10

#: Speech stands so far above the quiet of its recording, and so little below its own loudest, in dB.
ABOVE_QUIET_DB, BELOW_LOUDEST_DB = 8.0, 38.0

#: Softer than this nothing is speech, in dBFS.
SILENT_DBFS = -62.0

#: Words with less between them than this are one stretch, and a shorter one is a click, in ms.
JOINED_MS, CLICK_MS = 300, 70

#: What is worth saying of a take: peaks above it and speech below it (dBFS), less than so much between speech and noise
#: (dB), a voice that dies away more slowly (seconds for 60 dB). Living rooms have 0.3 to 0.5 s (ISO 3382-2 takes 0.5 s
#: for a furnished one); the tests hold that a dry voice stays below.
LOUD_DBFS, SOFT_DBFS, NOISY_DB, ROOMY_S = -0.5, -42.0, 24.0, 0.9

#: So many samples at full scale one after the other are a clipped peak.
CLIPPED_RUN, FULL_SCALE = 3, 0.99

#: A voice dies away where it falls by so much or more, in dB; its first fall is its own and not the room's.
FALL_DB, OWN_FALL_DB = 15.0, 3.0

#: It is looked for so many steps around the end of a stretch.
BACK = 80

NOTHING_DBFS = -120.0

Single = NDArray[np.float32]
Levels = NDArray[np.float64]


class TakeFault(Enum):
    """What may be wrong with a take."""

    SILENT = "silent"
    LOUD = "too loud"
    SOFT = "too soft"
    NOISY = "too noisy"
    ROOMY = "too roomy"


@dataclass(frozen=True, slots=True)
class Verdict:
    """What is wrong with a take, with its number, and what to do about it."""

    fault: TakeFault
    what: str
    fix: str

    def __str__(self) -> str:
        return f"{self.what} ({self.fix})"


@dataclass(frozen=True, slots=True)
class TakeMeasures:
    """What was measured of a recording; `words_ms` is where its words begin and end, None where there are none.

    `dies_away_s` is how long the voice takes to fall by 60 dB where it stops, None where nothing tells.
    """

    length_ms: int
    words_ms: tuple[int, int] | None
    peak_dbfs: float
    clipped: int
    speech_dbfs: float
    noise_dbfs: float
    dies_away_s: float | None

    @property
    def lasts_ms(self) -> int:
        """How long its words last; 0 where there are none."""
        return 0 if self.words_ms is None else self.words_ms[1] - self.words_ms[0]

    @property
    def speech_over_noise_db(self) -> float:
        """How far the speech is above the noise."""
        return self.speech_dbfs - self.noise_dbfs


def measured(samples: Single, rate_hz: int) -> TakeMeasures:
    """The measures of a recording of one line, mono."""
    levels = levels_dbfs(without_rumble(samples, rate_hz), rate_hz)
    stretches = speech_in(levels)
    speaks = np.zeros(levels.size, bool)
    for begins, ends in stretches:
        speaks[begins:ends] = True
    words = (stretches[0][0] * STEP_MS, stretches[-1][1] * STEP_MS) if stretches else None
    noise_dbfs = quiet_dbfs(levels)
    peak = float(np.abs(samples).max(initial=0))
    return TakeMeasures(
        length_ms=samples.size * 1000 // rate_hz,
        words_ms=words,
        peak_dbfs=max(NOTHING_DBFS, 20 * float(np.log10(max(peak, 1e-9)))),
        clipped=_clipped(samples),
        speech_dbfs=mean_db(levels[speaks]) if stretches else NOTHING_DBFS,
        noise_dbfs=noise_dbfs,
        dies_away_s=_dies_away_s(levels, stretches, noise_dbfs),
    )


def verdicts(found: TakeMeasures) -> tuple[Verdict, ...]:
    """What is worth saying of a take, the worst first; nothing of a good one."""
    if found.words_ms is None:
        level = f"nothing above {found.peak_dbfs:.0f} dBFS"
        return (
            Verdict(TakeFault.SILENT, f"no words are heard: {level}", "check that the microphone is on, and is yours"),
        )
    said = []
    if found.clipped:
        what = f"too loud: {found.clipped} samples are cut off at full scale"
        said.append(Verdict(TakeFault.LOUD, what, "turn the microphone down, or move back a hand"))
    elif found.peak_dbfs > LOUD_DBFS:
        what = f"too loud: it peaks at {found.peak_dbfs:.1f} dBFS"
        said.append(Verdict(TakeFault.LOUD, what, "turn the microphone down, or move back a hand"))
    if found.speech_dbfs < SOFT_DBFS:
        what = f"too soft: your voice is at {found.speech_dbfs:.0f} dBFS, and {SOFT_DBFS:.0f} is the least"
        said.append(Verdict(TakeFault.SOFT, what, "turn the microphone up, or come closer"))
    if found.speech_over_noise_db < NOISY_DB:
        over = f"your voice is {found.speech_over_noise_db:.0f} dB above the noise, and {NOISY_DB:.0f} is the least"
        said.append(
            Verdict(TakeFault.NOISY, f"too noisy: {over}", "switch off what hums, shut the window, come closer")
        )
    if found.dies_away_s is not None and found.dies_away_s > ROOMY_S:
        rings = f"your voice takes {found.dies_away_s:.1f} s to die away, and {ROOMY_S} s is the most"
        said.append(Verdict(TakeFault.ROOMY, f"too roomy: {rings}", "come closer, or hang blankets around you"))
    return tuple(said)


def levels_dbfs(samples: Single, rate_hz: int) -> Levels:
    """The level of each step of a sound; a last one that is cut short is left out, unless it is all there is.

    Each is smoothed with those beside it, so that a hum of 50 Hz, whose waves last two steps, is steady.
    """
    step = rate_hz * STEP_MS // 1000
    whole = samples[: max(1, samples.size // step) * step]
    padded = np.pad(whole, (0, -whole.size % step)).reshape(-1, step).astype(np.float64)
    squares = np.einsum("ij,ij->i", padded, padded) / step
    if squares.size > 1:
        squares = np.convolve(np.pad(squares, 1, mode="edge"), (0.25, 0.5, 0.25), mode="valid")
    levels: Levels = np.maximum(NOTHING_DBFS, 10 * np.log10(np.maximum(squares, 1e-12)))
    return levels


def quiet_dbfs(levels: Levels) -> float:
    """The level of what is always there: that of the quietest tenth, and all that is like it."""
    heard = levels[levels > NOTHING_DBFS]
    if not heard.size:
        return NOTHING_DBFS
    return mean_db(heard[heard <= np.percentile(heard, 10) + 3])


def speech_in(levels: Levels) -> list[tuple[int, int]]:
    """The stretches of speech, in steps: what stands above the quiet, without clicks."""
    least = max(
        SILENT_DBFS, quiet_dbfs(levels) + ABOVE_QUIET_DB, float(levels.max(initial=NOTHING_DBFS)) - BELOW_LOUDEST_DB
    )
    stretches: list[tuple[int, int]] = []
    for begins, ends in _runs(levels >= least):
        if stretches and begins - stretches[-1][1] <= JOINED_MS // STEP_MS:
            stretches[-1] = (stretches[-1][0], ends)
        else:
            stretches.append((begins, ends))
    return [(begins, ends) for begins, ends in stretches if ends - begins >= CLICK_MS // STEP_MS]


def mean_db(levels: Levels) -> float:
    """The level of the mean power of some steps."""
    return 10 * float(np.log10(np.mean(10 ** (levels / 10))))


def _runs(which: NDArray[np.bool_]) -> list[tuple[int, int]]:
    edges = np.flatnonzero(np.diff(np.concatenate([[False], which, [False]]).astype(np.int8)))
    return [(int(begins), int(ends)) for begins, ends in zip(edges[::2], edges[1::2], strict=True)]


def _clipped(samples: Single) -> int:
    """How many samples lie in runs at full scale, or at a level at which all higher ones were cut."""
    return sum(ends - begins for begins, ends in _runs(np.abs(samples) >= FULL_SCALE) if ends - begins >= CLIPPED_RUN)


def _dies_away_s(levels: Levels, stretches: list[tuple[int, int]], noise_dbfs: float) -> float | None:
    """The fastest fall of the voice at the end of a stretch, as seconds for 60 dB: a room lets none be faster."""
    found = [_fall_s(levels, ends, noise_dbfs) for _, ends in stretches]
    return min((fall_s for fall_s in found if fall_s is not None), default=None)


def _fall_s(levels: Levels, ends: int, noise_dbfs: float) -> float | None:
    """How fast the level falls where a stretch ends, fitted by a line from its last loud step into the noise."""
    last = levels[max(0, ends - BACK) : ends + BACK]
    loud_db = float(np.percentile(last[:BACK], 80))
    above = np.flatnonzero(last >= loud_db - OWN_FALL_DB)
    begins = int(above[-1])
    into = np.flatnonzero(last[begins:] <= noise_dbfs + 7)
    stops = begins + int(into[0]) if into.size else last.size
    falling = last[begins:stops]
    if falling.size < 3 or falling[0] - falling[-1] < FALL_DB:
        return None
    slope = float(np.polyfit(np.arange(falling.size) * STEP_MS / 1000, falling, 1)[0])
    return -60 / slope if slope < 0 else None
