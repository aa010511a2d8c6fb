"""The class as written: one frozen type for each thing that a sequence file may say, with its place.

The reader makes these; `expand` turns them into steps. Nothing here is worked out: repeats are not unrolled, sides are
not put in, a missing value is None and means "as the class says".
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum
from fractions import Fraction

from guide.problem import Place
from guide.sequence.poses.pose import Condition, Pose
from guide.sequence.steps import (
    BY_CHIMES,
    BellWhen,
    Breath,
    Counting,
    CueKind,
    InBreaths,
    InTime,
    Music,
    Pace,
    PaceRoom,
    Side,
)

#: So long before its breath a teacher begins to speak (common practice, no source).
USUAL_LEAD_MS = 1000


class OnPass(Enum):
    """On which pass through `both sides` a cue is said."""

    BOTH = "both sides"
    FIRST = "first side"
    SECOND = "second side"


class ClassLevel(Enum):
    """For whom a step or a cue is. What is not marked is for every level, and a class is read at one of them."""

    GENTLE = "gentle"
    MIDDLE = "middle"
    STRONG = "strong"


#: The levels of what is not marked.
EVERY_LEVEL = frozenset(ClassLevel)


@dataclass(frozen=True, slots=True)
class BreathPlace:
    """`at: breath 3`, `at: inhale 3`, `at: last breath`: `number` counts from 1; None is the last."""

    number: int | None
    breath: Breath


@dataclass(frozen=True, slots=True)
class TimePlace:
    """`at: 1:30`: so long after the hold began, in milliseconds."""

    ms: int


@dataclass(frozen=True, slots=True)
class EndPlace:
    """`at: 5 s before end`: so long before the hold ends, in milliseconds."""

    ms: int


@dataclass(frozen=True, slots=True)
class WrittenCue:
    """One cue as written; `text` may hold `<side>` and `<other side>`."""

    text: str
    kind: CueKind
    place: Place
    at: BreathPlace | TimePlace | EndPlace | None = None
    if_room: bool = False
    on_pass: OnPass = OnPass.BOTH
    levels: frozenset[ClassLevel] = EVERY_LEVEL


@dataclass(frozen=True, slots=True)
class Pattern:
    """A breathing pattern: four parts (inhale, full, exhale, empty), in seconds or in shares of the pace's inhale."""

    parts: tuple[Fraction, Fraction, Fraction, Fraction]
    in_seconds: bool
    name: str


@dataclass(frozen=True, slots=True)
class ElasticPace:
    """A pace with room: what it usually is, and how far it may give to fill the slot."""

    usual: Pace
    room: PaceRoom


WrittenPace = Pace | ElasticPace


@dataclass(frozen=True, slots=True)
class SidedHold:
    """`hold: {first side: 5 breaths, second side: 7 breaths}`: so long on each pass through `both sides`."""

    first: InBreaths | InTime
    second: InBreaths | InTime
    place: Place


WrittenHold = InBreaths | InTime | SidedHold


class LibraryPart(Enum):
    """Which words of a pose the library may give."""

    ENTER = "enter"
    SAY = "say"
    LEAVE = "leave"


class SecondSide(Enum):
    """How much is said of the way in on the second side: that it is the same there, or all of it again."""

    SHORT = "short"
    IN_FULL = "in full"


@dataclass(frozen=True, slots=True)
class BlockName:
    """A block called by its name."""

    name: str
    place: Place


class BreathWord(Enum):
    """Where in the words of a move the word for its breath is put, where they have none of their own."""

    FIRST = "first"
    LAST = "last"


@dataclass(frozen=True, slots=True)
class SectionEntry:
    """`section: Arriving`, with `bell:`; the rest of what it says holds from here until the next section."""

    title: str
    place: Place
    bell: BellWhen | None = None
    pace: WrittenPace | None = None
    count: Counting | None = None
    lead_ms: int | None = None
    breath_word: BreathWord | None = None
    let_be: frozenset[str] = frozenset()
    levels: frozenset[ClassLevel] = EVERY_LEVEL
    music: Music | None = None


@dataclass(frozen=True, slots=True)
class HoldEntry:
    """`pose:`, `rest:` or `silence:`: something kept for a number of breaths or a time.

    `name_cue` is what is said for the pose's name: None, the name as written; "" , nothing.
    For a rest, `pose` is "rest" unless `pose:` says more; a silence has no cues.
    `from_library` are the words asked of the pose library (`say: library`). `written` are those of `enter`, `say` and
    `leave` that the file says anything of, be it `none`; what the library gives beside them is settled in `ways`.
    `share` is the part of the slot that a rest naturally has.
    """

    kind: str  # "pose", "rest", "silence"
    pose: str
    place: Place
    hold: WrittenHold | None = None
    name_cue: WrittenCue | None = None
    name_silent: bool = False
    enter: tuple[WrittenCue, ...] = ()
    say: tuple[WrittenCue, ...] = ()
    pace: WrittenPace | None = None
    count: Counting | None = None
    bell: BellWhen | None = None
    side: Side | None = None
    leave: tuple[WrittenCue, ...] = ()
    from_library: frozenset[LibraryPart] = frozenset()
    written: frozenset[LibraryPart] = frozenset()
    share: Fraction | None = None
    chime_every_ms: int | None = None
    let_be: frozenset[str] = frozenset()
    levels: frozenset[ClassLevel] = EVERY_LEVEL

    @property
    def bare(self) -> bool:
        """Whether it is written without any words."""
        return not self.written

    @property
    def hushed(self) -> bool:
        """Whether all that the file says of its words is that there are none."""
        return bool(self.written) and not (self.from_library or self.enter or self.say or self.leave)


