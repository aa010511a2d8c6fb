"""Classes whose plan has the teacher's own words: drafted from what she said, and compared with other captions."""

from collections.abc import Iterator
from difflib import SequenceMatcher
from pathlib import Path

from class_texts import expand
from talk_starts import WITH_SOUND
from talked import Talked, captions
from taught import planned
from voiced import LIGHT_HEARD, stretches_of

from guide.draft.class_text import SpokenWords, class_text
from guide.draft.from_captions import understood
from guide.draft.talk_reader import read_talk
from guide.plan.timeline import Timeline
from guide.review.by_words import compare_captions
from guide.review.by_words_and_voice import compare_both
from guide.review.captions.transcript import folded
from guide.review.confidence import RIGHT_MS
from guide.sequence.reader import read_text

#: Of a step whether its start is told to within two seconds, and how sure it is said to be.
Told = tuple[bool, float]


def compared(talk: Talked, cuts: tuple[str, ...]) -> list[list[Told]]:
    """For each cut what is told of each step.

    The class is drafted with its words (`guide draft --say`) from captions line by line. What is right is when the
    first word of a step was said.
    """
    text = class_text(talk.name, *understood(captions(talk, "lines")), SpokenWords.WORDS)
    steps, timeline = planned(expand(read_text(text, talk.name, Path())))
    right, found = dict(said_at(talk, timeline)), []
    for cut in cuts:
        said = captions(talk, cut.removesuffix(WITH_SOUND))
        if cut.endswith(WITH_SOUND):
            heard = stretches_of([(word.start_ms, word.end_ms) for word in talk.words], LIGHT_HEARD, 1)
            taken = compare_both(steps, timeline, said, "class.wav", heard, talk.length_ms, read_talk).steps
        else:
            taken = compare_captions(steps, timeline, said, read_talk).steps
        starts = [(taken[step].real_start_ms, taken[step].sure, at_ms) for step, at_ms in right.items()]
        found.append([(at is not None and abs(at - at_ms) <= RIGHT_MS, sure) for at, sure, at_ms in starts])
    return found


def said_at(talk: Talked, timeline: Timeline) -> Iterator[tuple[int, int]]:
    """Each step whose first two words were said one after the other, and when."""
    said = [(word, one.start_ms) for one in talk.words for word in folded(one.text)]
    planned_words, first = list[str](), dict[int, int]()
    for cue in timeline.cues:
        if folded(cue.words):
            first.setdefault(cue.step, len(planned_words))
        planned_words += folded(cue.words)
    blocks = SequenceMatcher(None, planned_words, [word for word, _ in said], autojunk=False).get_matching_blocks()
    place = {one.a + number: one.b + number for one in blocks for number in range(one.size)}
    for step, at in first.items():
        if at in place and place.get(at + 1) == place[at] + 1:
            yield step, said[place[at]][1]
