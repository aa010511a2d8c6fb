"""The body that does what a description claims: least squares over the turns of its joints, within their limits."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import cos, degrees, radians, sin
from typing import Any

from guide.figures import checks
from guide.figures.claims import Bend, BodyState, Claim
from guide.figures.description import Description, claims, one_sided
from guide.figures.figure import Figure, limits, shortfalls
from guide.figures.kinematics import STARTS, Body, centre_of_mass, placed
from guide.figures.least_squares import least_squares
from guide.figures.skeleton import JOINTS, ROOT

#: How strongly a joint stays where it rests, when nothing is said of it.
_REST = 0.04
_RESTS = {"shoulder blade": 0.12, "ankle tilt": 0.12, "back side": 0.06, "back turn": 0.06, "toes": 0.08, "body": 0.002}
_TRIES = 16
#: How limbs begin, in degrees: as they rest, arms ahead, kneeling, folded up. From one alone not every body is found.
_AHEAD = {"shoulder plane": 80.0, "shoulder raise": 90.0}
_KNEELING = {"hip bend": 10.0, "knee bend": 95.0, "ankle bend": -60.0}
_FOLDED = {"hip bend": 100.0, "knee bend": 150.0, "ankle bend": -60.0}
_BEGINNINGS: tuple[Mapping[str, float], ...] = ({}, _AHEAD, _KNEELING, _FOLDED, _KNEELING | _AHEAD, _FOLDED | _AHEAD)
_ROUNDS = 70
_STEP = 1e-6

#: How much it weighs to be under the floor, inside another part, or out of balance.
_UNDER, _INSIDE, _FALLS = 30.0, 12.0, 25.0


@dataclass(frozen=True, slots=True)
class _Unknowns:
    """What the solver may change: names with the least, the most and the start of each, in radians or heights."""

    names: tuple[str, ...]
    least: Any
    most: Any
    start: Any
    mirrored: bool


@dataclass(frozen=True, slots=True)
class _Task:
    """What is to be solved: claims, what carries the body, and how strongly each other joint stays where it rests."""

    unknowns: _Unknowns
    start: str
    wanted: tuple[Claim, ...]
    carried_by: tuple[str, ...]
    rests: tuple[tuple[str, float], ...]


def solve(description: Description, like: Figure | None = None) -> Figure:
    """The body that does what a whole description says. What is short of it, `shortfalls` tells.

    It is looked for first where the body of the pose is that it is `like`.
    """
    near = like.angles if like and like.description.start == description.start else {}
    task = _task(description)
    unknowns = task.unknowns
    best: Figure | None = None
    for start in _starts(unknowns, near):
        found = least_squares(
            lambda values: _one(values, task),
            lambda values: _slopes(values, task),
            start,
            unknowns.least,
            unknowns.most,
            _ROUNDS,
        )
        angles = _angles(found, unknowns)
        figure = Figure(
            description, {name: round(value, 3) for name, value in angles.items()}, round(angles["wall"], 4)
        )
        short = _sum(figure)
        if best is None or short < _sum(best) - 1e-9:
            best = figure
        if short == 0.0:
            break
    assert best is not None
    return best


def _task(description: Description) -> _Task:
    unknowns = _unknowns(description)
    wanted = claims(description)
    said = {claim.joint for claim in wanted if isinstance(claim, Bend)}
    rests = tuple((name, _firmness(name)) for name in unknowns.names if name in JOINTS and name not in said)
    return _Task(unknowns, description.start, wanted, checks.supports(wanted), rests)


def _firmness(name: str) -> float:
    return next((each for part, each in _RESTS.items() if part in name), _REST)


def _slopes(values: Any, task: _Task) -> Any:
    """How much more is missing for each value that grows: from one body for each turn moved a little, all at once."""
    import numpy as np

    many = values[:, None] + _STEP * np.eye(len(values), len(values) + 1)
    found = _many(many, task)
    return (found[:, :-1] - found[:, -1:]) / _STEP


def _sum(figure: Figure) -> float:
    return sum(short.times for short in shortfalls(figure))


def _unknowns(description: Description) -> _Unknowns:
    import numpy as np

    mirrored = not one_sided(description)
    within = limits(description)
    names = [name for name in JOINTS if not mirrored or not _sideways(name)]
    least = [radians(within[name][0]) for name in names]
    most = [radians(within[name][1]) for name in names]
    begin = [
        min(max(radians(JOINTS[name].rest), low + 1e-4), high - 1e-4)
        for name, low, high in zip(names, least, most, strict=True)
    ]
    height = 0.5 if description.start in ("upright", "turned right") else 0.12
    where = zip(ROOT, (0.0, 0.0, height), strict=True)
    roots = [(name, value) for name, value in where if not mirrored or name != "to the left"]
    return _Unknowns(
        (*names, *(name for name, _ in roots), "wall"),
        np.array([*least, *(-2.0 for _ in roots), -2.0]),
        np.array([*most, *(2.0 for _ in roots), 2.0]),
        np.array([*begin, *(value for _, value in roots), 0.5]),
        mirrored,
    )


def _sideways(name: str) -> bool:
    """Whether a body whose sides are alike has no use for this turn: the right side's, and those to a side."""
    mid = not name.startswith(("left ", "right "))
    return name.startswith("right ") or (mid and name.endswith((" side", " turn", " roll", " yaw")))


