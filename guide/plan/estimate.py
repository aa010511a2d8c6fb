"""How long words take to say, from their letters alone: for reading a class over without a voice.

The voice's own lengths are measured when a class is planned or rendered. This is near enough for advice, needs no
voice, and is the same everywhere.
"""

import re

#: Fitted by least squares to the 723 lengths of the words of the shipped classes, spoken by the natural voice at rates
#: 0.75 and 1.0 (`tests/bench/bench_estimate.py` fits again). Of single cues, nine of ten come out within 15 %; all the
#: words of a class together within 3 %.
START_MS = 322
LETTER_MS = 52
PAUSE_MS = 200
STOP_MS = 650

#: A figure is said as a word: about so many letters.
LETTERS_OF_A_FIGURE = 5

_LETTER = re.compile(r"[^\W\d_]")
_FIGURE = re.compile(r"\d")
_PAUSE = re.compile(r"[,;:–—](?=\s)")
_STOP = re.compile(r"[.!?…](?=\s)")


def spoken_ms(text: str, rate: float) -> int:
    """About how long a voice takes for `text`, in milliseconds; `rate` is as for a voice: 2.0 takes half as long."""
    letters = len(_LETTER.findall(text)) + LETTERS_OF_A_FIGURE * len(_FIGURE.findall(text))
    pauses, stops = len(_PAUSE.findall(text)), len(_STOP.findall(text))
    return round((START_MS + LETTER_MS * letters + PAUSE_MS * pauses + STOP_MS * stops) / rate)


class EstimatedLengths(dict[str, int]):
    """Estimated lengths of words, each worked out when it is first asked for."""

    def __init__(self, rate: float) -> None:
        super().__init__()
        self._rate = rate

    def __missing__(self, text: str) -> int:
        self[text] = spoken_ms(text, self._rate)
        return self[text]
