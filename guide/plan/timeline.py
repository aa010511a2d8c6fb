"""The timeline: everything that will sound or show in a class, with absolute times in whole milliseconds."""

from dataclasses import dataclass
from enum import Enum

from guide.problem import Place
from guide.sequence.steps import Breath, CueKind, Pace, Side, StepKind


class CuePart(Enum):
    """Which part of its step a cue belongs to."""

    ENTRY = "entry"
    """Said before the hold begins, in a time of its own."""
    MOVE = "move"
    """Carried by one breath, and leads it."""
    HOLD = "hold"
    """Said while the pose is held."""


class RingRole(Enum):
    """Why a chime or bell sounds."""

    CLASS = "class"
    SECTION = "section"
    STEP = "step"
    INHALE = "inhale"
    EXHALE = "exhale"
    PAUSE = "pause"
    INTERVAL = "interval"


@dataclass(frozen=True, slots=True)
class Cue:
    """Words said from `start_ms` for `length_ms`; `step` is an index into `Timeline.spans`."""

    start_ms: int
    length_ms: int
    words: str
    kind: CueKind
    part: CuePart
    place: Place
    step: int

    @property
    def end_ms(self) -> int:
        """When its last word is over."""
        return self.start_ms + self.length_ms


@dataclass(frozen=True, slots=True)
class Ring:
    """A chime or bell struck at `start_ms`, heard for at most `length_ms`; `sound` names it in the palette.

    `step` is an index into `Timeline.spans`, or None for a bell of the whole class or of a section.
    """

    start_ms: int
    length_ms: int
    sound: str
    role: RingRole
    step: int | None

    @property
    def end_ms(self) -> int:
        """When it cannot be heard any more."""
        return self.start_ms + self.length_ms


@dataclass(frozen=True, slots=True)
class MusicSpan:
    """Music that plays from `start_ms` to `end_ms`, its fades included, `below_db` under the words while they are said.

    `source` is the name of a made bed or the path of a file or a folder; it begins `from_ms` after its own beginning.
    """

    start_ms: int
    end_ms: int
    source: str
    below_db: float
    fade_in_ms: int
    fade_out_ms: int
    from_ms: int = 0


@dataclass(frozen=True, slots=True)
class Dip:
    """A time in which everything but the voice is turned down: fully down from `start_ms` to `end_ms`.

    The way down lies before `start_ms` and the way up after `end_ms`; the mixer decides how steep they are.
    """

    start_ms: int
    end_ms: int


@dataclass(frozen=True, slots=True)
class Span:
    """A step in time: it begins at `start_ms`, its hold (or its move) at `hold_ms`, and it is over at `end_ms`.

    From `start_ms` to `hold_ms` lie its opening bell and its entry words, or the words that lead a move which follows
    none. `held_ms` is where the hold ends; a closing bell, if any, rings between `held_ms` and `end_ms`. `breaths` is
    the number of whole breaths of a hold counted in breaths, 0 for any other step; with `and_a_half` an inhale comes
    after them. `period_ms` is one breath of the hold, as an exact fraction in text (`8000`, `120000/11`). `pace` has
    its parts, None in a plan that was written before they were told; `breath` is which half of it a move lasts, and
    `pose` the name of the pose in the library.
    """

    kind: StepKind
    title: str
    side: Side | None
    section: int | None
    place: Place
    start_ms: int
    hold_ms: int
    held_ms: int
    end_ms: int
    breaths: int
    period_ms: str
    pace: Pace | None = None
    breath: Breath | None = None
    pose: str | None = None
    and_a_half: bool = False


@dataclass(frozen=True, slots=True)
class Chapter:
    """A section in time."""

    title: str
    start_ms: int
    end_ms: int


@dataclass(frozen=True, slots=True)
class Note:
    """Something that the plan did on its own and owes the teacher a word about, with the line it comes from."""

    place: Place
    what: str

    def __str__(self) -> str:
        return f"{self.place}: {self.what}"


@dataclass(frozen=True, slots=True)
class Dropped:
    """A cue left out by a rule that the file allowed (`if room: yes`), or a number that the words left no room."""

    place: Place
    words: str
    step: int
    kind: CueKind = CueKind.HOW


@dataclass(frozen=True, slots=True)
class Timeline:
    """A whole class in time. Every tuple is sorted by start, and cues never overlap.

    Spans follow each other; between two of them lie only bells of the class and of sections, in a time of their own.
    `ease` says how far a class was stretched (up to 1) or tightened (down to -1) to fill its slot; None where it was
    not fitted. `by` is the teacher, where the class says so. `left_out` are the cues that somebody asked to leave out,
    where they would be said (see `thinning`).
    """

    title: str
    length_ms: int
    spans: tuple[Span, ...]
    cues: tuple[Cue, ...]
    rings: tuple[Ring, ...]
    dips: tuple[Dip, ...]
    chapters: tuple[Chapter, ...]
    notes: tuple[Note, ...]
    dropped: tuple[Dropped, ...]
    ease: float | None = None
    by: str = ""
    left_out: tuple[Cue, ...] = ()
    music: tuple[MusicSpan, ...] = ()
