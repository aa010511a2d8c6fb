"""How a hold is counted where the class, the section and the entry each say something, and what it is too short for."""

from collections.abc import Iterator
from dataclasses import replace

from guide.problem import Problem
from guide.sequence.length_text import write_time
from guide.sequence.model import BreathingEntry, HoldEntry
from guide.sequence.steps import UNCOUNTED, Counting, InBreaths, InTime, Numbers


def counted(entry: HoldEntry, hold: InBreaths | InTime, usual: Counting) -> Counting:
    """How a hold is counted: as it says itself, else as the class (or section) does, which no rest follows.

    A hold by the clock follows it in seconds alone.
    """
    if entry.count is not None or entry.kind != "pose":
        return entry.count or UNCOUNTED
    if isinstance(hold, InBreaths):
        return usual
    return replace(usual, chimes=False) if usual.numbers in (Numbers.SECONDS, Numbers.DOWN) else UNCOUNTED


def counting_problems(entry: HoldEntry | BreathingEntry, hold: InBreaths | InTime) -> Iterator[Problem]:
    """What a hold is too short for: to count down from so many, or to hear a chime of its interval."""
    first = entry.count.down_from if entry.count else None
    most, unit = (hold.usual, "breaths") if isinstance(hold, InBreaths) else (hold.usual_ms // 1000, "seconds")
    if first is not None and first > most:
        what = f"`count: down from {first}` counts more {unit} than the {most} of this hold"
        yield Problem(entry.place, what, f"write `count: down`, or a number up to {most}")
    every_ms = entry.chime_every_ms if isinstance(entry, HoldEntry) else None
    if every_ms is not None and isinstance(hold, InTime) and every_ms >= hold.usual_ms:
        what = f"a chime every {write_time(every_ms)} is never heard in a hold of {write_time(hold.usual_ms)}"
        yield Problem(entry.place, what, "write a shorter time, or `bell: end` for a bell when it is over")
