"""Outlines of solids as they are seen: polygons in the plane of the picture."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from math import cos, pi, sin

from guide.figures.flesh import Round
from guide.figures.kinematics import Vector
from guide.figures.views import FigureView

Point = tuple[float, float]
Polygon = tuple[Point, ...]

#: An ellipse has so many corners; at the height of a screen they cannot be seen.
_CORNERS = 32
_CIRCLE = tuple((cos(2 * pi * k / _CORNERS), sin(2 * pi * k / _CORNERS)) for k in range(_CORNERS))


def row_outlines(row: Sequence[Round], view: FigureView) -> Iterator[Polygon]:
    """The outlines of a row of ellipsoids, each hulled with the next."""
    seen = [ellipse(each, view) for each in row]
    if len(seen) == 1:
        yield hull(seen[0])
    for one, other in pairwise(seen):
        yield hull((*one, *other))


def ellipse(ball: Round, view: FigureView) -> Polygon:
    """What an ellipsoid looks like."""
    x, y, _ = view.seen(ball.centre)
    axes = ((ball.depth, ball.frame.ahead), (ball.breadth, ball.frame.left), (ball.height, ball.frame.up))
    seen = [(size * right, size * up) for size, axis in axes for right, up, _ in (view.seen(axis),)]
    # The outline reaches as far in each direction as the three axes do together.
    across, mixed, high = (sum(u * u for u, _ in seen), sum(u * v for u, v in seen), sum(v * v for _, v in seen))
    corners = []
    for a, b in _CIRCLE:
        u, v = across * a + mixed * b, mixed * a + high * b
        reach = (a * u + b * v) ** 0.5
        corners.append((x + u / reach, y + v / reach))
    return tuple(corners)


def flat(points: Iterable[Vector], view: FigureView) -> Polygon:
    """The outline of the corners of a solid without dents."""
    return hull([view.seen(point)[:2] for point in points])


def hull(points: Iterable[Point]) -> Polygon:
    """The convex hull, against the clock (Andrew's monotone chain)."""
    ordered = sorted(set(points))
    if len(ordered) < 3:
        return tuple(ordered)
    return (*_half(ordered)[:-1], *_half(ordered[::-1])[:-1])


def thinned(outline: Polygon, least: float) -> Polygon:
    """An outline without the corners that are nearer than `least` to the one before."""
    kept = [outline[0]]
    for x, y in outline[1:]:
        if (x - kept[-1][0]) ** 2 + (y - kept[-1][1]) ** 2 >= least**2:
            kept.append((x, y))
    return tuple(kept) if len(kept) > 2 else outline


def _half(ordered: Sequence[Point]) -> list[Point]:
    kept: list[Point] = []
    for point in ordered:
        while len(kept) > 1 and _turn(kept[-2], kept[-1], point) <= 0:
            kept.pop()
        kept.append(point)
    return kept


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