@dataclass(frozen=True, slots=True)
class BreathingEntry:
    """`breathing: 4-7-8`: a pattern kept for `lasts` breaths or a time (rounded to whole breaths of the pattern)."""

    pattern: Pattern
    place: Place
    lasts: InBreaths | InTime
    name_cue: WrittenCue | None = None
    enter: tuple[WrittenCue, ...] = ()
    say: tuple[WrittenCue, ...] = ()
    count: Counting | None = None
    bell: BellWhen | None = None
    let_be: frozenset[str] = frozenset()
    levels: frozenset[ClassLevel] = EVERY_LEVEL


@dataclass(frozen=True, slots=True)
class MoveEntry:
    """`inhale: words` or `exhale: words`, with the pose it arrives in and a pace of its own.

    The reader makes rounds of one that comes more than once (`times: 5`), with its other half.
    """

    breath: Breath
    place: Place
    cue: WrittenCue | None
    pose: str | None = None
    pace: WrittenPace | None = None
    count: Counting | None = None
    lead_ms: int | None = None
    breath_word: BreathWord | None = None
    let_be: frozenset[str] = frozenset()
    times: int = 1
    levels: frozenset[ClassLevel] = EVERY_LEVEL


@dataclass(frozen=True, slots=True)
class TalkEntry:
    """`say:` on its own: words in a time of their own, with nothing held."""

    cues: tuple[WrittenCue, ...]
    place: Place
    let_be: frozenset[str] = frozenset()
    levels: frozenset[ClassLevel] = EVERY_LEVEL


@dataclass(frozen=True, slots=True)
class RoundsEntry:
    """`rounds: 3` with `of:`: a group so many times over."""

    times: int
    of: "Group"
    place: Place
    let_be: frozenset[str] = frozenset()
    pace: WrittenPace | None = None
    levels: frozenset[ClassLevel] = EVERY_LEVEL


@dataclass(frozen=True, slots=True)
class SidesEntry:
    """`both sides:`: a group once for each side, `first` first; `equal` is False where the file lets them differ.

    `of` may name a pose in place of a block. `second_side` says how poses are entered on the second side, None where
    the file does not; `between` is done once, after the first side.
    """

    of: "Group"
    place: Place
    first: Side = Side.RIGHT
    equal: bool = True
    second_side: SecondSide | None = None
    let_be: frozenset[str] = frozenset()
    pace: WrittenPace | None = None
    between: "Group" = ()
    levels: frozenset[ClassLevel] = EVERY_LEVEL


@dataclass(frozen=True, slots=True)
class BlockEntry:
    """`block: name`: the block's steps, once."""

    name: BlockName
    place: Place
    let_be: frozenset[str] = frozenset()
    pace: WrittenPace | None = None
    levels: frozenset[ClassLevel] = EVERY_LEVEL


Entry = SectionEntry | HoldEntry | BreathingEntry | MoveEntry | TalkEntry | RoundsEntry | SidesEntry | BlockEntry
Group = BlockName | tuple[Entry, ...]


@dataclass(frozen=True, slots=True)
class Block:
    """A named group of steps; `place` is where it is defined."""

    name: str
    entries: tuple[Entry, ...]
    place: Place


@dataclass(frozen=True, slots=True)
class ClassFile:
    """A whole sequence file, with the blocks it defines and those it brought in from other files.

    `poses` are the file's own, new ones and library poses with something changed, by their name. `library_cues` says
    whether a bare pose gets the library's words; `avoid` are the conditions of `for:`; `let_be` the rules of advice
    that are silenced for the whole class. `block_files` are the block files that it names, as messages name them, and
    `sound_places` is where each of `sounds` is named. What its `style` takes for granted is in the other fields,
    but for the names of poses and how long one stays in them.
    """

    title: str
    place: Place
    entries: tuple[Entry, ...]
    pace: WrittenPace
    by: str = ""
    date: str = ""
    about: str = ""
    slot_ms: int | None = None
    count: Counting = BY_CHIMES
    lead_ms: int = USUAL_LEAD_MS
    breath_word: BreathWord = BreathWord.FIRST
    say_breaths: bool = True
    say_names: bool = True
    voice: str | None = None
    voice_rate: float | None = None
    bell_class: BellWhen = BellWhen.BOTH
    bell_section: BellWhen = BellWhen.START
    bell_step: BellWhen = BellWhen.NONE
    sounds: Mapping[str, str] = field(default_factory=dict)
    sound_places: Mapping[str, Place] = field(default_factory=dict)
    pronounce: Mapping[str, str] = field(default_factory=dict)
    blocks: Mapping[str, Block] = field(default_factory=dict)
    poses: Mapping[str, Pose] = field(default_factory=dict)
    library_cues: bool = True
    room_tone: bool = False
    avoid: tuple[Condition, ...] = ()
    let_be: frozenset[str] = frozenset()
    block_files: tuple[str, ...] = ()
    style: str = ""
    music: Music | None = None
