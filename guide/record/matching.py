"""Which stretches of speech are which lines of a script: all ways to share them out, summed up."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from guide.record.line_fits import Fits, FittedLine, HeardSpeech, fits

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

#: How often the line after the last one follows; the same one again; the one after next, and further on, each half as
#: often; the one before; and any line at all.
NEXT, SAME, SKIPPED, BACK, ANY = 0.90, 0.03, 0.02, 0.03, 0.02

#: How often a stretch is no line.
OTHER = 0.08

#: Another line is told as what it could be from this chance on.
LEAST_LIKELY = 0.01

#: A reader takes so many times as long as words usually do: where to begin, and how often to look again.
PACES = (0.8, 1.0, 1.25)
ROUNDS = 3


@dataclass(frozen=True, slots=True)
class LineMatch:
    """Line `line` is the stretches from `first` to `last`, with a chance of `sure`; else it is rather `rather`.

    `again` is the chance that it was read once more after that.
    """

    line: int
    first: int
    last: int
    sure: float
    rather: int | None
    again: float


@dataclass(frozen=True, slots=True)
class Matching:
    """The last match of every line that was read, and how well the script explains what was heard."""

    matches: tuple[LineMatch, ...]
    pace: float
    log_likelihood: float


def match(script: Sequence[FittedLine], speech: HeardSpeech) -> Matching:
    """The lines of a script in what was heard of its reading: each at most once, where it was read last."""
    return max((_at_pace(script, speech, pace) for pace in PACES), key=lambda one: one.log_likelihood)


def _at_pace(script: Sequence[FittedLine], speech: HeardSpeech, pace: float) -> Matching:
    lengths = speech.lengths_ms()
    found = Matching((), pace, -np.inf)
    for _ in range(ROUNDS):
        found = _matching(fits(script, speech, pace), len(script), pace)
        if not found.matches:
            break
        ratios = [lengths[one.first : one.last + 1].sum() / script[one.line].ms for one in found.matches]
        pace = float(np.median(ratios))
    return found


def _matching(fit: Fits, lines: int, pace: float) -> Matching:
    chances = _chances(lines)
    forward = _forward(fit, chances)
    backward = _backward(fit, chances)
    whole = _log_sum(forward[-1])
    posteriors = [_posterior(fit, many, forward, backward, chances, whole) for many in range(1, len(fit.line) + 1)]
    best = _best_path(fit, chances)
    last = {line: (first, end) for first, end, line in best}
    matches = [_told(line, first, end, posteriors) for line, (first, end) in last.items()]
    return Matching(tuple(sorted(matches, key=lambda one: one.first)), pace, whole)


def _chances(lines: int) -> "Floats":
    """How likely each line (a column) comes after each other (a row); the first row is the beginning."""
    far = np.arange(lines) - np.arange(-1, lines)[:, None]
    chances = np.full((lines + 1, lines), ANY / lines)
    chances[far == 1] += NEXT
    chances[far == 0] += SAME
    chances[far == -1] += BACK
    chances += np.where(far > 1, SKIPPED * 0.5 ** np.maximum(far - 1.0, 1), 0)
    chances[0] = 0.5 / lines
    chances[0, 0] += 0.5
    return chances


def _forward(fit: Fits, chances: "Floats") -> "Floats":
    """By how many stretches are over and which line was last (0: none yet): the sum over all that may have been."""
    count, lines = fit.line[0].shape
    sums = np.full((count + 1, lines + 1), -np.inf)
    sums[0, 0] = 0.0
    coming = [_onward(sums[0], chances)]
    for end in range(count):
        ways = [coming[end + 1 - many] + fit.line[many - 1][end] for many in range(1, min(len(fit.line), end + 1) + 1)]
        sums[end + 1, 1:] = _log_sums(ways)
        sums[end + 1] = np.logaddexp(sums[end + 1], sums[end] + np.log(OTHER) + fit.other[end])
        coming.append(_onward(sums[end + 1], chances))
    return sums


def _onward(sums: "Floats", chances: "Floats") -> "Floats":
    """The sum for each line that comes next."""
    most = sums.max()
    with np.errstate(divide="ignore"):
        onward: Floats = np.log(np.exp(sums - most) @ chances) + most + np.log(1 - OTHER)
    return onward


def _backward(fit: Fits, chances: "Floats") -> "Floats":
    """The same from the end: the sum over all that may come after."""
    count, lines = fit.line[0].shape
    sums = np.full((count + 1, lines + 1), 0.0)
    for start in range(count - 1, -1, -1):
        ways = [
            fit.line[many - 1][start + many - 1] + sums[start + many, 1:]
            for many in range(1, min(len(fit.line), count - start) + 1)
        ]
        coming = _log_sums(ways)
        most = coming.max()
        with np.errstate(divide="ignore"):
            onward = np.log(chances @ np.exp(coming - most)) + most + np.log(1 - OTHER)
        sums[start] = np.logaddexp(onward, sums[start + 1] + np.log(OTHER) + fit.other[start])
    return sums


def _posterior(
    fit: Fits, many: int, forward: "Floats", backward: "Floats", chances: "Floats", whole: float
) -> "Floats":
    """The chance of each run of so many stretches, by its last, to be each line."""
    count = len(fit.other)
    posterior = np.zeros(fit.line[0].shape)
    for end in range(many - 1, count):
        way = _onward(forward[end + 1 - many], chances) + fit.line[many - 1][end] + backward[end + 1, 1:]
        posterior[end] = np.exp(way - whole)
    return posterior


def _best_path(fit: Fits, chances: "Floats") -> list[tuple[int, int, int]]:
    """The likeliest way to share out all stretches: first, last, line."""
    count, lines = fit.line[0].shape
    log_chances = np.log(chances) + np.log(1 - OTHER)
    best = np.full((count + 1, lines + 1), -np.inf)
    best[0, 0] = 0.0
    came = np.zeros((count + 1, lines + 1, 2), int)
    before = [_best_onward(best[0], log_chances)]
    for end in range(count):
        best[end + 1] = best[end] + np.log(OTHER) + fit.other[end]
        came[end + 1, :, 1] = np.arange(lines + 1)
        for many in range(1, min(len(fit.line), end + 1) + 1):
            sums, from_line = before[end + 1 - many]
            way = sums + fit.line[many - 1][end]
            better = np.flatnonzero(way > best[end + 1, 1:])
            best[end + 1, better + 1] = way[better]
            came[end + 1, better + 1, 0] = many
            came[end + 1, better + 1, 1] = from_line[better]
        before.append(_best_onward(best[end + 1], log_chances))
    return _walked_back(came, int(np.argmax(best[-1])))


def _best_onward(best: "Floats", log_chances: "Floats") -> "tuple[Floats, NDArray[np.intp]]":
    ways = best[:, None] + log_chances
    from_line = np.argmax(ways, axis=0)
    return ways[from_line, np.arange(ways.shape[1])], from_line


def _walked_back(came: "NDArray[np.int_]", line: int) -> list[tuple[int, int, int]]:
    path, end = [], len(came) - 1
    while end > 0:
        many, from_line = map(int, came[end, line])
        if many:
            path.append((end - many, end - 1, line - 1))
        end, line = end - max(many, 1), from_line
    return path[::-1]


def _told(line: int, first: int, last: int, posteriors: "Sequence[Floats]") -> LineMatch:
    here = posteriors[last - first][last]
    sure = float(here[line])
    others = np.where(np.arange(len(here)) == line, 0.0, here)
    rather = int(np.argmax(others)) if others.max() >= LEAST_LIKELY else None
    again = float(sum(one[last + many :, line].sum() for many, one in enumerate(posteriors, 1)))
    return LineMatch(line, first, last, sure, rather, again)


def _log_sum(values: "Floats") -> float:
    return float(np.logaddexp.reduce(values))


def _log_sums(ways: "Sequence[Floats]") -> "Floats":
    sums: Floats = np.logaddexp.reduce(np.stack(ways), axis=0)
    return sums
