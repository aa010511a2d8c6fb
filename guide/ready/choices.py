"""What is chosen beside the class file."""

from dataclasses import dataclass
from enum import Enum

#: How fast the voice speaks where nobody says: about 130 words a minute within a cue (`tests/bench/bench_speech.py`),
#: between clear speech, which is the best understood (90 to 100: Picheny, Durlach and Braida 1986, from memory), and a
#: lecture (140 to 155: Tauroza and Allison 1990, from secondary notes). As it comes, the natural voice passes 200.
USUAL_RATE = 0.6

#: How loud a track is as a whole, where nobody says.
USUAL_LUFS = -18.0


class Cover(Enum):
    """What a track bears as its picture, where no file is given for it."""

    CLASS = "the class as a picture"
    NONE = "none"


@dataclass(frozen=True, slots=True)
class VoiceChoice:
    """The voice that speaks, and how fast (0.5 to 2.0); None leaves it to the class file."""

    name: str | None = None
    rate: float | None = None
