"""The clock of a taught class in breaths: how long one lasted, and how many a pose was kept."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import median

from guide.draft.events import Event, Kind
from guide.draft.phrases import NUMBERS, Phrase
from guide.sequence.length_text import MOST_BREATHS, write_time
from guide.sequence.steps import Breath

#: Four seconds in and four out where nothing says more (common practice, no source).
USUAL_MS = 4_000

#: A move that lasts longer was not one breath only.
LONGEST_MOVE_MS = 12_000

#: Whole breaths fit a hold that is longer or shorter by no more than so much of it.
FITS = 0.1

#: So many moves of a kind tell the pace, and so many of both.
LEAST_OF_A_KIND, LEAST_MOVES = 2, 5


@dataclass(frozen=True, slots=True)
class Breathing:
    """How long an inhale and an exhale last; `told` is whether the moves said so."""

    inhale_ms: int
    exhale_ms: int
    told: bool

    @property
    def written(self) -> str:
        """The pace as a class file writes it."""
        return f"{{inhale: {write_time(self.inhale_ms)}, exhale: {write_time(self.exhale_ms)}}}"


def breathing(events: Sequence[Event]) -> Breathing:
    """The pace of the moves that follow each other, in half seconds; the usual one where there are too few."""
    lengths: dict[Breath, list[int]] = {Breath.INHALE: [], Breath.EXHALE: []}
    for one, following in pairwise(events):
        length_ms = following.start_ms - one.start_ms
        if one.breath and following.breath and 0 < length_ms <= LONGEST_MOVE_MS:
            lengths[one.breath].append(length_ms)
    counts = [*map(len, lengths.values())]
    if min(counts) < LEAST_OF_A_KIND or sum(counts) < LEAST_MOVES:
        return Breathing(USUAL_MS, USUAL_MS, False)
    inhale_ms, exhale_ms = (max(1_000, round(median(each) / 500) * 500) for each in lengths.values())
    return Breathing(inhale_ms, exhale_ms, True)


def held(event: Event, pace: Breathing) -> str:
    """How long a pose was kept, as a class file writes it: in whole breaths where they were told, else in seconds."""
    if not in_breaths(event, pace):
        return lasted(event.kept_ms, event.end_ms)
    count = kept_breaths(event, pace)
    return "1 breath" if count == 1 else f"{count} breaths"


def held_ms(event: Event, pace: Breathing) -> int:
    """How long a pose is kept as it is written."""
    if in_breaths(event, pace):
        return kept_breaths(event, pace) * (pace.inhale_ms + pace.exhale_ms)
    return event.end_ms - event.kept_ms


def in_breaths(event: Event, pace: Breathing) -> bool:
    """Whether a pose is kept for breaths: where they were counted, or the moves tell how long one lasts and it fits."""
    kept_ms = event.end_ms - event.kept_ms
    off_ms = kept_breaths(event, pace) * (pace.inhale_ms + pace.exhale_ms) - kept_ms
    return counted(event) or (pace.told and abs(off_ms) <= FITS * kept_ms)


def kept_breaths(event: Event, pace: Breathing) -> int:
    """How many whole breaths a pose was kept; one at least."""
    breaths = round((event.end_ms - event.kept_ms) / (pace.inhale_ms + pace.exhale_ms))
    return min(max(breaths, 1), MOST_BREATHS)


def lasted(start_ms: int, end_ms: int) -> str:
    """A time in whole seconds as a class file writes it: a second at least, four hours at most."""
    seconds = min(max(round((end_ms - start_ms) / 1000), 1), 4 * 3600)
    return write_time(seconds * 1000)


def counted(event: Event) -> bool:
    """Whether breaths were counted aloud: one, two, three and on, each some time after the one before."""
    wanted, last_ms = 1, None
    for token in (token for phrase in event.phrases for token in phrase.tokens):
        apart = last_ms is None or token.start_ms - last_ms >= 2_000
        if event.kind is Kind.HOLD and NUMBERS.get(token.text) == wanted and apart:
            wanted, last_ms = wanted + 1, token.start_ms
    return wanted > 3


def is_number(phrase: Phrase) -> bool:
    """Whether nothing but numbers was said."""
    return all(word in NUMBERS for word in phrase.words)
