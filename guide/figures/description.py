"""A pose as a teacher describes it, read into claims: a few lines of `part: what is so of it`.

- `right knee: 90` is bent by so many degrees; any joint of the skeleton may be named so. `back bend`, `back side` and
  `back turn` are shared out over the spine. `straight` is 0.
- `right thigh: forward down` points there: words for directions, added up (`out` and `in` are by its side).
- `hips`, `chest`, `face`, `right palm`, `right kneecap`, `right sole` face there instead.
- `feet: on floor` touches it; so do `on block`, `on wall`, `on left thigh`, `on each other`.
- `shoulders: over wrists`, `hips: level with knees`, `feet: apart 0.5` (in heights of the body).

- `start` is how the body lies at first (`face down`), `see` where it is seen from, `wide` which joints go further than
  is usual.

More than one claim stands with commas between. `like` takes the lines of another pose; a line with the same part goes
before its line, and `free` drops it.
"""

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field

from guide.figures.claims import (
    CUSHIONS,
    SURFACES,
    WALL,
    Apart,
    Bend,
    Claim,
    Faces,
    LevelWith,
    Over,
    Points,
    Rests,
    Touches,
)
from guide.figures.kinematics import STARTS, Vector
from guide.figures.named_parts import (
    LIMB_FACINGS,
    LIMB_PLACES,
    LIMB_SEGMENTS,
    MID_FACINGS,
    MID_PLACES,
    MID_SEGMENTS,
    Contact,
    sides_of,
)
from guide.figures.skeleton import JOINTS, SIDES
from guide.figures.views import VIEWS
from guide.problem import Place

DIRECTIONS: Mapping[str, Vector] = {
    "up": (0.0, 0.0, 1.0),
    "down": (0.0, 0.0, -1.0),
    "forward": (1.0, 0.0, 0.0),
    "back": (-1.0, 0.0, 0.0),
    "left": (0.0, 1.0, 0.0),
    "right": (0.0, -1.0, 0.0),
}
_SIDEWAYS = {"left": {"out": "left", "in": "right"}, "right": {"out": "right", "in": "left"}}

#: How a bend of the whole back is shared out over its parts.
_BACK = {
    "bend": (("lower back", 0.45), ("middle back", 0.3), ("upper back", 0.25)),
    "side": (("lower back", 0.34), ("middle back", 0.33), ("upper back", 0.33)),
    "turn": (("lower back", 0.18), ("middle back", 0.4), ("upper back", 0.42)),
}
_NUMBER = re.compile(r"-?\d+(?:\.\d+)?")

_SURFACES = (*SURFACES, WALL, CUSHIONS)

#: The keys that say nothing of a part of the body.
_SETTINGS = ("start", "see", "like", "wide")


class NotAClaim(ValueError):
    """What a line cannot mean, with what to write instead."""

    def __init__(self, what: str, fix: str) -> None:
        super().__init__(what)
        self.what, self.fix = what, fix


@dataclass(frozen=True, slots=True)
class Description:
    """How a body lies before it moves, where it is seen from, which joints go further than usual, and the lines.

    `lines` are its own alone: what it takes over from `like` is found by `whole`.
    """

    lines: tuple[tuple[str, str], ...] = ()
    start: str = ""
    see: str = ""
    like: str = ""
    wide: tuple[str, ...] = ()
    place: Place | None = field(default=None, compare=False)


