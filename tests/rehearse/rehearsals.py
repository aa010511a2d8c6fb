"""Rehearsals for tests: a class, a clock that the test moves, and sounds that are written down."""

from dataclasses import dataclass, field
from pathlib import Path

import pytest
from class_texts import expand
from taught import planned

from guide.live import steady_clock
from guide.live.orders import Order
from guide.live.record import REHEARSED, Event, Opened, Record, read
from guide.plan.timeline import Timeline
from guide.rehearse.changes import Moves, changes
from guide.rehearse.rehearsing import Rehearsing
from guide.sequence.reader import read_text
from guide.sequence.steps import Steps

TREES = """title: Tall trees
slot: 3 min
lead: 0 s
library cues: no
pace: {inhale: 2 s, exhale: 2 s}
class:
  - section: Standing
  - pose: mountain
    hold: 3 to 6 breaths
    say: Stand tall, and let your shoulders drop away from your ears.
  - rounds: 2
    of:
      - inhale: Lift your arms.
      - exhale: Let them float down.
  - both sides:
      - inhale: Lift your <side> foot.
      - pose: tree
        hold: 3 to 6 breaths
        say: Press your <side> foot into the floor, and find one point to look at.
  - section: Resting
  - rest: 20 s
"""


def class_of(text: str = TREES) -> tuple[Steps, Timeline]:
    return planned(expand(read_text(text, "trees.yaml", Path.cwd())))


class Clock:
    """Goes on when the test says so."""

    def __init__(self, patched: pytest.MonkeyPatch) -> None:
        self.s = 5000.0
        patched.setattr(steady_clock, "now_s", lambda: self.s)


@dataclass(slots=True)
class Noted:
    """Sounds that are only written down."""

    told: list[object] = field(default_factory=list)
    name: str = "noted"
    is_lost: bool = False
    is_over: bool = True

    def begin(self, from_ms: int, to_ms: int) -> None:
        self.told.append((from_ms, to_ms))

    def pause(self) -> None:
        self.told.append("pause")

    def go_on(self) -> None:
        self.told.append("go on")

    def louder(self, order: Order) -> str:
        return f"heard {order.value}"

    def keep(self) -> str:
        return ""

    def end(self) -> None:
        self.told.append("end")


def rehearsal(
    steps: Steps, timeline: Timeline, path: Path, moves: Moves = Moves.TOGETHER, *, begins: bool = True
) -> tuple[Rehearsing, Noted]:
    """A rehearsal that has begun, or waits to."""
    opened = Opened(timeline.title, "trees.yaml", "0", "2026-11-25T19:00:00", timeline.length_ms, REHEARSED)
    record, noted = Record(path), Noted()
    record.add(opened)
    made = Rehearsing(steps, timeline, changes(steps, moves), noted, record, opened)
    if begins:
        made.start()
    return made, noted


def written(made: Rehearsing, path: Path) -> tuple[Event, ...]:
    """What is written down of a rehearsal by now."""
    made._notebook.close()
    return read(path)
