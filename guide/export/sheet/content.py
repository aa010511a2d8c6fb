"""What stands on the sheet of a class, whatever it is drawn on."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum

from guide.figures.figure import Figure
from guide.sequence.steps import Breath
from guide.units import so_many


class PaperSize(Enum):
    """Paper in millimetres, across and down. (Source: ISO 216, and ANSI/ASME Y14.1 for Letter.)"""

    A4 = (210.0, 297.0)
    LETTER = (215.9, 279.4)


class SheetSize(Enum):
    """How large it is: to be read in the hand, or from the mat with the sheet on the floor at arm's length."""

    HAND = "hand"
    FLOOR = "floor"


@dataclass(frozen=True, slots=True)
class SheetLook:
    """How a sheet is asked for."""

    paper: PaperSize = PaperSize.A4
    size: SheetSize = SheetSize.HAND


#: A breath as a sign, and what it is called below.
BREATH_SIGNS = {Breath.INHALE: "↑", Breath.EXHALE: "↓"}
#: At which no line ends.
FIXED_SPACE = "\u00a0"

LEGEND = "↑ on an inhale, ↓ on an exhale"


@dataclass(frozen=True, slots=True)
class PoseCard:
    """A pose: its figure, None where it has none, when, and how long with its side where that is not said of a group.

    `breath` is which half of a breath a move lasts, `key` the words of its cues that matter most. `drawn` is its
    figure's name, one for each side.
    """

    name: str
    figure: Figure | None
    drawn: str
    breath: Breath | None
    clock: str
    amount: str
    key: str

    @property
    def titled(self) -> str:
        """Its name, behind the sign of its breath."""
        return f"{BREATH_SIGNS[self.breath]}{FIXED_SPACE}{self.name}" if self.breath else self.name


@dataclass(frozen=True, slots=True)
class ToldCard:
    """Steps that are told and not drawn: moves between poses, words, rests; each a line."""

    clock: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CardGroup:
    """Cards that come more than once: `4 rounds`, `right, then left`."""

    mark: str
    cards: "tuple[Card, ...]"


Card = PoseCard | ToldCard | CardGroup


@dataclass(frozen=True, slots=True)
class SheetSection:
    """A section: its title, nothing where steps belong to none; when it begins, and how long it lasts."""

    title: str
    clock: str
    length: str
    cards: tuple[Card, ...]

    def each_card(self) -> "Iterator[PoseCard | ToldCard]":
        """All cards on it, in order, out of their groups."""
        return _ungrouped(self.cards)


def _ungrouped(cards: tuple[Card, ...]) -> "Iterator[PoseCard | ToldCard]":
    for card in cards:
        if isinstance(card, CardGroup):
            yield from _ungrouped(card.cards)
        else:
            yield card


@dataclass(frozen=True, slots=True)
class SaidStep:
    """A step of the script: when, what it is, and every word that is said in it, a cue each."""

    clock: str
    name: str
    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SectionScript:
    """All that is said in a section."""

    title: str
    steps: tuple[SaidStep, ...]


@dataclass(frozen=True, slots=True)
class ClassSheet:
    """A class as it goes on paper.

    `facts` are a line below its title; `props` and `cautions` are labels with what belongs to each; `warning` goes with
    every class. `scripts` are the words section by section, none where they are not asked for.
    """

    title: str
    facts: str
    props: tuple[tuple[str, str], ...]
    sections: tuple[SheetSection, ...]
    cautions: tuple[tuple[str, str], ...]
    warning: str
    minutes: float
    scripts: tuple[SectionScript, ...] = ()
    look: SheetLook = SheetLook()

    def _cards(self) -> "Iterator[PoseCard | ToldCard]":
        return (card for section in self.sections for card in section.each_card())

    def figures(self) -> dict[str, Figure]:
        """Each figure on it once, by the name under which it is drawn."""
        cards = self._cards()
        return {card.drawn: card.figure for card in cards if isinstance(card, PoseCard) and card.figure is not None}

    @property
    def legend(self) -> str:
        """What the signs of breaths mean; nothing where none stands on it."""
        texts = (
            text for card in self._cards() for text in (card.lines if isinstance(card, ToldCard) else (card.titled,))
        )
        return LEGEND if any(text[:1] in BREATH_SIGNS.values() for text in texts) else ""

    @property
    def summary(self) -> str:
        """How many poses are on it, and which of them have no figure."""
        poses = [card for card in self._cards() if isinstance(card, PoseCard)]
        bare = ", ".join(dict.fromkeys(card.name for card in poses if card.figure is None))
        count = so_many(len(poses), "pose")
        return f"{count}, in a frame without a figure: {bare}" if bare else count
