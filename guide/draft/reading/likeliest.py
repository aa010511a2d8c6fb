"""The likeliest reading of a class: a row of stays in poses, with talk and moves between them.

How likely each part of a reading is was learned from talked classes (`weights`): by the words that tell of poses, the
signs of what begins and ends (`signs`), names (`named`), what follows what, and how long people stay (`scores`), with
what a network makes of all that is said around (`encoder`, `together`). Of all readings the likeliest is found, and how
sure each stay is over all readings (`chain`).
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import log

import numpy as np

from guide.draft.phrases import Phrase
from guide.draft.pose_naming import Naming
from guide.draft.reading.all_poses import all_poses
from guide.draft.reading.chain import best_path, chances
from guide.draft.reading.encoder import ToldPhrases
from guide.draft.reading.scores import Choice, Scores, chosen, length_of, scores
from guide.draft.reading.signs import Signs, signs_of
from guide.draft.reading.together import together
from guide.draft.reading.weights import SALUTATION, learned

#: A pose is thought of where the network tells it so likely of a phrase (a logarithm), whatever its signs.
THOUGHT_OF = log(0.03)
#: A pose is rather left out where it was than said where it was not: so much less likely it begins.
RATHER_NOT = 0.9
#: A pose whose name stands for itself is so much likelier to begin with it.
PLAINLY, AS_ANNOUNCED = 6.0, 2.6
#: So is one whose name is part of a longer thought, where it is quiet for so long after it: `come into child's pose`.
IN_PASSING, QUIET_MS = 4.0, 15_000
#: What was done on one side is so much likelier to be done on the other.
AS_OTHER = 0.7
#: A pose is one where it is so likely, and is told of as a doubt where it is less likely.
LEAST_SURE, LEAST_MAYBE = 0.2, 0.1
#: How much signs, the network, and how many phrases usually lead in count for when people are settled in a pose.
SIGNS_SETTLE, TOLD_SETTLES, USUALLY_SETTLED = 0.49, 0.28, 0.07
#: People are settled so long after the words that lead in at the latest, and after so much of the whole stay.
SETTLING_MS, MOST_LEADING = 2_250, 0.7
#: A hold is right to within so much of it, and the more so the nearer, by this measure; lengths are tried that are so
#: many times those that phrases tell.
NEAR, NEARER, TRIED = 0.2, 0.15, (0.85, 1.0, 1.15)
#: A salutation is one where it is so likely.
SALUTES = 0.3


@dataclass(frozen=True, slots=True)
class Stay:
    """A stay in a pose, by numbers of phrases; `named` is how much its names say for it, `sure` how likely it is, and
    `kept_ms` when people are settled in it, None where nothing tells.

    In moves and in a salutation `pose` is None, and where it is not likely enough and only `maybe`.
    """

    start: int
    end: int
    pose: str | None
    named: float
    sure: float
    salutation: bool = False
    kept_ms: int | None = None
    maybe: str | None = None


def likeliest(
    phrases: Sequence[Phrase],
    end_ms: int,
    naming: Naming,
    told: ToldPhrases,
    fresh: frozenset[int] = frozenset(),
    other_side: Mapping[int, frozenset[str]] | None = None,
) -> tuple[Stay, ...]:
    """The stays of the likeliest reading, in order.

    `told` is what the network tells of the phrases. No stay goes across the phrases in `fresh`; `other_side` has for
    phrases that are part of two sides the poses of the other one, as they were read before.
    """
    if not phrases:
        return ()
    made, signs, around = _scored(phrases, end_ms, naming, told, fresh, other_side or {})
    within = chances(made, lengths_too=False).within
    settles = SIGNS_SETTLE * around.sums(learned().settles) + TOLD_SETTLES * told.settles
    usually = USUALLY_SETTLED * learned().settles_after
    return tuple(
        replace(stay, kept_ms=_kept_ms(stay, settles, usually, signs.starts_ms, phrases))
        for stay in _stays(best_path(made), made.states, within, signs.named)
    )


def poses_stayed_in(
    phrases: Sequence[Phrase], end_ms: int, naming: Naming, told: ToldPhrases
) -> tuple[tuple[int, int, str], ...]:
    """The poses of the likeliest reading by its first phrase and the one after its last, in half the time: nothing is
    told of how sure they are."""
    if not phrases:
        return ()
    made, *_ = _scored(phrases, end_ms, naming, told, frozenset(), {})
    states = made.states[:-2].tolist()
    return tuple(
        (start, end, all_poses()[states[place]].name) for start, end, place in best_path(made) if place < len(states)
    )


def _scored(
    phrases: Sequence[Phrase],
    end_ms: int,
    naming: Naming,
    told: ToldPhrases,
    fresh: frozenset[int],
    other_side: Mapping[int, frozenset[str]],
) -> tuple[Scores, Signs, Choice]:
    """How likely each part of a reading is, with the signs of it and those of what is said around."""
    signs, weights = signs_of(phrases, end_ms, naming), learned()
    around = chosen(signs.around, weights.sign_rows)
    words = chosen(signs.words, weights.word_rows)
    made = together(scores(signs, weights, words, around, thought_of(told)), told)
    rather = np.append(np.full(len(made.states) - 2, -RATHER_NOT), [0, 0])
    quiet = np.diff(signs.starts_ms) - [phrase.end_ms - phrase.start_ms for phrase in phrases] >= QUIET_MS
    enough = np.where(quiet, IN_PASSING, PLAINLY)
    announced = np.pad(signs.named[:, made.states[:-2]] >= enough[:, None], ((0, 0), (0, 2)))
    rather = rather + AS_ANNOUNCED * announced + _as_on_the_other_side(other_side, made.states, len(phrases))
    made = replace(made, starts=made.starts + rather, length_of=length_of(signs.starts_ms, sorted(fresh)))
    return made, signs, around


def thought_of(told: ToldPhrases) -> list[int]:
    """The numbers of the poses of which the network tells something."""
    found: list[int] = np.flatnonzero(told.likely[:, : len(all_poses())].max(axis=0) > THOUGHT_OF).tolist()
    return found


def _as_on_the_other_side(poses: Mapping[int, frozenset[str]], states: np.ndarray, count: int) -> np.ndarray:
    """How much likelier each thing begins with each phrase for being done on the other side."""
    place = {all_poses()[number].name: at for at, number in enumerate(states[:-2].tolist())}
    found = np.zeros((count, len(states)))
    for phrase, names in poses.items():
        found[phrase, [place[name] for name in names if name in place]] = AS_OTHER
    return found


def _kept_ms(
    stay: Stay, settles: np.ndarray, usually: np.ndarray, starts_ms: np.ndarray, phrases: Sequence[Phrase]
) -> int | None:
    """When people are settled in a stay, so that its hold is likeliest about right; None for one of one phrase."""
    first = stay.start + 1
    last = min(first + len(usually), stay.end)
    if first == last:
        return None
    start_ms, end_ms = int(starts_ms[stay.start]), int(starts_ms[stay.end])
    led_ms = [phrase.end_ms + SETTLING_MS for phrase in phrases[first - 1 : last - 1]]
    settled_ms = np.minimum(starts_ms[first:last], led_ms)
    held_ms = np.maximum(end_ms - np.minimum(settled_ms, start_ms + MOST_LEADING * (end_ms - start_ms)), 1)
    worth = settles[first:last] + usually[: last - first]
    tried_ms = np.outer(held_ms, TRIED).ravel()
    apart = tried_ms[:, None] / held_ms
    right = (np.abs(apart - 1) <= NEAR) + np.exp(-((np.log(apart) / NEARER) ** 2) / 2)
    best = int((right @ np.exp(worth - worth.max())).argmax())
    return max(start_ms, end_ms - round(float(tried_ms[best])))


def _stays(
    path: Sequence[tuple[int, int, int]], states: np.ndarray, within: np.ndarray, named: np.ndarray
) -> Iterator[Stay]:
    for start, end, place in path:
        sure = float(within[start:end, place].max())
        if place < len(states) - 2:
            number = int(states[place])
            names = float(np.maximum(named[start:end, number], 0).sum())
            found = Stay(start, end, all_poses()[number].name, names, sure)
            if sure < LEAST_SURE:
                found = replace(found, pose=None, maybe=found.pose if sure >= LEAST_MAYBE else None)
            yield found
        else:
            yield Stay(start, end, None, 0.0, sure, place - len(states) == SALUTATION and sure >= SALUTES)
