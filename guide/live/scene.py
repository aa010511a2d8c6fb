"""What there is to show of a class under way: values that any view can draw, on a terminal, on a page, or elsewhere.

Another kind of scene is a class here, in `Showable`, and a line in each table of `scene_data.py` and
`screen/drawing.py`.
"""

from dataclasses import dataclass
from enum import Enum
from typing import ClassVar

from guide.plan.moment import Moment
from guide.units import seconds_text


@dataclass(frozen=True, slots=True)
class Scene:
    """Where a class that is led is, what was last told, and whether it waits, for the teacher or for the sound.

    `told` is empty when that was a while ago; `tells` counts what was told, so that the same told twice is seen to be.
    """

    kind: ClassVar = "class"

    title: str
    moment: Moment
    told: str
    tells: int
    is_paused: bool
    sound_lost: bool
    is_over: bool

    @property
    def left_ms(self) -> int:
        """How long it is until the class ends."""
        return self.moment.left_ms


class LineKind(Enum):
    """What a line of the script is: the heading of a step, or words to say."""

    STEP = "step"
    WORDS = "words"


@dataclass(frozen=True, slots=True)
class ScriptLine:
    """A line of the script; its step, and when the plan has it."""

    kind: LineKind
    text: str
    step: int
    start_ms: int


@dataclass(frozen=True, slots=True)
class Script:
    """What there is to show of a rehearsal at a moment.

    `into_ms` of `planned_ms` have gone by since the last change; `behind_ms` is how much later the class is than its
    plan, `left_ms` how long it goes on when all that comes lasts as planned. `lines` are those around the one that is
    to be said, which is `lines[marked]`; what comes after the change that is due begins at `lines[due]`. `listens` is
    what a microphone does, empty where there is none.
    """

    kind: ClassVar = "script"

    title: str
    section: str
    name: str
    side: str
    step: int
    into_ms: int
    planned_ms: int
    breath: int
    breaths: int
    behind_ms: int
    left_ms: int
    at_ms: int
    lines: tuple[ScriptLine, ...]
    marked: int
    due: int
    next_name: str
    told: str
    tells: int
    is_paused: bool
    listens: str
    sound_lost: bool
    is_over: bool


@dataclass(frozen=True, slots=True)
class Check:
    """One thing that was looked at before a class: its name, whether all is well with it, and that in a few words."""

    name: str
    is_good: bool
    words: str


@dataclass(frozen=True, slots=True)
class Ready:
    """Whether a class can be led now, and what that rests on; `left_ms` is how long the class will take."""

    kind: ClassVar = "ready"

    title: str
    checks: tuple[Check, ...]
    left_ms: int
    is_over: bool = False

    @property
    def is_good(self) -> bool:
        """Whether nothing stands in the way."""
        return all(check.is_good for check in self.checks)

    @property
    def verdict(self) -> str:
        """The answer in as few words as can be: `ready`, or `not ready: disk, clock`."""
        bad = [check.name for check in self.checks if not check.is_good]
        return f"not ready: {', '.join(bad)}" if bad else "ready"

    @property
    def line(self) -> str:
        """All of it in one line, for a terminal that shows no screen, and for a screen reader."""
        return "; ".join((self.verdict, *(f"{check.name}: {check.words}" for check in self.checks)))


@dataclass(frozen=True, slots=True)
class ReadingScene:
    """A line that is recorded: its words, where it stands, what goes on with it, and what is told of its take.

    It is line `number` of `lines`, `recorded` of which have a take; `is_recorded` tells whether this one has. It may
    last `room_ms`, 0 where it has a time of its own. `counts` is 3, 2 or 1 while she is counted in; `at_ms` is how long
    has been recorded, or how long the words of a take last, and `level_dbfs` how loud it is. `keys` says what can be
    pressed now.
    """

    kind: ClassVar = "reading"

    title: str
    section: str
    words: str
    number: int
    lines: int
    recorded: int
    is_recorded: bool
    room_ms: int
    phase: str
    counts: int
    at_ms: int
    level_dbfs: int
    told: tuple[str, ...]
    keys: str
    sound_lost: bool
    is_over: bool
    left_ms: int = 0

    @property
    def state(self) -> str:
        """What goes on, in as few words as can be."""
        if self.sound_lost:
            return "the microphone is gone"
        if self.counts:
            return f"{self.phase}: {self.counts}"
        # Rounded down, as `at_most` has it.
        room = f" of {seconds_text(self.room_ms // 100 * 100)}" if self.room_ms else ""
        return f"{self.phase} {seconds_text(self.at_ms)}{room}" if self.at_ms else self.phase


#: Every kind of scene. Each tells whether the class is over, and how long it goes on, in `left_ms`.
Showable = Scene | Script | Ready | ReadingScene
