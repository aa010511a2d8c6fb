"""Which side has which role in the poses that have sides.

`+` before a role: the side that the pose is named for has it; `-`: the other. The sides are those of the pose library:
the leg in front, the leg that is lifted, the side turned to or leaned to. Where teachers themselves are of two minds
(is tree "on the right" the right leg lifted or the right leg standing?), the pose is *loose*: its words must agree with
each other, and may mean either side.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from guide.plan.advice.sides.patterns import readings
from guide.plan.advice.sides.words import sentences
from guide.sequence.poses.pose import Pose
from guide.sequence.steps import Side
from guide.sequence.wording import put_side

#: Roles that mean the same in any pose, with what they are to each other in one sentence: who leans to the right
#: reaches the left arm over, who stands on the right leg lifts the left.
COMMON = {"lean way": "+", "arm over": "-", "weight": "+"}

_LUNGE = "+front"
_WARRIOR = "+front +warrior"
_BALANCE = "+lifted"
_BALANCE_IN_FRONT = "-lifted"
_TWIST = "+turned"

_FIRM = {
    "warrior one": _WARRIOR,
    "warrior two": f"{_WARRIOR} +gaze over hand",
    "reverse warrior": f"{_WARRIOR} +high hand +long ribs",
    "humble warrior": f"{_WARRIOR} +over front",
    "high lunge": _WARRIOR,
    "twisting high lunge": f"{_WARRIOR} +turned +elbow across",
    "extended side angle": f"{_WARRIOR} +low hand +over front",
    "revolved side angle": f"{_WARRIOR} +turned +elbow across",
    "low lunge": f"{_LUNGE} +low lunge",
    "equestrian lunge": f"{_LUNGE} +low lunge",
    "twisting low lunge": f"{_LUNGE} +low lunge +turned -low hand",
    "lizard": f"{_LUNGE} +low lunge +foot out",
    "half split": f"{_LUNGE} +straight front",
    "front splits": f"{_LUNGE} +straight front",
    "triangle": f"{_LUNGE} +low hand +over front +feet",
    "revolved triangle": f"{_LUNGE} -low hand +turned",
    "pyramid": f"{_LUNGE} +over front",
    "pigeon": "+front +pigeon",
    "sleeping pigeon": "+front +pigeon +over front",
    "king pigeon": "+front -back knee",
    "seated twist": f"{_TWIST} +elbow across +hand across",
    "easy twist": f"{_TWIST} +elbow across +hand across",
    "half lord of the fishes": f"{_TWIST} +elbow across +hand across",
    "marichi's twist": f"{_TWIST} +elbow across +bent leg",
    "twisting chair": f"{_TWIST} +elbow across",
    "wide-legged twist": f"{_TWIST} -low hand",
    "standing side bend": "+leaned",
    "seated side bend": "+leaned",
    "kneeling side bend": "+leaned",
    "lying side bend": "+curved",
    "gate": "+leaned +gate leg",
    "side neck stretch": "+ear",
    "one knee to chest": "+hugged",
    "knees to chest": "+hugged",
    "half happy baby": "+drawn in",
    "side plank": "+low hand",
    "kneeling side plank": "+low hand",
    "wild thing": "+low hand",
    "side crow": "+turned",
    "eight-angle": "+hooked +knees",
    "thread the needle": "+slid under",
    "three-legged dog": "+leg up",
    "tiger": "+leg up",
    "half locust": "+leg up",
    "half bow": "+bow leg",
    "heron": "+leg up",
    "compass": "+compass",
    "reclining hand to big toe": "+leg up",
    "reclining figure four": "+laid over",
    "seated figure four": "+laid over",
    "half lotus": "+laid over",
    "head to knee": "+long leg",
    "revolved head to knee": "+long leg",
    "forearm stretch": "+stretched arm",
    "dead bug": "+sent away",
    "side-lying rest": "+lying on",
    "side-lying open book": "+lying on",
    "chair warrior one": "+warrior",
    "chair warrior two": "+warrior +gaze over hand",
    "chair side angle": "+low hand",
    "twist on a chair": _TWIST,
    "open seated twist": f"{_TWIST} +hand across",
    "bharadvaja's twist": f"{_TWIST} +hand across",
    "marichi's fold": "+bent leg",
    "noose": f"{_TWIST} +elbow across",
    "seated leg stretch": "+long leg",
    "half butterfly": "+long leg",
    "three-limbed forward fold": "+long leg",
    "reclining big toe to the side": "+leg up",
    "seated knee lift": "+lifted",
    "dragon": f"{_LUNGE} +low lunge",
    "swan": "+front +pigeon",
    "sleeping swan": "+front +pigeon",
    "side lunge": "+warrior",
    "bound side angle": "+warrior",
    "hurdler": _LUNGE,
}

#: Held firm only where a class does them on one side alone: what both passes agree on is how the teacher names them.
_LOOSE = {
    "tree": _BALANCE,
    "eagle": f"{_BALANCE} +eagle arms",
    "warrior three": _BALANCE_IN_FRONT,
    "half moon": _BALANCE_IN_FRONT,
    "revolved half moon": f"{_BALANCE_IN_FRONT} -low hand",
    "dancer": _BALANCE,
    "standing hand to big toe": _BALANCE,
    "standing knee hug": _BALANCE,
    "standing figure four": f"{_BALANCE} +laid over",
    "standing split": _BALANCE_IN_FRONT,
    "bird dog": "+leg back",
    "cow face": "+top leg",
    "firelog": "+top leg",
    "cow face arms": "+top arm",
    "sugarcane": _BALANCE_IN_FRONT,
    "half-bound standing fold": f"{_BALANCE} +laid over",
    "shoelace": "+top leg",
}

#: Named by the side of the knees, or by that of the gaze: their words must agree with each other, and no more.
_EITHER = {
    "lying twist": "+knees",
    "belly twist": "+knees",
    "twisted roots": "+knees",
    "eagle arms": "+eagle arms",
}


@dataclass(frozen=True, slots=True)
class Roles:
    """The roles of a pose, each with whether its side or the other has it; `firm` where its side is the only one that
    can be meant, `usual` where it is what the library means and most teachers."""

    sign: Mapping[str, str]
    firm: bool
    usual: bool = False

    def side_of_pose(self, role: str, side: Side) -> Side:
        """The side that the pose is done on, when `side` has the role."""
        return side if self.sign.get(role, "+") == "+" else side.other


def _parsed(text: str) -> dict[str, str]:
    """`+front -low hand` as signs by role."""
    parts = text.replace(" +", "|+").replace(" -", "|-").split("|")
    return {part[1:]: part[0] for part in parts}


@lru_cache(maxsize=1024)
def roles_of(name: str | None, said: tuple[str, ...]) -> Roles:
    """The roles of a pose by its name in the library; `said` are the library's words for it, which have the last word:
    where they mean the other side, or both, nothing is firm."""
    text = {**_FIRM, **_LOOSE, **_EITHER}.get(name or "")
    if text is None:
        return Roles({}, firm=False)
    roles = Roles(_parsed(text), firm=name in _FIRM, usual=name in _LOOSE)
    texts = [put_side(text, Side.RIGHT) for text in said]
    meant = {
        roles.side_of_pose(reading.role, reading.side)
        for text in texts
        for sentence in sentences(text)
        for reading in readings(sentence, tuple(roles.sign))
    }
    return roles if meant <= {Side.RIGHT} else Roles({}, firm=False)


def roles_in(pose: Pose | None) -> Roles:
    """The roles of a pose of the library; of one that it does not know, none."""
    return Roles({}, firm=False) if pose is None else roles_of(pose.name, (*pose.enter, *pose.say))
