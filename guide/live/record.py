"""What really happened in a class: when each step was to begin and when it did, and what was asked for meanwhile."""

import errno
import json
import os
from dataclasses import asdict, dataclass
from io import FileIO
from pathlib import Path
from typing import get_type_hints

from guide.problem import MachineTrouble
from guide.units import clock
from guide.visible import json_text, visible_in_line

#: How a class was held: led aloud by the program, or taught by the teacher herself beside its plan.
LED, REHEARSED = "led", "rehearsed"

#: What tells that a step began: the plan, or her key; or a voice that was heard.
BY_VOICE = "voice"


@dataclass(frozen=True, slots=True)
class Opened:
    """A class was begun: its title, its file with the digest of its bytes, the moment of the day (ISO 8601), how long
    it was planned to last, and whether it was led by the program or rehearsed by the teacher; where it began, in ms of
    its plan, which is not 0 where it was gone on with."""

    title: str
    file: str
    digest: str
    at: str
    length_ms: int
    how: str = LED
    from_ms: int = 0


@dataclass(frozen=True, slots=True)
class Began:
    """A step began: planned and real in ms, from the moment that the class began; paused time counts as real.

    `where` names it by its place in the file (see `step_names`); older records have nothing but its number.
    """

    step: int
    title: str
    side: str | None
    planned_ms: int
    real_ms: int
    by: str = ""
    where: str = ""


@dataclass(frozen=True, slots=True)
class Paused:
    """From `real_ms` on the class stood still; `why` where nobody had asked for that."""

    real_ms: int
    why: str = ""


@dataclass(frozen=True, slots=True)
class WentOn:
    """The class went on at `real_ms`."""

    real_ms: int


@dataclass(frozen=True, slots=True)
class Spoke:
    """A voice was heard from `real_ms` to `until_ms`."""

    real_ms: int
    until_ms: int


@dataclass(frozen=True, slots=True)
class Answered:
    """The teacher said afterwards when a step began, in ms from the beginning, without pauses and what was gone back
    on."""

    step: int
    at_ms: int
    where: str = ""


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


Event = Opened | Began | Paused | WentOn | Spoke | Asked | Answered | Ended

#: Every kind of event by the word that is written for it.
EVENTS: dict[str, type[Event]] = {
    kind.__name__.lower(): kind for kind in (Opened, Began, Paused, WentOn, Spoke, Asked, Answered, Ended)
}


#: How every line of a record begins.
FIRST = b'{"event": "'


class Record:
    """Writes each event as a line of JSON as it happens, so that a crash loses none that came before."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._file: FileIO | None = None
        self._begun = ""

    def add(self, event: Event) -> None:
        """Raises MachineTrouble where the file cannot be written."""
        try:
            if self._file is None:
                self._path.parent.mkdir(parents=True, exist_ok=True)
                self._file = _opened(self._path)
            line = json_text({"event": type(event).__name__.lower(), **asdict(event)})
            raw = f"{self._begun}{line}\n".encode("utf-8", "backslashreplace")
            written = self._file.write(raw)
            # A line that was begun is ended where the next one is written.
            self._begun = "" if written == len(raw) else "\n"
            if self._begun:
                raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        except OSError as error:
            raise MachineTrouble(f"{self._path}: what happens cannot be written down ({error.strerror})") from error

    def close(self) -> None:
        """Close the file; what happens after that begins it again."""
        if self._file is not None:
            self._file.close()
            self._file = None


def _opened(path: Path) -> FileIO:
    """The file to write at its end. Raises OSError, and MachineTrouble where it holds anything but a record."""
    file = path.open("ab+", buffering=0)
    file.seek(0)
    begins = file.read(len(FIRST))
    if begins and begins != FIRST:
        file.close()
        raise MachineTrouble(f"{path}: no record of a class, so nothing is written into it (name another file)")
    return file


def read(path: Path) -> tuple[Event, ...]:
    """The events of a record; a last line that was cut off is left out.

    Raises:
        MachineTrouble: there is no such record, or it cannot be read.
    """
    try:
        lines = path.read_text(encoding="utf-8", errors="replace").splitlines()
    except OSError as error:
        raise MachineTrouble(f"{path}: this record cannot be read ({error.strerror})") from error
    return tuple(event for line in lines if (event := _event(line)) is not None)


def _event(line: str) -> Event | None:
    """The event that a line holds, None where it holds none."""
    try:
        found = json.loads(line)
        kind = EVENTS[found.pop("event")]
        hints = get_type_hints(kind)
        return kind(**found) if all(isinstance(value, hints[name]) for name, value in found.items()) else None
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return None


def text(events: tuple[Event, ...]) -> str:
    """The events as lines to read: the real moment, the step, and how far it was from its plan."""
    from_ms = next((event.from_ms for event in events if isinstance(event, Opened)), 0)
    lines = (_line(event, from_ms) for event in events)
    return "".join(f"{visible_in_line(line)}\n" for line in lines if line)


def _line(event: Event, from_ms: int) -> str:
    """One line of a class that began at `from_ms` of its plan.

    Empty for what needs none: beside the order that led to it, or too much to read.
    """
    if isinstance(event, Opened):
        how = "" if event.how == LED else f", {event.how}"
        gone_on = f", gone on with at {clock(from_ms)}" if from_ms else ""
        return f"{event.title}, {event.at.replace('T', ' ')}, planned {clock(event.length_ms)}{how}{gone_on}"
    if isinstance(event, WentOn | Spoke | Answered):
        return ""
    moment = f"{clock(event.real_ms):>7}"
    if isinstance(event, Ended):
        return f"{moment}  the end"
    if isinstance(event, Paused):
        return f"{moment}  paused: {event.why}" if event.why else ""
    if isinstance(event, Asked):
        return f"{moment}  {event.order}: {event.told}" if event.told else f"{moment}  {event.order}"
    # Nothing is added, so that no -0.0 is written.
    off_s = round((event.real_ms + from_ms - event.planned_ms) / 1000, 1) + 0.0
    side = f", {event.side}" if event.side else ""
    return f"{moment}  {event.title}{side} ({off_s:+.1f} s)"
