"""Where each point of a body is, from the turns of its joints.

x goes ahead, y to the body's left, z up; the unit is the body's height. Every turn is given as its sine and cosine, and
everything here is plain arithmetic, so that the solver may have many bodies worked out at once: it gives arrays where a
body has numbers.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import asin, atan2, cos, degrees, radians, sin

from guide.figures import skeleton
from guide.figures.skeleton import JOINTS, ROOT, SIDES, TURNS

Vector = tuple[float, float, float]
Turn = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Frame:
    """Which way ahead, left and up are for a part of the body."""

    ahead: Vector
    left: Vector
    up: Vector


@dataclass(frozen=True, slots=True)
class Body:
    """The points of a body by name, and the frames of its parts."""

    points: Mapping[str, Vector]
    frames: Mapping[str, Frame]


#: How a body lies in the world before its root is turned.
STARTS = {
    "upright": Frame((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
    "face down": Frame((0.0, 0.0, -1.0), (0.0, 1.0, 0.0), (1.0, 0.0, 0.0)),
    "face up": Frame((0.0, 0.0, 1.0), (0.0, 1.0, 0.0), (-1.0, 0.0, 0.0)),
    "upside down": Frame((-1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, -1.0)),
    "right side down": Frame((0.0, -1.0, 0.0), (0.0, 0.0, 1.0), (-1.0, 0.0, 0.0)),
    "left side down": Frame((0.0, -1.0, 0.0), (0.0, 0.0, -1.0), (1.0, 0.0, 0.0)),
    "turned right": Frame((0.0, -1.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0)),
}


def body_from(angles: Mapping[str, float], start: str) -> Body:
    """The body whose joints have these angles in degrees; what is not given is 0."""
    turns = {name: _turn(angles.get(name, 0.0)) for name in JOINTS}
    ahead, left, height = (angles.get(name, 0.0) for name in ROOT)
    return placed((ahead, left, height), turns, STARTS[start])


def placed(root: Vector, turns: Mapping[str, Turn], start: Frame) -> Body:
    """The body with its pelvis here, and with these sines and cosines for its joints."""
    points: dict[str, Vector] = {}
    frames: dict[str, Frame] = {}
    _trunk(points, frames, root, turns, start)
    for side, sign in zip(SIDES, (1.0, -1.0), strict=True):
        _arm(points, frames, turns, side, sign)
        _leg(points, frames, turns, side, sign)
    return Body(points, frames)


def along(point: Vector, frame: Frame, ahead: float, left: float, up: float) -> Vector:
    """The point that lies so far from another, in the directions of a frame."""
    a, b, c = frame.ahead, frame.left, frame.up
    return (
        point[0] + ahead * a[0] + left * b[0] + up * c[0],
        point[1] + ahead * a[1] + left * b[1] + up * c[1],
        point[2] + ahead * a[2] + left * b[2] + up * c[2],
    )


def between(start: Vector, end: Vector, share: float) -> Vector:
    """The point that lies so far on the way from one to the other."""
    return (
        start[0] + share * (end[0] - start[0]),
        start[1] + share * (end[1] - start[1]),
        start[2] + share * (end[2] - start[2]),
    )


def centre_of_mass(body: Body) -> Vector:
    """Where the body's weight is."""
    x, y, z = 0.0, 0.0, 0.0
    for start, end, mass, share in skeleton.MASSES:
        at = between(body.points[start], body.points[end], share)
        x, y, z = x + mass * at[0], y + mass * at[1], z + mass * at[2]
    return x, y, z


def upright_turns(pelvis: Frame) -> dict[str, float]:
    """The turns of the root, in degrees, that give an upright body this pelvis."""
    ahead, up = pelvis.ahead, pelvis.up
    roll, pitch = asin(min(max(-up[1], -1.0), 1.0)), atan2(up[0], up[2])
    level = cos(pitch) * ahead[0] - sin(pitch) * ahead[2]
    across = sin(roll) * sin(pitch) * ahead[0] + cos(roll) * ahead[1] + sin(roll) * cos(pitch) * ahead[2]
    return {name: degrees(turn) for name, turn in zip(TURNS, (pitch, roll, atan2(across, level)), strict=True)}


def _turn(degrees: float) -> Turn:
    return sin(radians(degrees)), cos(radians(degrees))


def _mixed(one: Vector, share: float, other: Vector, rest: float) -> Vector:
    return (
        share * one[0] + rest * other[0],
        share * one[1] + rest * other[1],
        share * one[2] + rest * other[2],
    )


def _pitched(frame: Frame, turn: Turn, sign: float = 1.0) -> Frame:
    """Up leans ahead."""
    s, c = sign * turn[0], turn[1]
    return Frame(_mixed(frame.ahead, c, frame.up, -s), frame.left, _mixed(frame.ahead, s, frame.up, c))


def _rolled(frame: Frame, turn: Turn, sign: float = 1.0) -> Frame:
    """Left goes up."""
    s, c = sign * turn[0], turn[1]
    return Frame(frame.ahead, _mixed(frame.left, c, frame.up, s), _mixed(frame.left, -s, frame.up, c))


def _yawed(frame: Frame, turn: Turn, sign: float = 1.0) -> Frame:
    """Ahead goes left."""
    s, c = sign * turn[0], turn[1]
    return Frame(_mixed(frame.ahead, c, frame.left, s), _mixed(frame.ahead, -s, frame.left, c), frame.up)


