"""What a description claims of a body, and how far a body is from it.

Everything here is plain arithmetic on what the kinematics give, so that it holds for many bodies at once as well.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import radians

from guide.figures.kinematics import Body, Vector
from guide.figures.named_parts import Contact

#: How high each surface is, in heights of the body. Lengths of common props over a height of 1.70 m.
SURFACES = {"floor": 0.0, "block": 0.09, "high block": 0.135, "bolster": 0.1, "blanket": 0.035}
SURFACES |= {"chair": 0.265, "table": 0.43}
WALL = "wall"
#: A heap of cushions is as high and as steep as the body that lies on it.
CUSHIONS = "cushions"


@dataclass(frozen=True, slots=True)
class BodyState:
    """A body, the turns of its joints in degrees, and how far ahead the wall is."""

    body: Body
    angles: Mapping[str, float]
    wall: float = 0.0


@dataclass(frozen=True, slots=True)
class Claim:
    """One thing that is to be so. `text` is how it was written; `most` is how much may be missing, in its unit."""

    text: str

    most = 0.0
    unit = ""
    weight = 1.0

    def missing(self, state: BodyState) -> tuple[float, ...]:
        """How much is missing, in parts of a radian or of the body's height."""
        raise NotImplementedError


@dataclass(frozen=True, slots=True)
class Bend(Claim):
    """A joint has an angle, in degrees."""

    joint: str
    degrees: float

    most = radians(6)
    unit = "degrees"

    def missing(self, state: BodyState) -> tuple[float, ...]:
        """As of every claim."""
        return (radians(1) * (state.angles[self.joint] - self.degrees),)


@dataclass(frozen=True, slots=True)
class Points(Claim):
    """A part points somewhere, from one point to another."""

    start: str
    end: str
    towards: Vector

    most = radians(14)
    unit = "degrees"

    def missing(self, state: BodyState) -> tuple[float, ...]:
        """As of every claim."""
        a, b = state.body.points[self.start], state.body.points[self.end]
        along = (b[0] - a[0], b[1] - a[1], b[2] - a[2])
        length = (along[0] ** 2 + along[1] ** 2 + along[2] ** 2 + 1e-12) ** 0.5
        return tuple(each / length - wanted for each, wanted in zip(along, self.towards, strict=True))


@dataclass(frozen=True, slots=True)
class Faces(Claim):
    """The front of a part faces somewhere; a palm is the inner face of its hand, a sole the lower one of its foot."""

    frame: str
    face: str
    towards: Vector

    most = radians(20)
    unit = "degrees"
    weight = 0.7

    def missing(self, state: BodyState) -> tuple[float, ...]:
        """As of every claim."""
        frame = state.body.frames[self.frame]
        axis, sign = {
            "front": (frame.ahead, 1.0),
            "sole": (frame.up, -1.0),
            "palm": (frame.left, 1.0 if self.frame.startswith("right") else -1.0),
        }[self.face]
        return tuple(sign * each - wanted for each, wanted in zip(axis, self.towards, strict=True))


@dataclass(frozen=True, slots=True)
class Rests(Claim):
    """A place of the body rests on the floor, on a prop or against the wall."""

    place: Contact
    surface: str

    most = 0.004
    unit = "heights"
    weight = 40.0

    def missing(self, state: BodyState) -> tuple[float, ...]:
        """As of every claim."""
        points = state.body.points
        if self.surface == WALL:
            return tuple(points[name][0] + skin - state.wall for name, skin in self.place.points)
        if self.surface == CUSHIONS:
            return ()
        high = SURFACES[self.surface]
        found = tuple(points[name][2] - skin - high for name, skin in self.place.points)
        if not self.place.flat:
            return found
        frame = state.body.frames[self.place.flat]
        if self.place.flat.endswith("hand"):
            return (*found, 0.02 * frame.ahead[2], 0.02 * (frame.left[2] + _inner(self.place.flat)))
        return (*found, 0.02 * frame.left[2])


def _inner(hand: str) -> float:
    """What the height of a hand's left is, with its palm down."""
    return 1.0 if hand.startswith("right") else -1.0


@dataclass(frozen=True, slots=True)
class Touches(Claim):
    """Two places of the body touch."""

    one: Contact
    other: Contact

    most = 0.012
    unit = "heights"
    weight = 20.0

    def missing(self, state: BodyState) -> tuple[float, ...]:
        """As of every claim."""
        (one, skin), (other, other_skin) = self.one.points[0], self.other.points[0]
        a, b = state.body.points[one], state.body.points[other]
        apart = ((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2 + (a[2] - b[2]) ** 2 + 1e-12) ** 0.5
        return (apart - 0.9 * (skin + other_skin),)


@dataclass(frozen=True, slots=True)
class Over(Claim):
    """A point is right above another, or right below it."""

    one: str
    other: str

    most = 0.025
    unit = "heights"
    weight = 6.0

    def missing(self, state: BodyState) -> tuple[float, ...]:
        """As of every claim."""
        a, b = state.body.points[self.one], state.body.points[self.other]
        return a[0] - b[0], a[1] - b[1]


@dataclass(frozen=True, slots=True)
class LevelWith(Claim):
    """A point is as high as another."""

    one: str
    other: str

    most = 0.025
    unit = "heights"
    weight = 6.0

    def missing(self, state: BodyState) -> tuple[float, ...]:
        """As of every claim."""
        return (state.body.points[self.one][2] - state.body.points[self.other][2],)


@dataclass(frozen=True, slots=True)
class Apart(Claim):
    """Two points are so far apart, in heights of the body."""

    one: str
    other: str
    far: float

    most = 0.02
    unit = "heights"
    weight = 8.0

    def missing(self, state: BodyState) -> tuple[float, ...]:
        """As of every claim."""
        a, b = state.body.points[self.one], state.body.points[self.other]
        return (((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2 + (a[2] - b[2]) ** 2 + 1e-12) ** 0.5 - self.far,)
