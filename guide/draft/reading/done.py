"""How like what was said is to what people are told in a pose: by signs, and by the library's own words for it."""

import math
from collections import Counter
from collections.abc import Sequence
from functools import cache

import numpy as np

from guide.draft.phrases import Phrase
from guide.draft.pose_spelling import held_poses
from guide.draft.reading.shown import shown
from guide.draft.reading.signs import Signs
from guide.draft.told_poses import CARRIED, NEAR_WORDS, TOLD
from guide.review.aligning.word_likeness import stem
from guide.review.captions.transcript import folded
from guide.sequence.poses.pose import Pose

#: A sign of one word counts so much, and each further word so much more.
ONE_WORD = 1.2
MORE_WORDS = 0.7
#: A sign of what carries the body counts so much for poses on it, and as much against others.
CARRIES = 0.6

#: Of the words that are said in a pose so many are its own, so many those of poses on the same base.
OWN = 0.25
OF_BASE = 0.2
#: The words of one phrase count so much at most, for a pose and against it, and their logarithms so much of it.
MOST_FOR = 1.2
MOST_AGAINST = 0.25
WORDS = 0.35


@cache
def all_poses() -> tuple[Pose, ...]:
    """The poses that a reading may have, in one order."""
    return tuple(held_poses())


@cache
def number_of() -> dict[str, int]:
    """The number of each pose by its name."""
    return {pose.name: number for number, pose in enumerate(all_poses())}


def done(phrases: Sequence[Phrase]) -> np.ndarray:
    """For each phrase and each pose, how much its words speak for the pose being done."""
    found: np.ndarray = told(phrases) + carried(phrases) + in_words(phrases)
    found[sorted(shown(phrases))] = 0
    return found


def told(phrases: Sequence[Phrase]) -> np.ndarray:
    """What the signs of poses say; the same sign again in the next phrases says nothing more."""
    found = np.zeros((len(phrases), len(all_poses())))
    for number, thing, count in _signs(phrases, _told()):
        found[number, number_of()[thing]] += ONE_WORD + MORE_WORDS * (count - 1)
    return np.minimum(found, 4.0)


def carried(phrases: Sequence[Phrase]) -> np.ndarray:
    """What the signs of what carries the body say."""
    bases = np.array([pose.base.value for pose in all_poses()])
    found = np.zeros((len(phrases), len(all_poses())))
    for number, thing, _ in _signs(phrases, _carried()):
        found[number] += np.where(bases == thing, CARRIES, -CARRIES)
    return np.clip(found, -2 * CARRIES, 2 * CARRIES)


def _signs(phrases: Sequence[Phrase], signs: Signs) -> list[tuple[int, str, int]]:
    numbers = [number for number, phrase in enumerate(phrases) for _ in phrase.tokens]
    words = [token.text for phrase in phrases for token in phrase.tokens]
    return [(numbers[at], thing, count) for at, thing, count in signs.found(words, NEAR_WORDS)]


@cache
def _told() -> Signs:
    return Signs(TOLD)


@cache
def _carried() -> Signs:
    return Signs({base.value: signs for base, signs in CARRIED.items()})


def in_words(phrases: Sequence[Phrase]) -> np.ndarray:
    """What the library's words for each pose say, against the words of all of them; words it has not say nothing."""
    table, number = _likelihoods()
    found = np.zeros((len(phrases), len(all_poses())))
    for place, phrase in enumerate(phrases):
        words = {number[word] for word in map(stem, phrase.words) if word in number}
        if words:
            found[place] = WORDS * table[sorted(words)].sum(axis=0)
    return np.clip(found, -MOST_AGAINST, MOST_FOR)


@cache
def _likelihoods() -> tuple[np.ndarray, dict[str, int]]:
    """For each word of the library and each pose, the logarithm of how much likelier it is there than elsewhere."""
    counts = [Counter(set(_words(pose))) for pose in all_poses()]
    every: Counter[str] = Counter()
    by_base: dict[str, Counter[str]] = {}
    for pose, count in zip(all_poses(), counts, strict=True):
        every += count
        by_base.setdefault(pose.base.value, Counter()).update(count)
    number = {word: place for place, word in enumerate(sorted(every))}
    total = sum(every.values())
    table = np.zeros((len(number), len(counts)))
    for column, (pose, count) in enumerate(zip(all_poses(), counts, strict=True)):
        base, own = by_base[pose.base.value], sum(count.values()) or 1
        base_total = sum(base.values())
        for word, row in number.items():
            elsewhere = every[word] / total
            here = OWN * count[word] / own + OF_BASE * base[word] / base_total + (1 - OWN - OF_BASE) * elsewhere
            table[row, column] = math.log(here / elsewhere)
    return table, number


def _words(pose: Pose) -> list[str]:
    texts = (*pose.enter, *pose.say)
    return [stem(word) for text in texts for word in folded(text.replace("<other side>", "").replace("<side>", ""))]
