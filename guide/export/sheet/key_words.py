"""The few words of a step's cues that matter most to somebody who knows the class."""

import re
from collections.abc import Iterator, Sequence

from guide.pauses import shown
from guide.plan.moment import action
from guide.plan.timeline import Cue, CuePart, Timeline
from guide.sequence.steps import CueKind, StepKind
from guide.visible import visible_in_line

#: A thought is cut before what these begin; what stays has two words at least.
_CUT = re.compile(r"(?<=[^\W_])[.,;:!?](?=\s|$)| [–—-] ")
_LEAST_WORDS = 2

#: Words that only say which pose this is.
_NAMES_IT = re.compile(r"this is ", re.IGNORECASE)

#: Words that say no more than what the figure shows: the name of the pose alone.
_NAMES = (CueKind.NAME, CueKind.COUNT, CueKind.OFFER)


def key_words(timeline: Timeline, number: int, cues: Sequence[Cue]) -> str:
    """The first thought of the words that say how to do a step: those in its hold, else those that lead there.

    Of a move and of words alone it is what they ask for. `cues` are those of the step.
    """
    span = timeline.spans[number]
    if span.kind in (StepKind.MOVE, StepKind.TALK):
        said = action(timeline, number) if cues else ""
        return first_thought("" if said == span.title else said)
    return next((first_thought(words) for words in _told(cues) if not _NAMES_IT.match(words)), "")


def _told(cues: Sequence[Cue]) -> Iterator[str]:
    for part in (CuePart.HOLD, CuePart.ENTRY):
        for cue in cues:
            if cue.part is part and cue.kind not in _NAMES:
                yield from re.split(r"(?<=[.!?])\s+", shown(cue.words))


def first_thought(words: str) -> str:
    """The words up to where the first thought ends: `Knee over heel` of `Knee over heel, and pointing ahead.`"""
    words = visible_in_line(" ".join(words.split()))
    ends = (found.start() for found in _CUT.finditer(words))
    end = next((end for end in ends if len(words[:end].split()) >= _LEAST_WORDS), len(words))
    thought = words[:end].rstrip(" .")
    return thought[:1].upper() + thought[1:]
