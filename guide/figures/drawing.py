"""A figure as shapes, from the farthest to the nearest: the floor, props, and the parts of the body."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import Enum

from guide.figures.claims import CUSHIONS, SURFACES, WALL, Rests
from guide.figures.description import claims
from guide.figures.figure import Figure
from guide.figures.flesh import Round, parts
from guide.figures.kinematics import Body, Vector
from guide.figures.outline import Polygon, flat, row_outlines, thinned
from guide.figures.views import VIEWS, FigureView


class Tone(Enum):
    """What a shape is, by which it has its colour."""

    FLOOR = "floor"
    PROP = "prop"
    FAR = "far"
    BODY = "body"
    JOINED = "joined"


@dataclass(frozen=True, slots=True)
class Shape:
    """One solid: polygons that are filled together (nonzero), in heights of the body, y up."""

    tone: Tone
    outlines: tuple[Polygon, ...]


@dataclass(frozen=True, slots=True)
class Drawing:
    """Shapes in the order in which they are painted, and what they take: left, bottom, right, top."""

    shapes: tuple[Shape, ...]
    box: tuple[float, float, float, float]


#: A limb is far when it lies so much farther away than the trunk; seen from above, what lies flat is all near.
_FAR, _FAR_BELOW = 0.03, 0.12

#: Corners of a small drawing lie so far apart, in heights of the body.
_SMALL = 0.009


def draw(figure: Figure) -> Drawing:
    """The picture of a figure, from where its description says."""
    view = VIEWS[figure.description.see or "side"]
    body = figure.body
    solids = [*_body_solids(body, view), *_prop_solids(figure, body, view)]
    shapes = tuple(shape for _, shape in sorted(solids, key=lambda solid: solid[0]))
    corners = [point for shape in shapes for outline in shape.outlines for point in outline]
    left, right = min(x for x, _ in corners), max(x for x, _ in corners)
    shapes = (_floor(body, view, left, right), *shapes)
    corners = [point for shape in shapes for outline in shape.outlines for point in outline]
    xs, ys = zip(*corners, strict=True)
    return Drawing(shapes, (min(xs), min(ys), max(xs), max(ys)))


def small(drawing: Drawing) -> Drawing:
    """A drawing with fewer corners, none of which is missed where a body is no higher than a hand is broad."""
    shapes = tuple(
        replace(shape, outlines=tuple(thinned(outline, _SMALL) for outline in shape.outlines))
        for shape in drawing.shapes
    )
    return replace(drawing, shapes=shapes)


def _body_solids(body: Body, view: FigureView) -> Iterator[tuple[float, Shape]]:
    found = parts(body)
    # What counts is how near a part is in the plane, unless it is looked at from straight above.
    level, far_away = (view, _FAR_BELOW) if view.above > 60 else (FigureView(view.around), _FAR)
    nearness = {part.name: level.seen(part.middle)[2] for part in found}
    trunk = nearness["trunk"]
    for part in found:
        near = nearness[part.name]
        far = part.name not in ("trunk", "head") and near < trunk - far_away
        yield near, Shape(Tone.FAR if far else Tone.BODY, _outlines(part.rows, view))
        if part.joined and not far:
            yield max(near, trunk) + 1e-6, Shape(Tone.JOINED, _outlines(part.joined, view))


def _outlines(rows: tuple[tuple[Round, ...], ...], view: FigureView) -> tuple[Polygon, ...]:
    return tuple(each for row in rows for each in row_outlines(row, view))


def _floor(body: Body, view: FigureView, left: float, right: float) -> Shape:
    """A line to stand on; seen from above, a strip that reaches under the whole body."""
    if view.above < 5:
        return Shape(
            Tone.FLOOR, (((left - 0.06, -0.012), (right + 0.06, -0.012), (right + 0.06, 0.0), (left - 0.06, 0.0)),)
        )
    xs, ys = zip(*((x, y) for x, y, _ in body.points.values()), strict=True)
    room = 0.07
    corners = [(x, y, 0.0) for x in (min(xs) - room, max(xs) + room) for y in (min(ys) - room, max(ys) + room)]
    return Shape(Tone.FLOOR, (flat(corners, view),))


def _prop_solids(figure: Figure, body: Body, view: FigureView) -> Iterator[tuple[float, Shape]]:
    """A solid for each thing that the body rests on."""
    on: dict[str, list[Vector]] = {}
    for claim in claims(figure.description):
        if isinstance(claim, Rests) and claim.surface != "floor":
            places = [(body.points[name], skin) for name, skin in claim.place.points]
            on.setdefault(claim.surface, []).extend((x, y, z - skin) for (x, y, z), skin in places)
    for surface, points in on.items():
        for solid in _prop(surface, points, figure.wall, body.points["pelvis"][0]):
            nearness = view.seen(solid[0][0])[2] - (0.3 if surface != WALL else 0.6)
            yield nearness, Shape(Tone.PROP, tuple(flat(corners, view) for corners in solid))


#: The corners of a solid without dents, and solids that are one thing.
Corners = list[Vector]
Solid = tuple[Corners, ...]


def _box(one: Vector, other: Vector) -> Corners:
    return [(x, y, z) for x in (one[0], other[0]) for y in (one[1], other[1]) for z in (one[2], other[2])]


def _prop(surface: str, points: Sequence[Vector], wall: float, pelvis: float) -> Iterator[Solid]:
    xs, ys = [point[0] for point in points], [point[1] for point in points]
    x, y = sum(xs) / len(xs), sum(ys) / len(ys)
    if surface == WALL:
        top = max(point[2] for point in points) + 0.15
        yield (_box((wall, min(ys) - 0.15, 0.0), (wall + 0.03, max(ys) + 0.15, top)),)
    elif surface == "chair":
        # Who does not sit on it has its seat before her, and its back beyond.
        yield _chair(x, y, -1.0 if pelvis < x - 0.15 else 1.0)
    elif surface == "table":
        yield _with_legs((x - 0.12, y - 0.22), (x + 0.2, y + 0.22), SURFACES[surface])
    elif surface == CUSHIONS:
        yield (
            [
                (a + b, c + d, e)
                for a, c, high in points
                for b in (-0.04, 0.04)
                for d in (-0.05, 0.05)
                for e in (0.0, high)
            ],
        )
    elif "block" in surface:
        for a, b in _apart(points):
            yield (_box((a - 0.035, b - 0.05, 0.0), (a + 0.035, b + 0.05, SURFACES[surface])),)
    else:
        yield (_box((min(xs) - 0.07, min(ys) - 0.09, 0.0), (max(xs) + 0.07, max(ys) + 0.09, SURFACES[surface])),)


def _apart(points: Sequence[Vector]) -> list[tuple[float, float]]:
    """Where a block is needed: one for all points that lie together."""
    found: list[tuple[float, float]] = []
    for x, y, _ in points:
        if all((x - a) ** 2 + (y - b) ** 2 > 0.12**2 for a, b in found):
            found.append((x, y))
    return found


def _chair(x: float, y: float, faces: float) -> Solid:
    """A chair round a point of its seat, which faces ahead (1) or back (-1)."""
    seat, side = SURFACES["chair"], 0.125
    front, back = x + 0.12 * faces, x - 0.13 * faces
    rest = _box((back - 0.015 * faces, y - side, seat), (back + 0.01 * faces, y + side, seat + 0.25))
    low, high = sorted((front, back))
    return (*_with_legs((low, y - side), (high, y + side), seat), rest)


def _with_legs(low: tuple[float, float], high: tuple[float, float], top: float) -> Solid:
    """A board on four legs, between two of its corners."""
    thick = 0.022
    legs = [
        _box((x, y, 0.0), (x + thick, y + thick, top - 0.01))
        for x in (low[0], high[0] - thick)
        for y in (low[1], high[1] - thick)
    ]
    return (_box((*low, top - 0.025), (*high, top)), *legs)
