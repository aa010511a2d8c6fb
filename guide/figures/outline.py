"""Outlines of solids as they are seen: polygons in the plane of the picture."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from math import cos, pi, sin

from guide.figures.flesh import Round
from guide.figures.kinematics import Vector
from guide.figures.views import View

Point = tuple[float, float]
Polygon = tuple[Point, ...]

#: An ellipse has so many corners; at the height of a screen they cannot be seen.
_CORNERS = 32
_CIRCLE = tuple((cos(2 * pi * k / _CORNERS), sin(2 * pi * k / _CORNERS)) for k in range(_CORNERS))


def row_outlines(row: Sequence[Round], view: View) -> Iterator[Polygon]:
    """The outlines of a row of ellipsoids, each hulled with the next."""
    seen = [ellipse(each, view) for each in row]
    if len(seen) == 1:
        yield hull(seen[0])
    for one, other in pairwise(seen):
        yield hull((*one, *other))


def ellipse(ball: Round, view: View) -> Polygon:
    """What an ellipsoid looks like."""
    x, y, _ = view.seen(ball.centre)
    # The outline of an ellipsoid is the support of its three axes as they are seen.
    axes = [
        (size * seen[0], size * seen[1])
        for size, axis in (
            (ball.depth, ball.frame.ahead),
            (ball.breadth, ball.frame.left),
            (ball.height, ball.frame.up),
        )
        for seen in (view.seen(axis),)
    ]
    corners = []
    for a, b in _CIRCLE:
        reaches = [a * u + b * v for u, v in axes]
        reach = sum(each * each for each in reaches) ** 0.5
        u = sum(each * axis[0] for each, axis in zip(reaches, axes, strict=True)) / reach
        v = sum(each * axis[1] for each, axis in zip(reaches, axes, strict=True)) / reach
        corners.append((x + u, y + v))
    return tuple(corners)


def flat(points: Iterable[Vector], view: View) -> Polygon:
    """The outline of the corners of a solid without dents."""
    return hull([view.seen(point)[:2] for point in points])


def hull(points: Iterable[Point]) -> Polygon:
    """The convex hull, against the clock (Andrew's monotone chain)."""
    ordered = sorted(set(points))
    if len(ordered) < 3:
        return tuple(ordered)
    return (*_half(ordered)[:-1], *_half(ordered[::-1])[:-1])


def _half(ordered: Sequence[Point]) -> list[Point]:
    kept: list[Point] = []
    for point in ordered:
        while len(kept) > 1 and _turn(kept[-2], kept[-1], point) <= 0:
            kept.pop()
        kept.append(point)
    return kept


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
