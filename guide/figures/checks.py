"""What holds for every body, whatever its pose: it is above the floor, no limb is in another, and it does not fall."""

from collections.abc import Iterator, Sequence
from itertools import product
from math import cos, pi, sin

from guide.figures.claims import Claim, Rests
from guide.figures.kinematics import Body, centre_of_mass
from guide.figures.skeleton import SIDES

#: How far the skin is from each point that must stay above the floor.
_SKIN = {"knee": 0.028, "ankle": 0.022, "heel": 0.0, "ball": 0.0, "toes": 0.0, "hip": 0.05}
_SKIN |= {"shoulder": 0.03, "elbow": 0.02, "wrist": 0.012, "knuckles": 0.008, "fingers": 0.0}
FLOOR_SKIN = {f"{side} {name}": skin for side in SIDES for name, skin in _SKIN.items()}
FLOOR_SKIN |= {"head": 0.055, "crown": 0.0, "forehead": 0.0, "chin": 0.0, "chest": 0.055, "belly": 0.045, "neck": 0.035}

#: Round parts that may not be inside each other, with their radius.
_TRUNK = (("pelvis", 0.055), ("belly", 0.05), ("left flank", 0.05), ("right flank", 0.05), ("chest", 0.066))
_TRUNK_AND_HIPS = (*_TRUNK, ("left hip", 0.05), ("right hip", 0.05), ("head", 0.058))
_ARM = (("elbow", 0.022), ("wrist", 0.017), ("palm", 0.014))
_LEG = (("knee", 0.032), ("mid shin", 0.03), ("ankle", 0.022), ("sole", 0.008))
_WHOLE_LEG = (("mid thigh", 0.042), *_LEG)
#: So much of their radii bodies give way where they are pressed together.
SOFT = 0.85

#: Where a body might fall, and how much broader than their middle line feet and hands are.
BROAD = 0.022
WAYS = tuple((cos(k * pi / 8), sin(k * pi / 8)) for k in range(16))


def positive(amount: float) -> float:
    """The amount where it is positive, else nothing."""
    return (abs(amount) + amount) * 0.5


def under_floor(body: Body) -> Iterator[float]:
    """How far each point is under the floor."""
    for name, skin in FLOOR_SKIN.items():
        yield positive(skin - body.points[name][2])


def overlaps(body: Body) -> Iterator[float]:
    """How far parts are inside each other."""
    points = body.points
    for (one, radius), (other, other_radius) in PAIRS:
        a, b = points[one], points[other]
        apart = ((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2 + (a[2] - b[2]) ** 2 + 1e-9) ** 0.5
        yield positive(SOFT * (radius + other_radius) - apart)


def _sided(parts: Sequence[tuple[str, float]], side: str) -> list[tuple[str, float]]:
    return [(f"{side} {name}", radius) for name, radius in parts]


def _pairs() -> Iterator[tuple[tuple[str, float], tuple[str, float]]]:
    for side in SIDES:
        yield from product(_sided(_ARM, side), _TRUNK_AND_HIPS)
        yield from product(_sided(_LEG, side), _TRUNK)
        for other in SIDES:
            yield from product(_sided(_ARM, side), _sided(_WHOLE_LEG, other))
    yield from product(_sided(_WHOLE_LEG, "left"), _sided(_WHOLE_LEG, "right"))
    yield from product(_sided(_ARM, "left"), _sided(_ARM, "right"))


PAIRS = tuple(_pairs())


def supports(claims: Sequence[Claim]) -> tuple[str, ...]:
    """The points that carry the body, by what it rests on; none where a wall or a prop may hold it as well."""
    rests = [claim for claim in claims if isinstance(claim, Rests)]
    if any(claim.surface in ("wall", "chair", "table", "cushions") for claim in rests):
        return ()
    names = [name for claim in rests for name, _ in claim.place.points]
    feet = [name for name in names if name.endswith("ball")]
    return tuple(dict.fromkeys([*names, *(name.replace("ball", "toes") for name in feet)]))


def off_balance(body: Body, carried_by: Sequence[str]) -> Iterator[float]:
    """How far outside of what carries it the weight is, in each of sixteen directions."""
    if not carried_by:
        return
    x, y, _ = centre_of_mass(body)
    points = [body.points[name] for name in carried_by]
    for a, b in WAYS:
        reach = points[0][0] * a + points[0][1] * b
        for point in points[1:]:
            other = point[0] * a + point[1] * b
            reach = (reach + other + abs(reach - other)) * 0.5
        yield positive(x * a + y * b - reach - BROAD)
