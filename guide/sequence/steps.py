"""The flat list of steps that a class expands to: what the students do, one thing after the other."""

from dataclasses import dataclass, field
from enum import Enum
from fractions import Fraction

from guide.problem import Place


class Side(Enum):
    """The side on which a step is done."""

    RIGHT = "right"
    LEFT = "left"

    @property
    def other(self) -> "Side":
        """Left of right, and right of left."""
        return Side.LEFT if self is Side.RIGHT else Side.RIGHT


class Breath(Enum):
    """The half of a breath that a move lasts."""

    INHALE = "inhale"
    EXHALE = "exhale"

    @property
    def other(self) -> "Breath":
        """In after out, and out after in."""
        return Breath.EXHALE if self is Breath.INHALE else Breath.INHALE


class CueKind(Enum):
    """What words are for: what the pose is, the breath of a move, alignment, another option, a number, safety."""

    NAME = "name"
    BREATH = "breath"
    HOW = "how"
    OFFER = "offer"
    COUNT = "count"
    SAFETY = "safety"


class StepKind(Enum):
    """What the students do in a step."""

    POSE = "pose"
    MOVE = "move"
    REST = "rest"
    SILENCE = "silence"
    BREATHING = "breathing"
    TALK = "talk"


#: How the words that lead out of a pose are called: by the pose, behind this.
OUT_OF = "out of "


class Numbers(Enum):
    """What is counted aloud in a hold: its breaths, its seconds, or how many of them are left."""

    BREATHS = "voice"
    SECONDS = "seconds"
    DOWN = "down"


@dataclass(frozen=True, slots=True)
class Counting:
    """How a hold is counted: by chimes on its breaths, by numbers, by both, or not at all.

    `down_from` is the first of the numbers that are counted down, None for all of them.
    """

    chimes: bool = False
    numbers: Numbers | None = None
    down_from: int | None = None


UNCOUNTED, BY_CHIMES = Counting(), Counting(chimes=True)


class BellWhen(Enum):
    """At which ends of a class, section or step its bell rings."""

    NONE = "none"
    START = "start"
    END = "end"
    BOTH = "both"

    @property
    def at_start(self) -> bool:
        """Whether it rings before the hold."""
        return self in (BellWhen.START, BellWhen.BOTH)

    @property
    def at_end(self) -> bool:
        """Whether it rings after the hold."""
        return self in (BellWhen.END, BellWhen.BOTH)


@dataclass(frozen=True, slots=True)
class Pace:
    """One breath: inhale, pause with full lungs, exhale, pause with empty lungs; exact lengths in milliseconds."""

    inhale_ms: Fraction
    full_ms: Fraction
    exhale_ms: Fraction
    empty_ms: Fraction

    @property
    def period_ms(self) -> Fraction:
        """How long one whole breath lasts."""
        return self.inhale_ms + self.full_ms + self.exhale_ms + self.empty_ms


@dataclass(frozen=True, slots=True)
class PaceRoom:
    """How far a pace may give to fill the slot: from its quickest breath to its slowest."""

    quickest: Pace
    slowest: Pace


@dataclass(frozen=True, slots=True)
class InBreaths:
    """A hold of breaths: between `least` and `most`, `usual` when nothing asks for more or less.

    With `and_a_half` an inhale comes after its whole breaths, on which it ends.
    """

    least: int
    usual: int
    most: int
    and_a_half: bool = False


@dataclass(frozen=True, slots=True)
class InTime:
    """A hold by the clock, in milliseconds: between `least_ms` and `most_ms`, `usual_ms` by default."""

    least_ms: int
    usual_ms: int
    most_ms: int


@dataclass(frozen=True, slots=True)
class AtBreath:
    """A place in a hold: the exhale (or inhale) of breath `number`, counted from 1.

    None is the last breath that may have words: the last but one where the last is left quiet.
    """

    number: int | None
    breath: Breath


@dataclass(frozen=True, slots=True)
class AtTime:
    """A place in a hold: `ms` after the hold began."""

    ms: int


@dataclass(frozen=True, slots=True)
class BeforeEnd:
    """A place in a hold: `ms` before it ends."""

    ms: int


@dataclass(frozen=True, slots=True)
class Words:
    """Words to be said, as they will be shown, with the place in the file that they come from.

    `at` is the earliest place in the hold that the file asks for, or how long before its end they begin; `if_room` lets
    the plan leave them out.
    `from_library` numbers, from 1, words of the pose library, whose place is that of the pose; 0 for the file's own.
    """

    text: str
    kind: CueKind
    place: Place
    at: AtBreath | AtTime | BeforeEnd | None = None
    if_room: bool = False
    from_library: int = 0

    @property
    def key(self) -> tuple[Place, int]:
        """What tells these words from the other words of their step; the same on both sides."""
        return self.place, self.from_library


@dataclass(frozen=True, slots=True)
class SettledWords:
    """Words that an earlier plan has settled, by their number among those of the step.

    They begin `offset_ms` after the hold (or the move), and last `length_ms`.
    """

    number: int
    offset_ms: int
    length_ms: int


@dataclass(frozen=True, slots=True)
class SettledCount:
    """A number, or a part of a pattern, that an earlier plan has settled; as `SettledWords`."""

    text: str
    offset_ms: int
    length_ms: int


