"""How well each run of stretches of speech fits each line of a script: by lengths, by pauses, and by words."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from math import log, pi, sqrt
from typing import TYPE_CHECKING

import numpy as np

from guide.plan.estimate import LETTER_MS, START_MS, counts
from guide.review.aligning.word_likeness import sounded
from guide.review.captions.transcript import folded
from guide.review.hearing.voice_activity import Stretch
from guide.voice.normalise import normalised

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

#: A line is read in so many stretches at most.
MOST_STRETCHES = 8

#: How far a line's speech may be from its letters (a logarithm), in nine of ten within a fifth.
LENGTH_SPREAD = 0.12

#: Pauses, as the logarithms of their medians in milliseconds, and their spreads: within a line, between two.
WITHIN_MS, WITHIN_SPREAD = 450.0, 0.45
BETWEEN_MS, BETWEEN_SPREAD = 1500.0, 0.8

#: What is no line at all: a slip, a line begun and broken off; and a cough, of which little is taken for speech.
OTHER_MS, OTHER_SPREAD = 1000.0, 0.8
COUGH_MS, COUGH_SPREAD, COUGHS = 180.0, 0.5, 0.4

#: How many pauses a comma, a full stop and the rest of a line bring, and how near to their places they are heard (as a
#: share of the line).
AT_COMMA, AT_STOP, ANYWHERE = 0.4, 0.8, 0.1
PLACE_SPREAD = 0.05

#: What a letter that is heard as written tells for a line, and one that is not against it (logarithms of likelihoods,
#: beside words that are not of the script; two lines of one language share half of their letters in order anyway).
LETTER_HEARD, LETTER_ELSE = 0.7, 1.0

#: Where somebody speaks and a recogniser hears no words, that tells a little against its being a line or a part of one,
#: and by each letter that would have been said meanwhile.
NOTHING_HEARD = -3.0
SILENT_LETTER = 0.25

#: What she says after a slip, as sounds; heard by itself it is no part of a line.
AGAIN, AGAIN_TELLS = "again", 5.0

_STOP = re.compile(r"[,;:–—.!?…](?=\s)")


@dataclass(frozen=True, slots=True)
class FittedLine:
    """A line as fits are judged by it: `plain` are its sounds in letters, `places` where it may pause."""

    ms: float
    plain: str
    places: tuple[tuple[float, float], ...]

    @staticmethod
    def of(words: str) -> "FittedLine":
        """Raises nothing: a line without letters is a short one."""
        letters = max(counts(words)[0], 1)
        places = tuple(
            (counts(words[: at.start()])[0] / letters, AT_COMMA if at[0] in ",;:–—" else AT_STOP)
            for at in _STOP.finditer(words)
        )
        return FittedLine(START_MS + LETTER_MS * letters, as_sounds(words), places)

    def split_rate(self, at: "Floats") -> "Floats":
        """How many pauses there are to a whole line at each share of it."""
        rate = np.full(at.shape, ANYWHERE)
        for place, many in self.places:
            rate += many * np.exp(-0.5 * ((at - place) / PLACE_SPREAD) ** 2) / (PLACE_SPREAD * sqrt(2 * pi))
        return rate

    @property
    def splits(self) -> float:
        """How many pauses the whole line has, as a mean."""
        return ANYWHERE + sum(many for _, many in self.places)


def as_sounds(words: str) -> str:
    """Words in letters that stand for sounds, figures as words, without blanks: a recogniser parts words elsewhere."""
    return "".join(map(sounded, folded(normalised(words))))


@dataclass(frozen=True, slots=True)
class HeardSpeech:
    """What is heard of a reading: its stretches, and the words heard in each (none where no recogniser listened)."""

    stretches: tuple[Stretch, ...]
    words: tuple[str, ...] | None = None

    def gaps_ms(self) -> "Floats":
        """The quiet between each two."""
        starts, ends = self._edges()
        return np.maximum(starts[1:] - ends[:-1], 1.0)

    def lengths_ms(self) -> "Floats":
        """How long each lasts."""
        starts, ends = self._edges()
        return ends - starts

    def _edges(self) -> "tuple[Floats, Floats]":
        edges = np.array([(one.start_ms, one.end_ms) for one in self.stretches], float).reshape(-1, 2)
        return edges[:, 0], edges[:, 1]


@dataclass(frozen=True)
class Fits:
    """Logarithms of likelihoods. `line[m - 1][i, l]`: the m stretches that end with stretch i are line l; `other[i]`:
    stretch i is none. Both hold the quiet before them."""

    line: tuple["Floats", ...]
    other: "Floats"


def fits(script: Sequence[FittedLine], speech: HeardSpeech, pace: float) -> Fits:
    """How well all runs of stretches fit all lines, at the pace of a reader who takes `pace` times as long as usual."""
    lengths, gaps = speech.lengths_ms(), speech.gaps_ms()
    before = np.concatenate([[0.0], _log_normal(gaps, BETWEEN_MS, BETWEEN_SPREAD)])
    within = np.concatenate([[0.0], _log_normal(gaps, WITHIN_MS, WITHIN_SPREAD)])
    expected = np.array([line.ms for line in script]) * pace
    most = min(MOST_STRETCHES, len(lengths))
    line = [_as_lines(script, speech, expected, many, before, within) for many in range(1, most + 1)]
    slips = _log_normal(lengths, OTHER_MS, OTHER_SPREAD) + log(1 - COUGHS)
    coughs = _log_normal(lengths, COUGH_MS, COUGH_SPREAD) + log(COUGHS)
    other = before + np.logaddexp(slips, coughs)
    if speech.words is not None:
        other += AGAIN_TELLS * np.array([text == AGAIN for text in speech.words])
    return Fits(tuple(line), other)


def _as_lines(
    script: Sequence[FittedLine],
    speech: HeardSpeech,
    expected: "Floats",
    many: int,
    before: "Floats",
    within: "Floats",
) -> "Floats":
    lengths = speech.lengths_ms()
    count = len(lengths)
    ends = np.arange(many - 1, count)
    runs = ends[:, None] - np.arange(many - 1, -1, -1)
    sums = np.cumsum(lengths[runs], axis=1)
    total = sums[:, -1:]
    found = np.full((count, len(script)), -np.inf)
    fit = _log_normal(total, expected, LENGTH_SPREAD) - [line.splits for line in script]
    if many > 1:
        shares = sums[:, :-1] / total
        fit += np.stack([np.log(line.split_rate(shares)).sum(axis=1) for line in script], axis=1)
        fit += within[runs[:, 1:]].sum(axis=1, keepdims=True) - (many - 1) * np.log(total)
    fit += before[runs[:, :1]]
    if speech.words is not None:
        fit += _by_words(script, ["".join(speech.words[number] for number in run) for run in runs])
        silent = np.array([0.0 if text else 1.0 for text in speech.words])
        letters = (silent * lengths)[runs].sum(axis=1, keepdims=True) / LETTER_MS
        fit -= SILENT_LETTER * letters - NOTHING_HEARD * silent[runs].sum(axis=1, keepdims=True)
    found[ends] = fit
    return found


def _by_words(script: Sequence[FittedLine], heard: Sequence[str]) -> "Floats":
    """What the words of runs tell for each line."""
    from rapidfuzz.distance import Indel
    from rapidfuzz.process import cdist

    apart = cdist(heard, [line.plain for line in script], scorer=Indel.distance, dtype=np.int32)
    letters = np.array([[len(text)] for text in heard]) + np.array([len(line.plain) for line in script])
    told: Floats = LETTER_HEARD * (letters - apart) / 2 - LETTER_ELSE * apart
    told[[not text for text in heard]] = 0.0
    return told


def likeness(heard: str, line: FittedLine) -> float:
    """How alike what was heard and a line sound, 0 to 1."""
    from rapidfuzz.distance import Indel

    return float(Indel.normalized_similarity(heard, line.plain))


def _log_normal(ms: "Floats", median_ms: "Floats | float", spread: float) -> "Floats":
    """The logarithm of the density, by milliseconds, of a length whose logarithm is normal."""
    off = (np.log(ms) - np.log(median_ms)) / spread
    density: Floats = -0.5 * off**2 - np.log(ms) - log(spread * sqrt(2 * pi))
    return density
