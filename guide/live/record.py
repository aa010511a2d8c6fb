"""What really happened in a class: when each step was to begin and when it did, and what was asked for meanwhile."""

import json
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import IO

from guide.problem import MachineTrouble
from guide.units import clock


@dataclass(frozen=True, slots=True)
class Opened:
    """A class was begun: its title, its file with the digest of its bytes, the moment of the day (ISO 8601), and how
    long it was planned to last."""

    title: str
    file: str
    digest: str
    at: str
    length_ms: int


@dataclass(frozen=True, slots=True)
class Began:
    """A step began: planned and real in ms, from the moment that the class began; paused time counts as real."""

    step: int
    title: str
    side: str | None
    planned_ms: int
    real_ms: int


@dataclass(frozen=True, slots=True)
class Asked:
    """An order was given at `real_ms`, and what the class answered."""

    order: str
    real_ms: int
    told: str


@dataclass(frozen=True, slots=True)
class Ended:
    """The class was over at `real_ms`."""

    real_ms: int


Event = Opened | Began | Asked | Ended

#: Every kind of event by the word that is written for it.
EVENTS: dict[str, type[Event]] = {"opened": Opened, "began": Began, "asked": Asked, "ended": Ended}


class Record:
    """Writes each event as a line of JSON as it happens, so that a crash loses none that came before."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._file: IO[str] | None = None

    def add(self, event: Event) -> None:
        """Raises MachineTrouble where the file cannot be written."""
        try:
            if self._file is None:
                self._path.parent.mkdir(parents=True, exist_ok=True)
                self._file = self._path.open("a", encoding="utf-8")
            line = {"event": type(event).__name__.lower(), **asdict(event)}
            self._file.write(json.dumps(line, ensure_ascii=False) + "\n")
            self._file.flush()
        except OSError as error:
            raise MachineTrouble(f"{self._path}: what happens cannot be written down ({error.strerror})") from error

    def close(self) -> None:
        if self._file is not None:
            self._file.close()
            self._file = None


def read(path: Path) -> tuple[Event, ...]:
    """The events of a record; a last line that was cut off is left out.

    Raises:
        MachineTrouble: there is no such record, or it cannot be read.
    """
    try:
        lines = path.read_text(encoding="utf-8").splitlines()
    except OSError as error:
        raise MachineTrouble(f"{path}: this record cannot be read ({error.strerror})") from error
    events: list[Event] = []
    for line in lines:
        try:
            found = json.loads(line)
            kind = found.pop("event")
            events.append(EVENTS[kind](**found))
        except (ValueError, KeyError, TypeError):
            continue
    return tuple(events)


def text(events: tuple[Event, ...]) -> str:
    """The events as lines to read: the real moment, the step, and how far it was from its plan."""
    return "".join(f"{_line(event)}\n" for event in events)


def _line(event: Event) -> str:
    if isinstance(event, Opened):
        return f"{event.title}, {event.at.replace('T', ' ')}, planned {clock(event.length_ms)}"
    moment = f"{clock(event.real_ms):>7}"
    if isinstance(event, Ended):
        return f"{moment}  the end"
    if isinstance(event, Asked):
        return f"{moment}  {event.order}: {event.told}" if event.told else f"{moment}  {event.order}"
    off_s = (event.real_ms - event.planned_ms) / 1000
    side = f", {event.side}" if event.side else ""
    return f"{moment}  {event.title}{side} ({off_s:+.1f} s)"
