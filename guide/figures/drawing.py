"""A figure as shapes, from the farthest to the nearest: the floor, props, and the parts of the body."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum

from guide.figures.claims import SURFACES, WALL, Rests
from guide.figures.description import claims
from guide.figures.figure import Figure
from guide.figures.flesh import Round, parts
from guide.figures.kinematics import Body, Vector
from guide.figures.outline import Polygon, flat, row_outlines
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


#: A limb is far when it lies so much farther away than the trunk.
_FAR = 0.03


def draw(figure: Figure) -> Drawing:
    """The picture of a figure, from where its description says."""
    view = VIEWS[figure.description.see or "side"]
    body = figure.body
    solids = [*_body_solids(body, view), *_prop_solids(figure, body, view)]
    shapes = tuple(shape for _, shape in sorted(solids, key=lambda solid: solid[0]))
    corners = [point for shape in shapes for outline in shape.outlines for point in outline]
    left, right = min(x for x, _ in corners), max(x for x, _ in corners)
    if view.above < 60:
        shapes = (_floor(body, view, left, right), *shapes)
    corners = [point for shape in shapes for outline in shape.outlines for point in outline]
    xs, ys = zip(*corners, strict=True)
    return Drawing(shapes, (min(xs), min(ys), max(xs), max(ys)))


def _body_solids(body: Body, view: FigureView) -> Iterator[tuple[float, Shape]]:
    found = parts(body)
    # What counts is how near a part is in the plane, unless it is looked at from straight above.
    level = view if view.above > 60 else FigureView(view.around)
    nearness = {part.name: level.seen(part.middle)[2] for part in found}
    trunk = nearness["trunk"]
    for part in found:
        near = nearness[part.name]
        far = part.name not in ("trunk", "head") and near < trunk - _FAR
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
            on.setdefault(claim.surface, []).extend(body.points[name] for name, _ in claim.place.points)
    for surface, points in on.items():
        for boxes in _prop(surface, points, figure.wall):
            middle = boxes[0][0]
            nearness = view.seen(middle)[2] - (0.3 if surface != WALL else 0.6)
            yield nearness, Shape(Tone.PROP, tuple(flat(_corners(box), view) for box in boxes))


Box = tuple[Vector, Vector]


def _corners(box: Box) -> list[Vector]:
    (a, b, c), (d, e, f) = box
    return [(x, y, z) for x in (a, d) for y in (b, e) for z in (c, f)]


def _prop(surface: str, points: Sequence[Vector], wall: float) -> Iterator[tuple[Box, ...]]:
    xs, ys = [point[0] for point in points], [point[1] for point in points]
    if surface == WALL:
        top = max(point[2] for point in points) + 0.15
        yield (((wall, min(ys) - 0.15, 0.0), (wall + 0.03, max(ys) + 0.15, top)),)
    elif surface == "chair":
        yield _chair(sum(xs) / len(xs), sum(ys) / len(ys))
    else:
        high = SURFACES[surface]
        for x, y in _apart(points) if "block" in surface else [(None, None)]:
            if x is None or y is None:
                yield (((min(xs) - 0.07, min(ys) - 0.09, 0.0), (max(xs) + 0.07, max(ys) + 0.09, high)),)
            else:
                yield (((x - 0.035, y - 0.05, 0.0), (x + 0.035, y + 0.05, high)),)


def _apart(points: Sequence[Vector]) -> list[tuple[float, float]]:
    """Where a block is needed: one for all points that lie together."""
    found: list[tuple[float, float]] = []
    for x, y, _ in points:
        if all((x - a) ** 2 + (y - b) ** 2 > 0.12**2 for a, b in found):
            found.append((x, y))
    return found


def _chair(x: float, y: float) -> tuple[Box, ...]:
    seat = SURFACES["chair"]
    front, back, side = x + 0.12, x - 0.13, 0.125
    legs = [
        ((at, y + out - 0.011, 0.0), (at + 0.022, y + out + 0.011, seat - 0.01))
        for at in (back, front - 0.022)
        for out in (-side + 0.011, side - 0.011)
    ]
    return (
        ((back, y - side, seat - 0.025), (front, y + side, seat)),
        ((back - 0.015, y - side, seat), (back + 0.01, y + side, seat + 0.25)),
        *legs,
    )
