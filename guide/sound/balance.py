"""What is made louder or softer than usual when a class is heard: its words, its bells and chimes, its music."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Balance:
    """How much louder than usual each is, in dB; less than 0 is softer."""

    voice_db: float = 0.0
    bells_db: float = 0.0
    music_db: float = 0.0


USUAL_BALANCE = Balance()

#: The most that each may be louder, and what is all but silence.
MOST_DB, LEAST_DB = 6.0, -60.0


def factor(level_db: float) -> float:
    """The same as a factor."""
    return float(10 ** (level_db / 20))
