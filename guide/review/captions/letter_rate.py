"""How fast somebody speaks, by the captions that tell it."""

from collections.abc import Sequence

from guide.review.captions.transcript import Transcript, folded

#: Captions with fewer letters, or longer ones, tell nothing of how fast somebody speaks.
LEAST_LETTERS = 20
LONGEST_MS = 12_000

#: So many captions that tell it are needed; without them, speech has the usual letters a second.
LEAST_CAPTIONS = 8
USUAL = 12.0

#: Letters a second of slow and of hasty speech (about 100 and 260 words a minute; common practice, no source).
SLOWEST, FASTEST = 8.0, 21.0

#: Of ten captions in order of their letters a second, the one that is taken: many have some quiet in them; and the one
#: that is taken where it is asked how much.
RATE_OF_TEN, QUICK_OF_TEN = 6, 9


def letters_a_second(transcript: Transcript, of_ten: int = RATE_OF_TEN) -> float:
    """How fast was spoken, where the captions tell it; else as fast as is usual."""
    return rate_of(rates_of(transcript), of_ten)


def rates_of(transcript: Transcript) -> list[float]:
    """Letters a second of the captions that tell it, the slowest first."""
    counted = [(block.end_ms - block.start_ms, sum(map(len, folded(block.text)))) for block in transcript.blocks]
    telling = [one for one in counted if one[1] >= LEAST_LETTERS and one[0] <= LONGEST_MS]
    return sorted(letters * 1000 / length_ms for length_ms, letters in telling)


def rate_of(rates: Sequence[float], of_ten: int = RATE_OF_TEN) -> float:
    """The rate that is taken of those in order."""
    if len(rates) < LEAST_CAPTIONS:
        return USUAL
    return min(max(rates[len(rates) * of_ten // 10], SLOWEST), FASTEST)
