"""A figure: a whole description with the body that does it, and what may be short of it."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import degrees

from guide.figures import checks
from guide.figures.claims import BodyState, Claim
from guide.figures.description import Description, claims
from guide.figures.kinematics import Body, Frame, body_from, upright_turns
from guide.figures.skeleton import JOINTS, ROOT

#: What each part of the body may be short of, in heights of the body.
MOST_UNDER_FLOOR = 0.008
MOST_INSIDE = 0.015
MOST_OFF_BALANCE = 0.012
#: A joint that is named in `wide` goes so much further.
WIDER = 1.6


@dataclass(frozen=True, slots=True)
class Figure:
    """A pose as a body: its whole description, the turns of its joints in degrees with its place, and the wall's."""

    description: Description
    angles: Mapping[str, float]
    wall: float = 0.0

    @property
    def body(self) -> Body:
        """The points of the body."""
        return body_from(self.angles, self.description.start)


@dataclass(frozen=True, slots=True)
class Shortfall:
    """Something that a body does not do: what, by how much, and how many times what it may be."""

    what: str
    amount: float
    unit: str
    times: float

    def __str__(self) -> str:
        if self.unit == "degrees":
            return f"{self.what} (short by {self.amount:.0f}°)"
        return f"{self.what} (short by {self.amount:.3f} of the body's height)"


def limits(description: Description) -> Mapping[str, tuple[float, float]]:
    """How far each joint goes, in degrees, with those wider that the description says so of."""
    found = {name: (joint.least, joint.most) for name, joint in JOINTS.items()}
    for name, (least, most) in found.items():
        if any(word in name for word in description.wide):
            found[name] = (max(WIDER * least, -180), min(WIDER * most, 180))
    return found


def shortfalls(figure: Figure) -> tuple[Shortfall, ...]:
    """Everything in which a body is more short of its description, and of what holds for all bodies, than it may be."""
    return tuple(dict.fromkeys(each for each in residuals(figure) if each.times > 1.0))


def residuals(figure: Figure) -> tuple[Shortfall, ...]:
    """How much a body is short of everything that is said of it, and of what holds for all bodies."""
    state = BodyState(figure.body, figure.angles, figure.wall)
    wanted = claims(figure.description)
    return (*_claimed(state, wanted), *_limited(figure), *_bodily(state.body, checks.supports(wanted)))


def _claimed(state: BodyState, wanted: Sequence[Claim]) -> Iterator[Shortfall]:
    for claim in wanted:
        missing = sum(each * each for each in claim.missing(state)) ** 0.5
        amount = degrees(missing) if claim.unit == "degrees" else missing
        yield Shortfall(claim.text, amount, claim.unit, missing / claim.most)


def _limited(figure: Figure) -> Iterator[Shortfall]:
    for name, (least, most) in limits(figure.description).items():
        beyond = max(least - figure.angles[name], figure.angles[name] - most)
        if beyond > 0.01:
            yield Shortfall(f"{name} within its limits", beyond, "degrees", 1.0 + beyond)


def _bodily(body: Body, carried_by: Sequence[str]) -> Iterator[Shortfall]:
    for what, found, most in (
        ("nothing under the floor", checks.under_floor(body), MOST_UNDER_FLOOR),
        ("no part inside another", checks.overlaps(body), MOST_INSIDE),
        ("the weight above what carries it", checks.off_balance(body, carried_by), MOST_OFF_BALANCE),
    ):
        worst = max(found, default=0.0)
        yield Shortfall(what, worst, "heights", worst / most)


def mirrored(figure: Figure) -> Figure:
    """The same on the other side."""
    angles: dict[str, float] = {}
    for name, value in figure.angles.items():
        across = not name.startswith(("left ", "right ")) and name.endswith((" side", " turn", " roll", " yaw", "left"))
        angles[_swapped(name) if name not in ROOT else name] = -value if across else value
    said = figure.description
    lines = tuple(_line_mirrored(key, value) for key, value in said.lines)
    start = said.start
    if _swapped(start) != start:
        pelvis = figure.body.frames["pelvis"]
        (a, b, c), (d, e, f), (g, h, i) = pelvis.ahead, pelvis.left, pelvis.up
        angles |= upright_turns(Frame((a, -b, c), (-d, e, -f), (g, -h, i)))
        start = "upright"
    return replace(figure, description=replace(said, lines=lines, start=start), angles=angles)


def _line_mirrored(key: str, value: str) -> tuple[str, str]:
    """A line of a description; a number of degrees to the left becomes as many to the right."""
    if re.fullmatch(r"(back|\w+ back|neck|head) (side|turn)", key) and value not in ("straight", "free"):
        return key, f"{-float(value):g}"
    return _swapped(key), _swapped(value)


def _swapped(words: str) -> str:
    """Words with left for right, and right for left."""
    return re.sub(r"\b(left|right)\b", lambda found: "left" if found[0] == "right" else "right", words)
