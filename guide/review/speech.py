"""How much of a class was spoken, and how fast."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from guide.review.captions.letter_rate import LEAST_CAPTIONS, rate_of, rates_of
from guide.review.captions.transcript import Transcript, folded
from guide.review.lead_of_words import LeadOfWords
from guide.review.said_often import Often, fillers, phrases


@dataclass(frozen=True, slots=True)
class QuietTime:
    """Nobody spoke from `from_ms` to `to_ms`."""

    from_ms: int
    to_ms: int

    @property
    def length_ms(self) -> int:
        """How long that was."""
        return self.to_ms - self.from_ms


@dataclass(frozen=True, slots=True)
class Speech:
    """What was said from the first words, at `from_ms`, to the last, `over_ms` later.

    From captions, `spoken_ms` is an estimate: they stand on while nobody speaks, so their words are given the time that
    they take in captions without quiet in them. `is_measured` tells whether there are enough of those; else it is the
    usual time. From a voice that was heard it is measured, and `words` is None. `fillers` and `phrases` were said most;
    `longest_quiet` is None where there was none, or it was not looked for, and `lead` where it cannot be known.
    """

    words: int | None
    spoken_ms: int
    over_ms: int
    is_measured: bool
    fillers: tuple[Often, ...] = ()
    phrases: tuple[Often, ...] = ()
    longest_quiet: QuietTime | None = None
    from_ms: int = 0
    lead: LeadOfWords | None = None

    @property
    def share(self) -> float:
        """The share of the time in which there was speech, 0 to 1."""
        return self.spoken_ms / self.over_ms if self.over_ms else 0.0

    @property
    def words_a_minute_in_all(self) -> float | None:
        """How many words a minute from the first to the last, quiet and all: the same however captions are cut."""
        return None if self.words is None else self.words * 60_000 / self.over_ms if self.over_ms else 0.0

    @property
    def words_a_minute(self) -> float | None:
        """How many words a minute, while there was speech; None where no words are known."""
        if self.words is None:
            return None
        return self.words * 60_000 / self.spoken_ms if self.spoken_ms else 0.0


def speech(transcript: Transcript) -> Speech:
    """How much was said, and how much of the time that took."""
    blocks = [(block.end_ms - block.start_ms, folded(block.text)) for block in transcript.blocks]
    counted = [(length_ms, sum(map(len, words))) for length_ms, words in blocks]
    rates = rates_of(transcript)
    spans_ms = [min(length_ms, round(letters * 1000 / rate_of(rates))) for length_ms, letters in counted]
    over_ms = transcript.blocks[-1].end_ms - transcript.blocks[0].start_ms if transcript.blocks else 0
    said = [word for _, words in blocks for word in words]
    voiced = [(block.start_ms, block.start_ms + ms) for block, ms in zip(transcript.blocks, spans_ms, strict=True)]
    often = fillers(said), phrases(said)
    is_measured, quiet = len(rates) >= LEAST_CAPTIONS, longest_quiet(voiced)
    from_ms = transcript.blocks[0].start_ms if transcript.blocks else 0
    return Speech(len(said), sum(spans_ms), over_ms, is_measured, *often, quiet, from_ms)


def longest_quiet(voiced: Sequence[tuple[int, int]]) -> QuietTime | None:
    """The longest time without a voice between these spans, which are in order; None where there is none."""
    gaps = [QuietTime(end_ms, start_ms) for (_, end_ms), (start_ms, _) in pairwise(voiced) if end_ms < start_ms]
    return max(gaps, key=lambda gap: gap.length_ms, default=None)