def _trunk(
    points: dict[str, Vector], frames: dict[str, Frame], root: Vector, turns: Mapping[str, Turn], start: Frame
) -> None:
    frame = _yawed(_rolled(_pitched(start, turns["body pitch"]), turns["body roll"]), turns["body yaw"])
    frames["pelvis"], points["pelvis"] = frame, root
    at = points["waist"] = along(root, frame, 0.0, 0.0, skeleton.SACRUM)
    ends = (("lower back", "belly"), ("middle back", "ribs"), ("upper back", "neck"), ("neck", "skull"))
    for name, end in ends:
        frame = frames[name] = _bent(frame, turns, name)
        length = skeleton.NECK if name == "neck" else skeleton.SPINE_PART
        at = points[end] = along(at, frame, 0.0, 0.0, length)
    frame = frames["head"] = _bent(frame, turns, "head")
    points["chest"] = between(points["ribs"], points["neck"], 0.45)
    points["breastbone"] = along(points["chest"], frames["upper back"], 0.066, 0.0, 0.0)
    points["head"] = along(at, frame, 0.012, 0.0, skeleton.SKULL)
    points["crown"] = along(at, frame, 0.005, 0.0, 0.115)
    points["forehead"] = along(at, frame, 0.068, 0.0, 0.075)
    points["chin"] = along(at, frame, 0.06, 0.0, -0.01)
    for side, sign in zip(SIDES, (1.0, -1.0), strict=True):
        points[f"{side} ear"] = along(points["head"], frame, 0.0, sign * 0.048, 0.0)
        points[f"{side} flank"] = along(points["ribs"], frames["middle back"], 0.0, sign * 0.06, 0.0)


def _bent(frame: Frame, turns: Mapping[str, Turn], name: str) -> Frame:
    """A part of the spine on the one below it: forward, to the left, turned to the left."""
    pitched = _pitched(frame, turns[f"{name} bend"])
    return _yawed(_rolled(pitched, turns[f"{name} side"], -1.0), turns[f"{name} turn"])


def _arm(
    points: dict[str, Vector], frames: dict[str, Frame], turns: Mapping[str, Turn], side: str, sign: float
) -> None:
    def turn(name: str) -> Turn:
        return turns[f"{side} {name}"]

    chest = frames["upper back"]
    blade = _yawed(_rolled(chest, turn("shoulder blade lift"), sign), turn("shoulder blade forward"), -sign)
    root = along(points["neck"], chest, 0.0, 0.0, -0.018)
    at = points[f"{side} shoulder"] = along(root, blade, 0.0, sign * skeleton.SHOULDER_OUT, 0.0)
    # Raised in a plane: 0 is out to the side, 90 ahead; the arm itself does not turn by that.
    plane = turn("shoulder plane")
    raised = _rolled(_yawed(chest, plane, -sign), turn("shoulder raise"), sign)
    upper = _yawed(_yawed(raised, plane, sign), turn("shoulder turn"), -sign)
    at = points[f"{side} elbow"] = along(at, upper, 0.0, 0.0, -skeleton.UPPER_ARM)
    fore = _pitched(upper, turn("elbow bend"), -1.0)
    at = points[f"{side} wrist"] = along(at, fore, 0.0, 0.0, -skeleton.FOREARM)
    hand = _rolled(_yawed(fore, turn("forearm turn"), -sign), turn("wrist bend"), -sign)
    frames |= {f"{side} upper arm": upper, f"{side} forearm": fore, f"{side} hand": hand}
    points[f"{side} palm"] = along(at, hand, 0.0, 0.0, -0.04)
    points[f"{side} knuckles"] = along(at, hand, 0.0, 0.0, -skeleton.PALM)
    points[f"{side} fingers"] = along(at, hand, 0.0, 0.0, -skeleton.PALM - skeleton.FINGERS)


def _leg(
    points: dict[str, Vector], frames: dict[str, Frame], turns: Mapping[str, Turn], side: str, sign: float
) -> None:
    def turn(name: str) -> Turn:
        return turns[f"{side} {name}"]

    pelvis = frames["pelvis"]
    at = points[f"{side} hip"] = along(points["pelvis"], pelvis, 0.0, sign * skeleton.HIP_OUT, 0.0)
    points[f"{side} hip bone"] = along(points["pelvis"], pelvis, 0.02, sign * 0.085, 0.05)
    swung = _rolled(_pitched(pelvis, turn("hip bend"), -1.0), turn("hip out"), sign)
    thigh = _yawed(swung, turn("hip turn"), sign)
    at = points[f"{side} knee"] = along(at, thigh, 0.0, 0.0, -skeleton.THIGH)
    shin = _pitched(thigh, turn("knee bend"))
    at = points[f"{side} ankle"] = along(at, shin, 0.0, 0.0, -skeleton.SHIN)
    foot = _rolled(_pitched(shin, turn("ankle bend"), -1.0), turn("ankle tilt"), -sign)
    ball = points[f"{side} ball"] = along(at, foot, skeleton.BALL_AHEAD, 0.0, -skeleton.ANKLE_HEIGHT)
    toes = _pitched(foot, turn("toes bend"), -1.0)
    points[f"{side} heel"] = along(at, foot, -skeleton.HEEL_BACK, 0.0, -skeleton.ANKLE_HEIGHT)
    points[f"{side} sole"] = along(at, foot, 0.03, 0.0, -skeleton.ANKLE_HEIGHT)
    points[f"{side} toes"] = along(ball, toes, skeleton.TOE, 0.0, 0.0)
    frames |= {f"{side} thigh": thigh, f"{side} shin": shin, f"{side} foot": foot, f"{side} toes": toes}
    points[f"{side} mid thigh"] = between(points[f"{side} hip"], points[f"{side} knee"], 0.5)
    points[f"{side} mid shin"] = between(points[f"{side} knee"], at, 0.45)
