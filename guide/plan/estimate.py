"""How long words take to say, from their letters alone: for reading a class over without a voice.

The voice's own lengths are measured when a class is planned or rendered. This is near enough for advice, needs no
voice, and is the same everywhere.
"""

import re

from guide.pauses import parted

#: Fitted by least squares to the lengths of the words of the shipped classes, spoken by the natural voice at rates 0.75
#: and 1.0 (`tests/bench/bench_estimate.py` fits again). Nine of ten cues come out within 15 % or so, all of a class
#: together within 2 %; at a rate of 1.3 a tenth too short.
START_MS = 285
LETTER_MS = 54
PAUSE_MS = 200
STOP_MS = 665

#: A figure is said as a word: about so many letters.
LETTERS_OF_A_FIGURE = 5

_LETTER = re.compile(r"[^\W\d_]")
_FIGURE = re.compile(r"\d")
_PAUSE = re.compile(r"[,;:–—](?=\s)")
_STOP = re.compile(r"[.!?…](?=\s)")


def spoken_ms(text: str, rate: float) -> int:
    """About how long a voice takes for `text`, in milliseconds; `rate` is as for a voice: 2.0 takes half as long."""
    return sum(_part_ms(part, rate) + pause_ms for part, pause_ms in parted(text))


def _part_ms(text: str, rate: float) -> int:
    letters, pauses, stops = counts(text)
    return round((START_MS + LETTER_MS * letters + PAUSE_MS * pauses + STOP_MS * stops) / rate)


def counts(text: str) -> tuple[int, int, int]:
    """What the length of words rests on: their letters, and the short and the long pauses within them."""
    letters = len(_LETTER.findall(text)) + LETTERS_OF_A_FIGURE * len(_FIGURE.findall(text))
    return letters, len(_PAUSE.findall(text)), len(_STOP.findall(text))


class EstimatedLengths(dict[str, int]):
    """Estimated lengths of words, each worked out when it is first asked for."""

    def __init__(self, rate: float) -> None:
        super().__init__()
        self._rate = rate

    def __missing__(self, text: str) -> int:
        self[text] = spoken_ms(text, self._rate)
        return self[text]
