"""What a talk tells, phrase by phrase, for a comparison with a plan."""

from collections.abc import Collection
from dataclasses import replace

import numpy as np

from guide.draft.from_captions import named_phrases
from guide.draft.phrases import Phrase, in_thoughts
from guide.draft.reading.all_poses import all_poses, number_of
from guide.draft.reading.encoder import told_of
from guide.draft.reading.scores import chosen, scores
from guide.draft.reading.signs import signs_of
from guide.draft.reading.together import WORTH, together
from guide.draft.reading.weights import learned
from guide.review.aligning.told_talk import ToldTalk
from guide.review.captions.transcript import Transcript

#: Where it is known what is to come, signs count for more beside the network.
WORTH_BESIDE_A_PLAN = replace(WORTH, within=0.94, starts=0.34, outside=0.35, told_likely=0.25, more_outside=0.0)
#: Where captions have no points, something may begin in the midst of a phrase: off by so much of it.
WITHIN_PHRASE = 0.33


def read_talk(transcript: Transcript, poses: Collection[str]) -> ToldTalk:
    """What is told in a class of which something was said: of these poses, and of all that may be done."""
    said, naming = named_phrases(transcript)
    said, _ = in_thoughts(said, ())
    signs, weights = signs_of(said, transcript.blocks[-1].end_ms, naming), learned()
    words, around = chosen(signs.words, weights.word_rows), chosen(signs.around, weights.sign_rows)
    besides = [number_of()[pose] for pose in poses if pose in number_of()]
    made = together(scores(signs, weights, words, around, besides), told_of(said), WORTH_BESIDE_A_PLAN)
    within = np.diff(made.sums, axis=0)
    named = [all_poses()[number].name for number in made.states[:-2].tolist()]
    return ToldTalk(
        tuple(phrase.words for phrase in said),
        signs.starts_ms.astype(float),
        np.array([_loose_ms(phrase) for phrase in said]),
        dict(zip(named, within.T, strict=False)) | {"": np.logaddexp(*within.T[-2:])},
        dict(zip(named, made.starts.T, strict=False)) | {"": np.logaddexp(*made.starts.T[-2:])},
        made.ends,
        made.outside,
        np.logaddexp.reduce(within, axis=1),
    )


def _loose_ms(phrase: Phrase) -> float:
    """By how much what begins with a phrase may be off."""
    within_ms = 0.0 if phrase.pointed else WITHIN_PHRASE * (phrase.end_ms - phrase.start_ms)
    return max(phrase.tokens[0].loose_ms, within_ms)
