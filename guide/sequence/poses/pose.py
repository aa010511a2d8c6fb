"""What a teacher knows of a pose: its names, what it does, its words, its cautions, how long it is usually held."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum
from typing import TYPE_CHECKING

from guide.sequence.steps import InBreaths

if TYPE_CHECKING:
    from guide.figures.description import Description


class Base(Enum):
    """What carries the body."""

    STANDING = "standing"
    KNEELING = "kneeling"
    ALL_FOURS = "hands and knees"
    PRONE = "prone"
    SUPINE = "supine"
    SEATED = "seated"
    ARM_BALANCE = "arm balance"
    INVERTED = "inverted"


class Does(Enum):
    """What a pose does with the body."""

    FOLD = "fold"
    BACKBEND = "backbend"
    TWIST = "twist"
    SIDE_BEND = "side bend"
    HIP_OPENING = "hip opening"
    BALANCE = "balance"
    CORE = "core"
    STRENGTH = "strength"
    BREATH = "breath"
    REST = "rest"


class Condition(Enum):
    """What a caution is for. `glaucoma` is for a retina that came loose and surgery of the eye too, `hernia` for
    reflux.

    Source, from memory: osteoporosis, Sinaki and Mikkelsen 1984 and Sfeir et al. 2018 (bending and turning of the spine
    under load); pregnancy, ACOG Committee Opinion 804, 2020; glaucoma, Jasien et al. 2015. The others are common
    practice, no source.
    """

    PREGNANCY = "pregnancy"
    BLOOD_PRESSURE = "blood pressure"
    GLAUCOMA = "glaucoma"
    NECK = "neck"
    BACK = "back"
    SHOULDER = "shoulder"
    WRIST = "wrist"
    HIP = "hip"
    KNEE = "knee"
    ANKLE = "ankle"
    BALANCE = "balance"
    OSTEOPOROSIS = "osteoporosis"
    HEART = "heart"
    LOW_BLOOD_PRESSURE = "low blood pressure"
    HERNIA = "hernia"
    EPILEPSY = "epilepsy"
    SURGERY = "surgery"
    HYPERMOBILITY = "hypermobility"


#: What people also call a condition.
ALSO_CALLED = {"retina": Condition.GLAUCOMA, "reflux": Condition.HERNIA}


class Strength(Enum):
    """How much a pose asks of a general class."""

    GENTLE = "gentle"
    MODERATE = "moderate"
    STRONG = "strong"


@dataclass(frozen=True, slots=True)
class Way:
    """An easier or a stronger way: the words that offer it, and the pose that it is, where it has a name of its own."""

    say: str
    pose: str = ""


#: Held so where nothing says more (common practice, no source).
USUAL_HOLD = InBreaths(3, 5, 8)


@dataclass(frozen=True, slots=True)
class Pose:
    """One pose, resting position or breath practice.

    - `also` are other English names and the trade's spellings; `sanskrit` is IAST, "" where there is none.
    - `sides` says whether it has a right and a left; its words may then hold `<side>` and `<other side>`.
    - `after` names poses of which one at least should come before it; `rests` those that rest from it.
    - `hold` is the usual hold in breaths, with its range.
    - `on_wrists` and `head_low`: whether the hands carry much of the weight; whether the head is below the heart.
    - `cautions` hold one sentence for each condition that has one.
    - `figure` describes its body. The library that is shipped keeps figures apart, with the bodies that were found.
    """

    name: str
    base: Base
    also: tuple[str, ...] = ()
    sanskrit: str = ""
    sides: bool = False
    does: tuple[Does, ...] = ()
    strength: Strength = Strength.GENTLE
    after: tuple[str, ...] = ()
    rests: tuple[str, ...] = ()
    props: tuple[str, ...] = ()
    easier: Way | None = None
    stronger: Way | None = None
    enter: tuple[str, ...] = ()
    say: tuple[str, ...] = ()
    leave: tuple[str, ...] = ()
    cautions: Mapping[Condition, str] = field(default_factory=dict)
    hold: InBreaths = USUAL_HOLD
    on_wrists: bool = False
    head_low: bool = False
    figure: "Description | None" = field(default=None, compare=False)
