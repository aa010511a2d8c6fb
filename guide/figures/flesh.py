"""How thick a body is: each part a row of ellipsoids, so that it can be seen from anywhere.

Thicknesses are our own choice, for a body that is neither a man's nor a woman's. In heights of the body.
"""

from dataclasses import dataclass

from guide.figures.kinematics import Body, Frame, Vector, along, between
from guide.figures.skeleton import SIDES


@dataclass(frozen=True, slots=True)
class Round:
    """An ellipsoid: its centre, and half of its depth, breadth and height along the axes of a frame."""

    centre: Vector
    frame: Frame
    depth: float
    breadth: float
    height: float


@dataclass(frozen=True, slots=True)
class BodyPart:
    """A part of the body: rows of ellipsoids, each row a smooth solid; `middle` is what tells how near it is.

    `joined` are rows that lead from it into the trunk.
    """

    name: str
    rows: tuple[tuple[Round, ...], ...]
    middle: Vector
    joined: tuple[tuple[Round, ...], ...] = ()


def parts(body: Body) -> tuple[BodyPart, ...]:
    """All parts of a body."""
    limbs = [part for side in SIDES for part in (_leg(body, side), _arm(body, side))]
    return (_trunk(body), _head(body), *limbs)


def _ball(centre: Vector, radius: float, frame: Frame) -> Round:
    return Round(centre, frame, radius, radius, radius)


def _trunk(body: Body) -> BodyPart:
    points, frames = body.points, body.frames
    pelvis, low, middle, upper = (frames[name] for name in ("pelvis", "lower back", "middle back", "upper back"))
    girdle = between(points["left shoulder"], points["right shoulder"], 0.5)
    spine = (
        Round(along(points["pelvis"], pelvis, -0.004, 0.0, -0.03), pelvis, 0.052, 0.075, 0.03),
        Round(along(points["pelvis"], pelvis, -0.006, 0.0, 0.012), pelvis, 0.06, 0.094, 0.035),
        Round(along(points["waist"], low, 0.0, 0.0, 0.02), low, 0.05, 0.079, 0.03),
        Round(along(points["belly"], middle, 0.004, 0.0, 0.0), middle, 0.05, 0.074, 0.03),
        Round(along(points["ribs"], middle, 0.004, 0.0, 0.0), upper, 0.06, 0.088, 0.03),
        Round(along(between(points["ribs"], points["neck"], 0.45), upper, 0.005, 0.0, 0.0), upper, 0.062, 0.094, 0.03),
        Round(between(girdle, points["neck"], 0.4), upper, 0.042, 0.062, 0.02),
    )
    yoke = tuple(
        (
            _ball(along(points[f"{side} shoulder"], upper, 0.0, 0.0, 0.0), 0.032, upper),
            Round(between(girdle, points["neck"], 0.3), upper, 0.036, 0.03, 0.026),
            Round(along(between(points["ribs"], points["neck"], 0.4), upper, 0.0, 0.0, 0.0), upper, 0.05, 0.05, 0.03),
        )
        for side in SIDES
    )
    return BodyPart("trunk", (spine, *yoke, _neck(body)), points["ribs"])


def _neck(body: Body) -> tuple[Round, ...]:
    points, frames = body.points, body.frames
    upper, neck = frames["upper back"], frames["neck"]
    return (
        Round(along(points["neck"], upper, -0.002, 0.0, -0.012), upper, 0.034, 0.062, 0.012),
        Round(along(points["neck"], neck, 0.0, 0.0, 0.012), neck, 0.033, 0.034, 0.02),
        Round(along(points["skull"], neck, 0.0, 0.0, 0.01), neck, 0.031, 0.031, 0.02),
    )


def _head(body: Body) -> BodyPart:
    frame, points = body.frames["head"], body.points
    skull = Round(along(points["head"], frame, -0.004, 0.0, 0.011), frame, 0.06, 0.049, 0.054)
    jaw = Round(along(points["head"], frame, 0.022, 0.0, -0.042), frame, 0.026, 0.028, 0.02)
    return BodyPart("head", ((skull, jaw),), points["head"], (_neck(body),))