def described(lines: Mapping[str, str], place: Place | None = None) -> Description:
    """The description that these lines are.

    Raises:
        NotAClaim: for the first line that means nothing.
    """
    own = {key: value for key, value in lines.items() if key not in _SETTINGS}
    start, see = lines.get("start", ""), lines.get("see", "")
    if start and start not in STARTS:
        raise NotAClaim(f"no body lies `{start}`", f"write one of these: {', '.join(STARTS)}")
    if see and see not in VIEWS:
        raise NotAClaim(f"a figure is not seen from `{see}`", f"write one of these: {', '.join(VIEWS)}")
    for key, value in own.items():
        tuple(claims_of(key, value))
    wide = tuple(word.strip() for word in lines.get("wide", "").split(",") if word.strip())
    for word in wide:
        if not any(word in joint for joint in JOINTS):
            raise NotAClaim(f"no joint is called `{word}`", "write part of the name of a joint: `hip out`, `back`")
    return Description(tuple(own.items()), start, see, lines.get("like", ""), wide, place)


def whole(name: str, find: Callable[[str], Description | None]) -> Description:
    """A description with everything that it takes over from those that it is like.

    Raises:
        NotAClaim: a pose is not there or has no figure, or the poses are like each other in a circle.
    """
    chain: list[Description] = []
    seen: list[str] = []
    while name:
        if name in seen:
            raise NotAClaim(f"the figures are like each other in a circle: {', '.join([*seen, name])}", "end it")
        seen.append(name)
        found = find(name)
        if found is None:
            raise NotAClaim(f"`{name}` has no figure to be like", "name a pose that has one")
        chain.append(found)
        name = found.like
    lines: dict[str, str] = {}
    for each in reversed(chain):
        lines |= dict(each.lines)
    kept = tuple((key, value) for key, value in lines.items() if value != "free")
    start = next((each.start for each in chain if each.start), "upright")
    see = next((each.see for each in chain if each.see), "side")
    wide = dict.fromkeys(word for each in chain for word in each.wide)
    return Description(kept, start, see, "", tuple(wide), chain[0].place)


def claims(description: Description) -> tuple[Claim, ...]:
    """Everything that a whole description claims."""
    return tuple(claim for key, value in description.lines for claim in claims_of(key, value))


def one_sided(description: Description) -> bool:
    """Whether left and right differ."""
    written = " ".join(f"{key} {value}" for key, value in description.lines) + " " + description.start
    return bool(re.search(r"\b(left|right)\b", written))


def claims_of(key: str, value: str) -> Iterator[Claim]:
    """What one line claims.

    Raises:
        NotAClaim: the part or what is said of it is unknown.
    """
    if value == "free":
        return
    for part in key.split(" and "):
        for words in (each.strip() for each in value.split(",")):
            yield from _claims(part, words)


def _claims(part: str, words: str) -> Iterator[Claim]:
    text = f"{part}: {words}"
    if words == "straight" or _NUMBER.fullmatch(words):
        yield from _bends(part, 0.0 if words == "straight" else float(words), text)
    elif words.startswith("on "):
        yield from _contacts(part, words.removeprefix("on "), text)
    elif words.startswith(("over ", "level with ", "under ")):
        kind = LevelWith if words.startswith("level") else Over
        other = words.split(" ", 2 if kind is LevelWith else 1)[-1]
        for one, two in _pairs(part, other):
            yield kind(text, one, two)
    elif words.startswith("apart "):
        one, two = (_places(f"{side} {sides_of(part)[0]}")[0].points[0][0] for side in SIDES)
        yield Apart(text, one, two, _number(words.removeprefix("apart ")))
    else:
        yield from _directions(part, words, text)


def _number(word: str) -> float:
    if not _NUMBER.fullmatch(word):
        raise NotAClaim(f"`{word}` is no number", "write a number: `0.5`")
    return float(word)


def _bends(part: str, degrees: float, text: str) -> Iterator[Claim]:
    if part.startswith("back ") and part.removeprefix("back ") in _BACK:
        turn = part.removeprefix("back ")
        for name, share in _BACK[turn]:
            yield Bend(text, f"{name} {turn}", share * degrees)
        return
    name, sides = sides_of(part)
    named = {"leg": "knee", "arm": "elbow"}.get(name, name)
    single = [joint for joint in (part, f"{part} bend") if joint in JOINTS]
    found = single or [
        joint for side in sides or SIDES for joint in (f"{side} {named}", f"{side} {named} bend") if joint in JOINTS
    ]
    if not found:
        raise NotAClaim(f"`{part}` is no joint that bends", "write a joint: `right knee: 90`, `back bend: 40`")
    for joint in found:
        yield Bend(text, joint, degrees)