def _starts(unknowns: _Unknowns, near: Mapping[str, float]) -> list[Any]:
    import numpy as np

    chance = np.random.default_rng(16)
    starts = []
    for limbs in _BEGINNINGS:
        bent = unknowns.start.copy()
        for number, name in enumerate(unknowns.names):
            bent[number] = radians(limbs[turn]) if (turn := name.split(" ", 1)[-1]) in limbs else bent[number]
        starts.append(bent)
    if near:
        turned = [near.get(name, 0.5) * (radians(1) if name in JOINTS else 1.0) for name in unknowns.names]
        starts.insert(0, np.array(turned))
    while len(starts) < _TRIES:
        starts.append(starts[len(starts) % len(_BEGINNINGS)] + chance.normal(0.0, 0.35, len(unknowns.start)))
    return [np.clip(start, unknowns.least + 1e-4, unknowns.most - 1e-4) for start in starts]


def _angles(values: Any, unknowns: _Unknowns) -> dict[str, float]:
    """The whole body's turns in degrees, its place and the wall's, of the unknowns."""
    found: dict[str, float] = {}
    for name, value in zip(unknowns.names, values, strict=True):
        found[name] = value if name in (*ROOT, "wall") else value * degrees(1)
    if unknowns.mirrored:
        found |= {name.replace("left ", "right "): value for name, value in found.items() if name.startswith("left ")}
    zero = 0.0 * values[0]
    return {name: found.get(name, zero) for name in (*JOINTS, *ROOT, "wall")}


def _rest(name: str, angles: Mapping[str, Any]) -> Any:
    """Where a joint rests. A shoulder blade goes up with its arm, by a quarter of what that is raised above 60°."""
    if name.endswith("shoulder blade lift"):
        return 0.25 * checks.positive(angles[name.replace("blade lift", "raise")] - 60.0)
    return JOINTS[name].rest


def _one(values: Any, task: _Task) -> Any:
    """What is missing in one body; plain numbers are quicker for one."""
    import numpy as np

    unknowns = task.unknowns
    angles = _angles([float(value) for value in values], unknowns)
    turns = {name: (sin(radians(angles[name])), cos(radians(angles[name]))) for name in JOINTS}
    state = _state(angles, turns, task)
    inside = [_INSIDE * each for each in checks.overlaps(state.body)]
    outside = [_FALLS * each for each in checks.off_balance(state.body, task.carried_by)]
    return np.array([*_rows(state, task), *inside, *outside])


def _many(values: Any, task: _Task) -> Any:
    """What is missing in each of many bodies, a column each."""
    import numpy as np

    angles = _angles(values, task.unknowns)
    turns = {name: (np.sin(np.radians(angles[name])), np.cos(np.radians(angles[name]))) for name in JOINTS}
    state = _state(angles, turns, task)
    rows = list(_rows(state, task))
    found = np.empty((len(rows), values.shape[1]))
    for number, row in enumerate(rows):
        found[number] = row
    return np.vstack([found, _INSIDE * _overlaps(state.body), _FALLS * _off_balance(state.body, task.carried_by)])


def _state(angles: Mapping[str, Any], turns: Mapping[str, tuple[Any, Any]], task: _Task) -> BodyState:
    root = (angles["ahead"], angles["to the left"], angles["height"])
    return BodyState(placed(root, turns, STARTS[task.start]), angles, angles["wall"])


def _rows(state: BodyState, task: _Task) -> Iterator[Any]:
    for claim in task.wanted:
        for each in claim.missing(state):
            yield claim.weight * each
    for each in checks.under_floor(state.body):
        yield _UNDER * each
    if task.unknowns.mirrored:
        # Legs that are alike do not cross.
        for name in ("left knee", "left ankle", "left heel", "left ball"):
            yield _INSIDE * checks.positive(0.01 - state.body.points[name][1])
    for name, strength in task.rests:
        yield radians(strength) * (state.angles[name] - _rest(name, state.angles))
    yield 0.02 * state.angles["ahead"]
    yield 0.02 * state.angles["to the left"]
    yield 0.001 * (state.angles["wall"] - 0.5)


def _overlaps(body: Body) -> Any:
    """What `checks.overlaps` says, of all pairs at once."""
    import numpy as np

    names = {name: number for number, name in enumerate({name for pair in checks.PAIRS for name, _ in pair})}
    at = np.array([body.points[name] for name in names])
    one = at[[names[pair[0][0]] for pair in checks.PAIRS]]
    other = at[[names[pair[1][0]] for pair in checks.PAIRS]]
    close = np.array([[checks.SOFT * (pair[0][1] + pair[1][1])] for pair in checks.PAIRS])
    return np.maximum(close - np.sqrt(((one - other) ** 2).sum(axis=1) + 1e-9), 0.0)


def _off_balance(body: Body, carried_by: Sequence[str]) -> Any:
    """What `checks.off_balance` says, in all directions at once."""
    import numpy as np

    weight = centre_of_mass(body)
    if not carried_by:
        return np.empty((0, *np.shape(weight[0])))
    ways = np.array(checks.WAYS)
    reach = np.max(np.tensordot(ways, np.array([body.points[name][:2] for name in carried_by]), (1, 1)), axis=1)
    return np.maximum(ways @ np.array(weight[:2]) - reach - checks.BROAD, 0.0)
