"""Where a figure is seen from."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from math import cos, radians, sin

from guide.figures.kinematics import Vector


@dataclass(frozen=True, slots=True)
class FigureView:
    """How far round the body and how high the eye stands, in degrees: from its right side at 0, its front at 90."""

    around: float
    above: float = 0.0

    def seen(self, point: Vector) -> tuple[float, float, float]:
        """A point as it is seen: to the right, up, and how near it is."""
        (sin_a, cos_a), (sin_e, cos_e) = _turn(self.around), _turn(self.above)
        x, y, z = point
        near = x * sin_a - y * cos_a
        return x * cos_a + y * sin_a, z * cos_e - near * sin_e, near * cos_e + z * sin_e


@cache
def _turn(degrees: float) -> tuple[float, float]:
    return sin(radians(degrees)), cos(radians(degrees))


VIEWS: Mapping[str, FigureView] = {
    "side": FigureView(0),
    "front": FigureView(90),
    "back": FigureView(-90),
    "left side": FigureView(180),
    "three quarters": FigureView(40, 14),
    "three quarters front": FigureView(62, 14),
    "three quarters back": FigureView(-38, 14),
    "three quarters left": FigureView(140, 14),
    "side from above": FigureView(12, 28),
    "front from above": FigureView(90, 28),
    "back from above": FigureView(-90, 28),
    "three quarters from above": FigureView(38, 38),
    "above": FigureView(0, 90),
}
