"""One entry while it is read: its head, its other fields, and what each of them says."""

from collections.abc import Mapping
from dataclasses import dataclass

from guide.problem import Place
from guide.sequence.advice_names import ADVICE_NAMES
from guide.sequence.counting import counting, every_ms, move_counting
from guide.sequence.cues import LIBRARY, NOTHING, InHold, OutsideHold, cues, levels, name_cue
from guide.sequence.fields import Field, FileReading, choice, choices, time_ms, title, whole_number
from guide.sequence.length_text import clipped
from guide.sequence.model import EVERY_LEVEL, BreathWord, ClassLevel, SecondSide, WrittenCue, WrittenPace
from guide.sequence.music import music
from guide.sequence.nodes import Text
from guide.sequence.steps import BellWhen, Counting, Music, Side
from guide.sequence.written_paces import move_pace, pace

#: A full mala has 108 beads (common practice, no source).
MOST_ROUNDS = 108

_BELLS = {each.value: each for each in BellWhen}
BREATH_WORDS = {each.value: each for each in BreathWord}
_SIDES = {each.value: each for each in Side}
_SECOND_SIDES = {each.value: each for each in SecondSide}

#: Words that begin earlier than this belong to another breath.
LONGEST_LEAD_MS = 10_000


@dataclass(frozen=True, slots=True)
class Inside:
    """What a list of entries stands in, from the outside in: `class` or `blocks`, then `rounds` and `both sides`."""

    heads: tuple[str, ...]

    def into(self, head: str) -> "Inside":
        """The same, one entry further in."""
        return Inside((*self.heads, head))


IN_CLASS = Inside(("class",))
IN_BLOCK = Inside(("blocks",))


@dataclass(frozen=True, slots=True)
class Parts:
    """One entry being read: its head, its other fields, and where it stands."""

    reading: FileReading
    head: Field
    found: Mapping[str, Field]
    inside: Inside

    @property
    def place(self) -> Place:
        """Where the entry begins."""
        return self.reading.source.place(self.head.key.line, self.head.key.column)

    def words(self, name: str) -> str:
        """A short text by its key, "" where it is not given."""
        return title(self.reading, self.found[name]) if name in self.found else ""

    def pace(self) -> WrittenPace | None:
        """The pace of the entry's own, if it has one."""
        return pace(self.reading, self.found["pace"]) if "pace" in self.found else None

    def move_pace(self) -> WrittenPace | None:
        """The pace of a move's own, if it has one; it may be the time that the move lasts."""
        return move_pace(self.reading, self.found["pace"]) if "pace" in self.found else None

    def times(self) -> int:
        """How often it is done; once where nothing is said of it."""
        return (whole_number(self.reading, self.found["times"], 1, MOST_ROUNDS) if "times" in self.found else 1) or 1

    def count(self) -> Counting | None:
        """How it is counted, if it says."""
        return counting(self.reading, self.found["count"]) if "count" in self.found else None

    def move_count(self) -> Counting | None:
        """How a move is counted, if it says."""
        return move_counting(self.reading, self.found["count"]) if "count" in self.found else None

    def chime_every_ms(self) -> int | None:
        """How far apart the chimes of an interval are, if it has them."""
        return every_ms(self.reading, self.found["chime every"]) if "chime every" in self.found else None

    def lead_ms(self) -> int | None:
        """How long before its breath the words of a move begin, if it says."""
        return lead_ms(self.reading, self.found["lead"]) if "lead" in self.found else None

    def breath_word(self) -> BreathWord | None:
        """Where the word for its breath is put, if it says."""
        return choice(self.reading, self.found["breath word"], BREATH_WORDS) if "breath word" in self.found else None

    def bell(self) -> BellWhen | None:
        """When its bell rings, if it says."""
        field = self.found.get("bell")
        if field is not None and isinstance(field.node, Text) and field.node.value.startswith("every "):
            what = f"`bell` cannot be `{clipped(field.node.value)}`"
            self.reading.fault(field.node, what, "for one at an interval write `chime every: 1 min`")
            return None
        return choice(self.reading, field, _BELLS) if field is not None else None

    def side(self, name: str) -> Side | None:
        """A side by its key, if it is given."""
        return choice(self.reading, self.found[name], _SIDES) if name in self.found else None

    def second_side(self) -> SecondSide | None:
        """How much is said of the way in on the second side, if the entry says."""
        return choice(self.reading, self.found["second side"], _SECOND_SIDES) if "second side" in self.found else None

    def cues(self, name: str, spot: InHold | OutsideHold) -> tuple[WrittenCue, ...]:
        """The cues of a key of a pose or a rest; none where it asks for silence or for the library's words instead."""
        return cues(self.reading, self.found[name], spot) if name in self.found and not self.asks(name) else ()

    def own_cues(self, name: str, spot: InHold | OutsideHold) -> tuple[WrittenCue, ...]:
        """The cues of a key of anything else, for which the library has no words."""
        asked = self.asks(name)
        if asked:
            what = f"`{name}: {asked}` has a meaning in `pose` and `rest` only"
            fix = f'leave `{name}` out; if the word is to be said, write `{name}: "{asked}"`'
            self.reading.fault(self.found[name].node, what, fix)
        return self.cues(name, spot)

    def asks(self, name: str) -> str:
        """`none` or `library` where a key has that in place of words, else nothing."""
        node = self.found[name].node if name in self.found else None
        return node.value if isinstance(node, Text) and node.plain and node.value in (NOTHING, LIBRARY) else ""

    def name(self) -> WrittenCue | None:
        """The name that is said, if the entry gives one."""
        return name_cue(self.reading, self.found["name"]) if "name" in self.found else None

    def silent(self) -> bool:
        """Whether the name is to be left unspoken."""
        node = self.found["name"].node if "name" in self.found else None
        return isinstance(node, Text) and node.value == NOTHING

    def music(self) -> Music | None:
        """What plays from here on, if it says."""
        return music(self.reading, self.found["music"]) if "music" in self.found else None

    def let_be(self) -> frozenset[str]:
        """The rules of advice that the entry silences."""
        return let_be(self.reading, self.found["let be"]) if "let be" in self.found else frozenset()

    def levels(self) -> frozenset[ClassLevel]:
        """The levels that the entry is for."""
        return levels(self.reading, self.found["level"]) if "level" in self.found else EVERY_LEVEL


ENTERING = OutsideHold("`enter` is said before the hold, in a time of its own")
LEAVING = OutsideHold("`leave` is said after the hold, in a time of its own")
TALKING = OutsideHold("these words have a time of their own, with nothing held")


def lead_ms(reading: FileReading, field: Field) -> int | None:
    """How long before a breath its words begin: `lead: 1 s`."""
    return time_ms(reading, field, 0, LONGEST_LEAD_MS)


def let_be(reading: FileReading, field: Field) -> frozenset[str]:
    """The names of rules of advice under `let be`: one, or a list."""
    return frozenset(choices(reading, field, {name: name for name in ADVICE_NAMES}))