@dataclass(frozen=True, slots=True)
class SettledStep:
    """What an earlier plan has settled of a step: a new plan leaves it where it was.

    - `until_ms`, counted from the beginning of the hold, is the moment up to which all is settled: nothing else begins
      before it.
    - `entry_ms` is the time that all entry words have together; `entry` are the lengths of those that are settled, from
      the first.
    - `held_ms` is the length of the hold (or the move), None while it may change.
    - `words` are those of the hold (or the move) that are settled, in order. Others before the last of them were left
      out, and stay so.
    - `counts` are the numbers counted aloud that are settled. Breaths that began by then without one have their chime.
    - `chimes` are the chimes that are settled of breaths that are counted by chime, in ms after the hold began.
    """

    until_ms: int
    entry_ms: int
    held_ms: int | None
    entry: tuple[int, ...] = ()
    words: tuple[SettledWords, ...] = ()
    counts: tuple[SettledCount, ...] = ()
    chimes: tuple[int, ...] = ()

    @property
    def ends_ms(self) -> tuple[int, ...]:
        """Where all that is said in the hold has ended."""
        words = tuple(one.offset_ms + one.length_ms for one in self.words)
        return words + tuple(one.offset_ms + one.length_ms for one in self.counts)


#: How far music is below the words, in dB, where nothing is said; nearer it may not come (WCAG 2.2, SC 1.4.7).
BELOW_VOICE_DB = 20.0


@dataclass(frozen=True, slots=True)
class Music:
    """What plays under a class or a section: `source` names a made bed, or is the path of a sound file or of a folder
    of them; nothing is silence.

    It is `below_db` under the words, and with `until_rest` has gone before the last rest begins.
    """

    source: str
    place: Place = field(compare=False)
    below_db: float = BELOW_VOICE_DB
    until_rest: bool = False


@dataclass(frozen=True, slots=True)
class Section:
    """A named part of the class; `bell_sound` names its bell in the palette or is a file's path.

    `music` plays from here on; None where that is what played before.
    """

    title: str
    place: Place
    bell: BellWhen
    bell_sound: str
    music: Music | None = None


@dataclass(frozen=True, slots=True)
class Step:
    """One thing that the students do.

    - `hold` is set for poses, rests, silences and breathing patterns; a move lasts its `breath` at its `pace`; a talk
      lasts as long as its entry words.
    - `entry` words are said before the hold, `words` in it (for a move: with it, at most one).
    - Two steps with the same `pair` are the two sides of one thing and last the same.
    - `section` is an index into `Steps.sections`, None before the first.
    - `pose` is the pose's name as written, where one is named; `known` is its name in the pose library, None where it
      is not there.
    - `pace_room` is how far its pace may give, None where it may not.
    - `share` is the part of the slot that a rest naturally has, None where the file does not say.
    - `let_be` names the rules of advice that the file silences for it.
    - `laid` is what an earlier plan has settled of it, None for a step that is planned for the first time.
    - `chime_every_ms` is how far apart the chimes of an interval are that ring in its hold, None for none.
    - `pass_number` is 1 or 2 on the first and the second pass through `both sides`, 0 outside.
    - `told` is what was settled for it that the file does not say, such as where its way in comes from; it is noted.
    - `lead_ms` is how long before its breath the words of a move begin.
    - `given` is a move without words that no file writes: the half of a breath that was missing before the next step.
    """

    kind: StepKind
    title: str
    place: Place
    section: int | None
    side: Side | None
    pair: str | None
    pace: Pace
    breath: Breath | None
    hold: InBreaths | InTime | None
    entry: tuple[Words, ...]
    words: tuple[Words, ...]
    count: Counting
    bell: BellWhen
    bell_sound: str
    pose: str | None = None
    known: str | None = None
    pace_room: PaceRoom | None = None
    share: Fraction | None = None
    let_be: frozenset[str] = frozenset()
    laid: SettledStep | None = None
    pass_number: int = 0
    told: tuple[str, ...] = ()
    lead_ms: int = 0
    given: bool = False
    chime_every_ms: int | None = None


@dataclass(frozen=True, slots=True)
class Sounds:
    """Which sound plays which role: names in the palette, or paths of sound files."""

    klass: str
    inhale: str
    exhale: str
    pause: str


@dataclass(frozen=True, slots=True)
class Steps:
    """A whole class, expanded: what the scheduler and the checker take."""

    title: str
    steps: tuple[Step, ...]
    sections: tuple[Section, ...]
    sounds: Sounds
    bell: BellWhen
    slot_ms: int | None
    by: str = ""
    music: Music | None = None

    def music_named(self) -> tuple[Music, ...]:
        """All music of the class and its sections that is no silence, as it comes."""
        return tuple(one for one in (self.music, *(section.music for section in self.sections)) if one and one.source)

    def sound_names(self) -> frozenset[str]:
        """Every sound that may ring: names in the palette, and paths as they are written."""
        bells = {section.bell_sound for section in self.sections} | {step.bell_sound for step in self.steps}
        sounds = self.sounds
        return frozenset(bells | {sounds.klass, sounds.inhale, sounds.exhale, sounds.pause})
