"""How surely a pose was named in each phrase; a name that is only spoken of speaks against it."""

from collections.abc import Sequence

import numpy as np

from guide.draft.heard_names import plain_words
from guide.draft.phrases import Phrase, these
from guide.draft.pose_naming import Named, Naming
from guide.draft.reading.all_poses import all_poses, number_of
from guide.draft.reading.moved import moved
from guide.draft.reading.shown import shown
from guide.review.captions.transcript import folded
from guide.sequence.steps import Side

#: A name that stands for itself, and one that is part of a longer thought.
ANNOUNCED = 7.0
MENTIONED = 4.5
#: One of words that are said in many poses (`arms up`, `all fours`), and one on a called breath, count so much of it.
EVERYDAY = 0.4
ON_BREATH = 0.5
#: One that was said so shortly before says little more, of the same side.
AGAIN_MS = 40_000
AGAIN = 0.3
#: One that is spoken of and not done.
SPOKEN_OF = -0.5
#: What is named is not another pose.
OTHERS = 1.5

#: Words within a few of a name that say it is only spoken of.
_NOT_NOW = these("could would planned skip skipped usually normally sometimes instead expect leave classes often later")
_LEFT_OUT = these("tonight skip leave")
_NEAR = 8
#: Names that say where the body is more than what it does.
_BASES = (("hands", "and", "knees"), ("all", "fours"), ("tabletop",), ("table",))


def named(phrases: Sequence[Phrase], naming: Naming) -> np.ndarray:
    """For each phrase and pose, how much its names speak for the pose being done."""
    found = np.zeros((len(phrases), len(all_poses())))
    last_ms: dict[tuple[int, tuple[Side, ...]], int] = {}
    on_breath, looking = moved(phrases), shown(phrases)
    for place, phrase in enumerate(phrases):
        for one in naming.named(phrase):
            number = number_of().get(one.pose.name)
            if number is None:
                continue
            if place not in looking and not _is_spoken_of(phrases, place, one):
                weight = ANNOUNCED if one.announced else MENTIONED
                words = phrase.words_in(one.start, one.end)
                everyday = words in _BASES or (
                    _everyday(words) and not (one.announced and words == folded(one.pose.name))
                )
                weight *= EVERYDAY if everyday else 1.0
                weight *= ON_BREATH if on_breath[place] else 1.0
                same = number, phrase.sides_in(one.end, one.end + 4)
                told_ms, last_ms[same] = last_ms.get(same), phrase.start_ms
                weight *= AGAIN if told_ms is not None and phrase.start_ms - told_ms < AGAIN_MS else 1.0
                found[place] -= OTHERS
                found[place, number] += OTHERS + weight * max(0.0, 1 - 2 * (1 - one.sure))
            else:
                found[place, number] += SPOKEN_OF
    return found


def _is_spoken_of(phrases: Sequence[Phrase], place: int, one: Named) -> bool:
    """Whether the words around a name say that it is not done now, in its phrase or in those beside it."""
    phrase = phrases[place]
    before = (*(phrases[place - 1].words if place else ()), *phrase.words_in(0, one.start))[-_NEAR:]
    after = (
        *phrase.words_in(one.end, one.end + _NEAR),
        *(phrases[place + 1].words[:4] if place + 1 < len(phrases) else ()),
    )
    return not _NOT_NOW.isdisjoint(before) or not _LEFT_OUT.isdisjoint(after[:_NEAR])


def _everyday(words: tuple[str, ...]) -> bool:
    return words in _BASES or (len(words) > 1 and words[-1] != "pose" and plain_words(words))
