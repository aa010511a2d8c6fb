"""The body on its way from one pose to another: every moment of it is a body too.

The turns of the joints go evenly from the one to the other. What rests in both poses stays where it is, or slides along
what it rests on; the rest of the body gives way for that, within its limits and above the floor. Where the other pose
lies in the world is found so that what rests in both moves least.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import atan2, cos, radians, sin
from typing import Any

from guide.figures import checks
from guide.figures.claims import Rests
from guide.figures.description import claims
from guide.figures.figure import Figure, limits
from guide.figures.kinematics import STARTS, Body, Frame, placed, upright_turns
from guide.figures.least_squares import least_squares
from guide.figures.skeleton import JOINTS, ROOT, TURNS

#: How strongly what rests stays, what is under the floor is lifted, and each joint keeps its even way.
_STAYS, _LIFTED, _EVEN = 60.0, 60.0, 0.2
_ROUNDS = 12
_STEP = 1e-6
_NUMBERS = (*JOINTS, *ROOT)


@dataclass(frozen=True, slots=True)
class _End:
    """A pose in the world: its joints and place, the frame of its pelvis as columns, and its body."""

    angles: Mapping[str, float]
    pelvis: Any
    body: Body


def between(one: Figure, other: Figure, share: float) -> Figure:
    """The body that has gone this share of the way, from 0 to 1; it is seen, and rests, as the nearer pose says."""
    import numpy as np

    kept = tuple(rests(one).keys() & rests(other).keys())
    start = _end(one, np.eye(3), np.zeros(3))
    end = _end(other, *_beside(start.body, other.body, [name for name, _ in kept]))
    even = {name: (1 - share) * start.angles[name] + share * end.angles[name] for name in _NUMBERS}
    even |= _turned(_on_the_way(start.pelvis, end.pelvis, share))
    ways = {name: _mixed(start.body, end.body, name, share) for name, _ in kept}
    if not kept:
        even["height"] += max(skin - _body(even).points[name][2] for name, skin in checks.FLOOR_SKIN.items())
    nearer = one if share < 0.5 else other
    angles = _settled(even, ways, _within(one, other))
    return Figure(replace(nearer.description, start="upright"), angles, (1 - share) * one.wall + share * other.wall)


def rests(figure: Figure) -> Mapping[tuple[str, str], float]:
    """Each point that rests on something, by its name and that, with how far its skin is from it."""
    found = (claim for claim in claims(figure.description) if isinstance(claim, Rests))
    return {(name, claim.surface): skin for claim in found for name, skin in claim.place.points}


def _within(one: Figure, other: Figure) -> Mapping[str, tuple[float, float]]:
    """How far each joint goes in the one or the other."""
    here, there = limits(one.description), limits(other.description)
    return {name: (min(here[name][0], there[name][0]), max(here[name][1], there[name][1])) for name in JOINTS}


def _end(figure: Figure, turn: Any, shift: Any) -> _End:
    """A pose turned about the height and moved."""
    import numpy as np

    pelvis = turn @ np.array(_columns(figure.body.frames["pelvis"])).T
    at = turn @ np.array([figure.angles[name] for name in ROOT]) + shift
    angles = dict(figure.angles) | _turned(pelvis) | dict(zip(ROOT, map(float, at), strict=True))
    return _End(angles, pelvis, _body(angles))


def _beside(body: Body, other: Body, kept: list[str]) -> tuple[Any, Any]:
    """How another body is turned and moved so that what is kept moves least; without any its pelvis stays above."""
    import numpy as np

    names = kept or ["pelvis"]
    here, there = (np.array([each.points[name][:2] for name in names]) for each in (body, other))
    middle, other_middle = here.mean(axis=0), there.mean(axis=0)
    a, b = here - middle, there - other_middle
    # Source of the angle, from memory: the Procrustes problem in the plane.
    angle = atan2((b[:, 0] * a[:, 1] - b[:, 1] * a[:, 0]).sum(), (a * b).sum())
    turn = np.array([[cos(angle), -sin(angle), 0.0], [sin(angle), cos(angle), 0.0], [0.0, 0.0, 1.0]])
    return turn, np.array([*(middle - turn[:2, :2] @ other_middle), 0.0])


def _columns(frame: Frame) -> tuple[tuple[float, float, float], ...]:
    return frame.ahead, frame.left, frame.up


def _on_the_way(one: Any, other: Any, share: float) -> Any:
    """A turn between two, about one axis (Rodrigues' formula)."""
    import numpy as np

    whole = other @ one.T
    angle = atan2(float(np.linalg.norm(_axis(whole))), float(np.trace(whole)) - 1.0)
    axis = _axis(whole)
    if np.linalg.norm(axis) < 1e-9:
        if angle < 1.0:
            return one
        # Half a turn has no axis of its own there: it is a column of what is left.
        axis = (whole + np.eye(3))[:, int(np.argmax(np.diag(whole)))]
    x, y, z = axis / np.linalg.norm(axis)
    cross = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
    part = share * angle
    return (np.eye(3) + sin(part) * cross + (1 - cos(part)) * cross @ cross) @ one


def _axis(turn: Any) -> Any:
    import numpy as np

    return np.array([turn[2, 1] - turn[1, 2], turn[0, 2] - turn[2, 0], turn[1, 0] - turn[0, 1]])


def _turned(pelvis: Any) -> dict[str, float]:
    rows = [[float(each) for each in row] for row in pelvis]
    ahead, left, up = ((rows[0][k], rows[1][k], rows[2][k]) for k in range(3))
    return upright_turns(Frame(ahead, left, up))


def _mixed(one: Body, other: Body, name: str, share: float) -> tuple[float, ...]:
    return tuple((1 - share) * a + share * b for a, b in zip(one.points[name], other.points[name], strict=True))


def _body(angles: Mapping[str, Any]) -> Body:
    """The body of one set of angles, or of many at once."""
    import numpy as np

    turns = {name: (np.sin(np.radians(angles[name])), np.cos(np.radians(angles[name]))) for name in JOINTS}
    ahead, left, height = (angles[name] for name in ROOT)
    return placed((ahead, left, height), turns, STARTS["upright"])


def _settled(
    even: Mapping[str, float], ways: Mapping[str, tuple[float, ...]], within: Mapping[str, tuple[float, float]]
) -> Mapping[str, float]:
    """The body nearest to one on its even way that rests where it should."""
    import numpy as np

    # Turns of the joints in radians; those of the root may go all the way round.
    scale = np.array([radians(1) if name in JOINTS else 1.0 for name in _NUMBERS])
    begin = scale * np.array([even[name] for name in _NUMBERS])
    free = {*TURNS, *ROOT}
    least, most = (
        np.array([way * np.inf if name in free else radians(within[name][end]) for name in _NUMBERS])
        for end, way in ((0, -1.0), (1, 1.0))
    )

    def missing(values: Any) -> Any:
        shape = values.shape[1:]
        body = _body(dict(zip(_NUMBERS, (values.T / scale).T, strict=True)))
        stays = [_STAYS * (body.points[name][k] - way[k]) for name, way in ways.items() for k in range(3)]
        lifted = [_LIFTED * checks.positive(skin - body.points[name][2]) for name, skin in checks.FLOOR_SKIN.items()]
        off = _EVEN * (values.T - begin).T
        return (
            np.vstack([np.reshape([*stays, *lifted], (-1, *shape)), off])
            if shape
            else np.array([*stays, *lifted, *off])
        )

    def slopes(values: Any) -> Any:
        found = missing(values[:, None] + _STEP * np.eye(len(values), len(values) + 1))
        return (found[:, :-1] - found[:, -1:]) / _STEP

    values = least_squares(missing, slopes, np.clip(begin, least, most), least, most, _ROUNDS)
    return dict(zip(_NUMBERS, map(float, values / scale), strict=True))
