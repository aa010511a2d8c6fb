"""What the checker says when a plan does not keep a promise, and the numbers that the promises name."""

from dataclasses import dataclass

from guide.problem import Place

# The numbers stand here a second time on purpose: a slip in the scheduler's own must not reach the checker.

#: Quiet between two cues (promise 1).
GAP_MS = 250

#: Quiet between two numbers of a count of seconds (promise 1).
NUMBER_GAP_MS = 100

#: Quiet that a move or a talk keeps after its words (promise 4).
SETTLE_MS = 300

#: For so long a bell is alone, or for its whole length if that is shorter (promise 7).
BELL_LEAD_MS = 2500

#: Dips with less than this between them are one (promise 7).
DIP_JOIN_MS = 500

#: A hold of so many whole breaths leaves its last one quiet (promise 5).
QUIET_FROM_BREATHS = 3

#: A class that is off by less than this fills its slot to the second (promise 8).
NEAR_MS = 1000


@dataclass(frozen=True, slots=True)
class Breach:
    """A promise that a plan does not keep: its number (0: the plan is not even well formed), where, and what is wrong.

    `place` is None where the whole class is meant.
    """

    promise: int
    place: Place | None
    what: str

    def __str__(self) -> str:
        where = "" if self.place is None else f"{self.place}: "
        return f"{where}promise {self.promise}: {self.what}"


def moment(ms: int) -> str:
    """A time in the class to the millisecond: `1:04.250`."""
    sign = "-" if ms < 0 else ""
    minutes, rest_ms = divmod(abs(ms), 60_000)
    return f"{sign}{minutes}:{rest_ms // 1000:02}.{rest_ms % 1000:03}"


def quoted(words: str) -> str:
    """Words short enough for one line of a report."""
    return f"“{words}”" if len(words) <= 40 else f"“{words[:37]}…”"
