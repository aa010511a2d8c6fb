"""How likely each pose begins with each word of a class as it was talked, whatever was planned."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from guide.draft.events import parted
from guide.draft.phrases import in_thoughts, phrases
from guide.draft.pose_naming import naming_of
from guide.draft.reading.all_poses import all_poses
from guide.draft.reading.chain import chances
from guide.draft.reading.encoder import told_of
from guide.draft.reading.scores import chosen, scores
from guide.draft.reading.signs import signs_of
from guide.draft.reading.together import together
from guide.draft.reading.weights import learned
from guide.review.captions.transcript import Transcript

#: A word begins something where a phrase begins with it, or with one so many words before or after it.
NEAR = 2
#: Phrases of more words than this, taken together, are not cut where people paused (7 or 8 are usual; 13 where captions
#: have neither points nor quiet between them).
MOST_WORDS = 10


@dataclass(frozen=True, slots=True)
class ToldBeginnings:
    """The chance of each thing to begin (phrases by things); `firsts` are the numbers of the words that phrases begin
    with, and `column` has the poses that are thought of, by name."""

    firsts: np.ndarray
    begins: np.ndarray
    column: Mapping[str, int]

    def something(self, words: np.ndarray) -> np.ndarray:
        """The chance that something begins with each of some words, by their numbers."""
        return self._near(self.begins.sum(axis=1), words)

    def of(self, pose: str, words: np.ndarray) -> np.ndarray:
        """The chance that a pose begins with each of some words."""
        if pose not in self.column:
            return np.zeros(len(words))
        return self._near(self.begins[:, self.column[pose]], words)

    def _near(self, chances: np.ndarray, words: np.ndarray) -> np.ndarray:
        by_word = np.zeros(max(int(words.max()), int(self.firsts[-1])) + 1 + 2 * NEAR)
        for off in sorted(range(-NEAR, NEAR + 1), key=abs, reverse=True):
            by_word[self.firsts + NEAR + off] = chances
        found: np.ndarray = by_word[words + NEAR]
        return found


def told_beginnings(transcript: Transcript) -> ToldBeginnings | None:
    """The chances in a class of which something was said; None where captions do not show where people paused."""
    said = phrases(transcript)
    naming = naming_of(said)
    said, _ = in_thoughts(tuple(parted(said, naming)), ())
    if sum(len(phrase.tokens) for phrase in said) > MOST_WORDS * len(said):
        return None
    signs, weights = signs_of(said, transcript.blocks[-1].end_ms, naming), learned()
    by_signs = scores(signs, weights, chosen(signs.words, weights.word_rows), chosen(signs.around, weights.sign_rows))
    told = told_of(said)
    made = together(by_signs, told)
    column = {all_poses()[number].name: at for at, number in enumerate(made.states[:-2].tolist())}
    return ToldBeginnings(told.firsts, chances(made, lengths_too=False).starts, column)