def _contacts(part: str, other: str, text: str) -> Iterator[Claim]:
    if other in _SURFACES:
        for place in _places(part):
            yield Rests(text, place, other)
        return
    name, sides = sides_of(part)
    if other == "each other" and len(sides) == 2:
        one, two = (_places(f"{side} {name}")[0] for side in SIDES)
        yield Touches(text, one, two)
        return
    ones, others = _places(part), _places(other)
    if len(ones) < len(others) and len(sides_of(other)[1]) != 2:
        others = others[:1]
    for number, one in enumerate(ones):
        yield Touches(text, one, _beside(one, others[min(number, len(others) - 1)]))


def _beside(one: Contact, other: Contact) -> Contact:
    """Of a place in the middle that has two sides, the points that are on the side of what touches it."""
    side = one.points[0][0].split(" ")[0]
    near = tuple(point for point in other.points if point[0].startswith(f"{side} "))
    return Contact(near, other.flat) if near else other


def _pairs(part: str, other: str) -> Iterator[tuple[str, str]]:
    ones, others = _places(part), _places(other)
    for number, one in enumerate(ones):
        yield one.points[0][0], others[min(number, len(others) - 1)].points[0][0]


def _places(word: str) -> list[Contact]:
    """The places that a word means."""
    if word in MID_PLACES:
        return [MID_PLACES[word]]
    name, sides = sides_of(word)
    if name not in LIMB_PLACES or not sides:
        raise NotAClaim(
            f"nothing touches with `{word}`",
            f"write a surface ({', '.join(_SURFACES)}) or a part of the body: `left thigh`, `hands`, `seat`",
        )
    place = LIMB_PLACES[name]
    return [
        Contact(
            tuple((f"{side} {point}", skin) for point, skin in place.points),
            f"{side} {place.flat}" if place.flat else "",
        )
        for side in sides
    ]


def _directions(part: str, words: str, text: str) -> Iterator[Claim]:
    if part in MID_SEGMENTS:
        yield Points(text, *MID_SEGMENTS[part], _direction(words, "", text))
    elif part in MID_FACINGS:
        yield Faces(text, MID_FACINGS[part], "front", _direction(words, "", text))
    else:
        name, sides = sides_of(part)
        if not sides or (name not in LIMB_SEGMENTS and name not in LIMB_FACINGS):
            raise NotAClaim(f"`{part}` is no part of the body that points anywhere", "write `right thigh`, `trunk`, …")
        for side in sides:
            towards = _direction(words, side, text)
            if name in LIMB_SEGMENTS:
                start, end = LIMB_SEGMENTS[name]
                yield Points(text, f"{side} {start}", f"{side} {end}", towards)
            else:
                face = name if name in ("palm", "sole") else "front"
                yield Faces(text, f"{side} {LIMB_FACINGS[name]}", face, towards)


def _direction(words: str, side: str, text: str) -> Vector:
    """The sum of the directions that are named, at length 1."""
    x = y = z = 0.0
    for word in words.split():
        named = _SIDEWAYS.get(side, {}).get(word, word)
        if named not in DIRECTIONS:
            raise NotAClaim(
                f"`{text}` says nothing that a body can do", f"directions are {', '.join(DIRECTIONS)}, out, in"
            )
        a, b, c = DIRECTIONS[named]
        x, y, z = x + a, y + b, z + c
    length = (x * x + y * y + z * z) ** 0.5
    if length == 0.0:
        raise NotAClaim(f"the directions of `{text}` cancel each other", "leave one out")
    return x / length, y / length, z / length
