"""What there is to show of a class under way: values that any view can draw, on a terminal, on a page, or elsewhere.

Another kind of scene is a class here, in `Showable`, and a line in each table of `scene_data.py` and
`screen/drawing.py`.
"""

from dataclasses import dataclass
from enum import Enum
from typing import ClassVar

from guide.plan.moment import Moment


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


#: Every kind of scene. Each tells whether the class is over, and how long it goes on, in `left_ms`.
Showable = Scene | Script | Ready