def _leg(body: Body, side: str) -> BodyPart:
    points, frames = body.points, body.frames
    hip, knee, ankle, ball = (points[f"{side} {name}"] for name in ("hip", "knee", "ankle", "ball"))
    thigh, shin, foot, toes = (frames[f"{side} {name}"] for name in ("thigh", "shin", "foot", "toes"))
    sign = 1.0 if side == "left" else -1.0
    upper = (
        _ball(along(hip, thigh, -0.003, 0.006 * sign, 0.0), 0.054, thigh),
        _ball(along(between(hip, knee, 0.3), thigh, 0.003, 0.0, 0.0), 0.051, thigh),
        _ball(along(between(hip, knee, 0.7), thigh, 0.002, 0.0, 0.0), 0.039, thigh),
        _ball(knee, 0.031, thigh),
    )
    lower = (
        _ball(knee, 0.031, shin),
        _ball(along(between(knee, ankle, 0.28), shin, -0.007, 0.0, 0.0), 0.034, shin),
        _ball(along(between(knee, ankle, 0.62), shin, -0.003, 0.0, 0.0), 0.025, shin),
        _ball(ankle, 0.02, shin),
    )
    tip = points[f"{side} toes"]
    sole = (
        _ball(along(ankle, foot, -0.002, 0.0, -0.005), 0.02, foot),
        _ball(along(points[f"{side} heel"], foot, 0.02, 0.0, 0.018), 0.018, foot),
        Round(along(ball, foot, -0.012, 0.0, 0.013), foot, 0.016, 0.026, 0.012),
    )
    front = (
        Round(along(ball, foot, -0.012, 0.0, 0.013), foot, 0.016, 0.026, 0.012),
        Round(along(tip, toes, -0.014, 0.0, 0.009), toes, 0.013, 0.022, 0.009),
    )
    pelvis = body.frames["pelvis"]
    seat = Round(along(points["pelvis"], pelvis, -0.005, 0.02 * sign, 0.0), pelvis, 0.055, 0.068, 0.042)
    top = _ball(along(hip, thigh, -0.003, 0.006 * sign, 0.0), 0.0535, thigh)
    joined = ((seat, top, _ball(along(between(hip, knee, 0.12), thigh, 0.0, 0.0, 0.0), 0.052, thigh)),)
    return BodyPart(f"{side} leg", (upper, lower, sole, front), between(knee, ankle, 0.3), joined)


def _arm(body: Body, side: str) -> BodyPart:
    points, frames = body.points, body.frames
    shoulder, elbow, wrist = (points[f"{side} {name}"] for name in ("shoulder", "elbow", "wrist"))
    upper, fore, hand = (frames[f"{side} {name}"] for name in ("upper arm", "forearm", "hand"))
    above = (
        _ball(shoulder, 0.032, upper),
        _ball(between(shoulder, elbow, 0.35), 0.029, upper),
        _ball(elbow, 0.0215, upper),
    )
    below = (
        _ball(elbow, 0.0215, fore),
        _ball(between(elbow, wrist, 0.25), 0.0225, fore),
        _ball(wrist, 0.0145, fore),
    )
    palm = (
        Round(along(wrist, hand, 0.0, 0.0, -0.002), hand, 0.016, 0.012, 0.012),
        Round(points[f"{side} knuckles"], hand, 0.022, 0.009, 0.014),
        Round(along(points[f"{side} fingers"], hand, 0.0, 0.0, 0.008), hand, 0.012, 0.006, 0.009),
    )
    chest = body.frames["upper back"]
    yoke = Round(
        along(points["neck"], chest, 0.0, 0.03 * (1 if side == "left" else -1), -0.03), chest, 0.03, 0.03, 0.026
    )
    return BodyPart(
        f"{side} arm", (above, below, palm), between(elbow, wrist, 0.5), ((_ball(shoulder, 0.0315, upper), yoke),)
    )
