"""Which limb has which fact in the poses that have sides.

`+` before a fact: the limb of the side that the pose is named for has it; `-`: the other has it. The sides are those of
the pose library, whose own words are read first: where they say "bend your <side> knee", that knee bends. The table
below adds what the library takes for granted, by kinds of pose. Where teachers themselves are of two minds (is tree "on
the right" the right leg lifted or the right leg standing?), the pose is *loose*: its words must agree with each other,
and may mean either side.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby

from guide.plan.advice.sides.patterns import ToldFact, told_facts
from guide.plan.advice.sides.words import Sentence, sentences
from guide.sequence.poses.pose import Pose
from guide.sequence.steps import Side
from guide.sequence.wording import put_side

#: Facts that mean the same in any pose, with what they are to each other in one sentence: who leans to the right
#: reaches the left arm over, who stands on the right leg lifts the left.
COMMON = {"lean way": "+", "arm over": "-", "weight": "+"}

#: Facts that words tell alike in every pose; the others mean something in the poses of the table alone.
_TOLD = (
    *("front", "straightened", "stacked", "out", "heel", "held", "holding", "flexed", "kneecap", "at the back"),
    *("ahead", "gaze", "ribs", "turned", "leaned", "hip down", "shoulder back", "shoulder down", "seat"),
)

_LUNGE = "+front +stacked +over +inside"
_LOW_LUNGE = f"{_LUNGE} -kneeling -hip stretched"
_SPLIT = "+front -kneeling +flexed +kneecap +hip back +over"
_PIGEON = "+front +flexed +seat +over -kneeling"
_WARRIOR = f"{_LUNGE} +bent -heel"
_WIDE = f"{_WARRIOR} +out"
_OPEN = "-raised -gaze up -at the back +over -shoulder back -ribs -turned"
_TURN = "+turned +raised -across +outside -ahead +shoulder back"
_SEATED_TURN = "+turned -across -ahead +outside +shoulder back"
_BEND = "+leaned -raised +pressing -ribs -hip down"
_HAND_DOWN = "-raised +pressing"
_STANDING = "-lifted"
_LONG = "-folded +leg out +straightened +over +held +flexed"
_LONG_LEG = f"{_LONG} +turned"
_LIFTED = "+lifted"
_ANKLE_UP = "+laid +flexed +out"

#: What is so in the poses of which one side alone can be meant.
_FIRM = {
    "warrior one": f"{_WARRIOR} +hip back",
    "warrior two": f"{_WIDE} +gaze +ahead",
    "reverse warrior": "+front +stacked +bent -heel +out +raised +ribs",
    "humble warrior": _WARRIOR,
    "high lunge": f"{_WARRIOR} -kneeling",
    "twisting high lunge": f"{_WARRIOR} -kneeling {_TURN}",
    "extended side angle": f"{_WIDE} {_OPEN} +outside +across",
    "revolved side angle": f"{_WARRIOR} {_TURN}",
    "low lunge": _LOW_LUNGE,
    "equestrian lunge": _LOW_LUNGE,
    "twisting low lunge": f"{_LOW_LUNGE} +turned +raised +at the back",
    "lizard": f"{_LOW_LUNGE} +hugged +out +foot out",
    "half split": _SPLIT,
    "front splits": f"{_SPLIT} +inside",
    "triangle": f"+front +out +held {_OPEN}",
    "revolved triangle": "+front +turned +raised +over -heel +hip back +at the back",
    "pyramid": "+front +over +hip back -heel",
    "pigeon": _PIGEON,
    "sleeping pigeon": _PIGEON,
    "king pigeon": "+front -bent -held -holding +seat",
    "seated twist": f"{_SEATED_TURN} +laid +drawn up",
    "easy twist": _SEATED_TURN,
    "half lord of the fishes": f"{_SEATED_TURN} +laid -folded +drawn up",
    "marichi's twist": f"{_SEATED_TURN} +drawn up +outside",
    "twisting chair": _TURN,
    "wide-legged twist": "+turned +raised +at the back",
    "standing side bend": _BEND,
    "seated side bend": _BEND,
    "kneeling side bend": _BEND,
    "lying side bend": "+swayed -ribs",
    "gate": f"{_BEND} -kneeling +kneecap +over +leg out",
    "side neck stretch": "+ear +leaned +raised -neck",
    "one knee to chest": "+hugged",
    "knees to chest": "+hugged",
    "half happy baby": "+hugged +held +sole up",
    "side plank": f"{_HAND_DOWN} +edge -top",
    "kneeling side plank": f"{_HAND_DOWN} +kneeling -lifted",
    "wild thing": f"{_HAND_DOWN} +front",
    "side crow": "+turned +propped -propping",
    "eight-angle": "+inside +propped +propping +feet +leaned",
    "thread the needle": "+under -pressing -at the back",
    "three-legged dog": f"{_LIFTED} -front +bends",
    "tiger": f"{_LIFTED} -front +bends +held -holding",
    "half locust": _LIFTED,
    "half bow": "+held +holding -ahead -pressing +bent",
    "heron": "+lifted +straightened +held -folded",
    "compass": "+inside +propped -holding +held",
    "reclining hand to big toe": "+held +lifted",
    "reclining figure four": f"{_ANKLE_UP} -clasped",
    "seated figure four": f"{_LIFTED} {_ANKLE_UP}",
    "half lotus": _ANKLE_UP,
    "head to knee": _LONG_LEG,
    "revolved head to knee": f"{_LONG} -turned +leaned -raised -hip down",
    "forearm stretch": "+stretched",
    "dead bug": "+sent -arm sent",
    "side-lying rest": "+lying on",
    "side-lying open book": "+lying on -raised",
    "chair warrior one": _WARRIOR,
    "chair warrior two": f"{_WIDE} +gaze +ahead",
    "chair side angle": f"{_WIDE} {_OPEN}",
    "twist on a chair": _SEATED_TURN,
    "open seated twist": "+turned -ahead",
    "bharadvaja's twist": f"{_SEATED_TURN} +seat -feet",
    "marichi's fold": "+drawn up +inside",
    "noose": _TURN,
    "seated leg stretch": "+flexed",
    "half butterfly": _LONG_LEG,
    "three-limbed fold": _LONG_LEG,
    "reclining big toe to the side": "+leg out +held +holding",
    "seated knee lift": _LIFTED,
    "dragon": _LOW_LUNGE,
    "swan": _PIGEON,
    "sleeping swan": _PIGEON,
    "side lunge": "+bent +stacked",
    "bound side angle": f"{_WIDE} +under",
    "hurdler": "+front +inside +propped +propping",
}

#: Held firm only where a class does them on one side alone: what both passes agree on is how the teacher names them.
_LOOSE = {
    "tree": f"{_LIFTED} +laid +out",
    "eagle": f"{_LIFTED} +laid +under",
    "warrior three": f"{_STANDING} +front",
    "half moon": f"{_STANDING} -heel -raised -turned -shoulder back -flexed",
    "revolved half moon": f"{_STANDING} +front +raised +turned +at the back",
    "dancer": f"{_LIFTED} +held +holding -ahead +bent",
    "standing hand to big toe": f"{_LIFTED} +held +holding +front +straightened",
    "standing knee hug": f"{_LIFTED} +hugged",
    "standing figure four": f"{_LIFTED} {_ANKLE_UP}",
    "standing split": f"{_STANDING} +front +held +over",
    "bird dog": "-front -ahead +lifted",
    "cow face": "+top",
    "firelog": "+top",
    "cow face arms": "+raised -under",
    "flying pigeon": _ANKLE_UP,
    "bird of paradise": _LIFTED,
    "ankle circles": _LIFTED,
    "deer": "+front",
    "sugarcane": f"{_STANDING} -bent -held -holding",
    "half-bound standing fold": f"{_LIFTED} +laid",
    "shoelace": "+top",
}

#: Named by the side of the knees, or by that of the gaze: their words must agree with each other, and no more.
_EITHER = {
    "lying twist": "+fallen -shoulder down",
    "belly twist": "+fallen -shoulder down",
    "twisted roots": "+fallen -shoulder down",
    "eagle arms": "+under",
}


@dataclass(frozen=True, slots=True)
class PoseFacts:
    """The facts of a pose, each with whether its side or the other has it; `firm` where its side is the only one that
    can be meant, `usual` where it is what the library means and most teachers."""

    sign: Mapping[str, str]
    firm: bool
    usual: bool = False

    def side_of_pose(self, fact: str, side: Side) -> Side:
        """The side that the pose is done on, when `side` has the fact."""
        return side if self.sign.get(fact, "+") == "+" else side.other

    def read(self, sentence: Sentence) -> Iterator[ToldFact]:
        """What a sentence says of each limb of the pose (that it is in front, if that is said too); of one that is
        said to be of both sides, nothing."""
        for _, group in groupby(told_facts(sentence, tuple(self.sign)), key=lambda each: each.mention):
            of_one = list(group)
            if len({self.side_of_pose(each.fact, each.side) for each in of_one}) == 1:
                yield min(of_one, key=lambda each: each.fact != "front")


NOTHING = PoseFacts({}, firm=False)


def _parsed(text: str) -> dict[str, str]:
    """`+front -at the back` as signs by fact."""
    parts = text.replace(" +", "|+").replace(" -", "|-").split("|") if text else []
    return {part[1:]: part[0] for part in parts}


@lru_cache(maxsize=1024)
def facts_of(name: str | None, said: tuple[str, ...]) -> PoseFacts:
    """The facts of a pose by its name in the library; `said` are the library's words for it, which have the last word:
    where they mean the other side of a fact, or both, nothing is firm."""
    signs = _parsed({**_FIRM, **_LOOSE, **_EITHER}.get(name or "", ""))
    for fact, found in _in_words(said, tuple({*signs, *_TOLD})).items():
        if fact in signs and found != {signs[fact]}:
            return NOTHING
        if len(found) == 1:
            signs.setdefault(fact, *found)
    return PoseFacts(signs, firm=name not in {**_LOOSE, **_EITHER}, usual=name in _LOOSE)


def _in_words(said: tuple[str, ...], facts: tuple[str, ...]) -> Mapping[str, set[str]]:
    """The signs that the library's words for a pose give to facts."""
    found: dict[str, set[str]] = defaultdict(set)
    for text in said:
        for sentence in sentences(put_side(text, Side.RIGHT)):
            for each in told_facts(sentence, facts):
                found[each.fact].add("+" if each.side is Side.RIGHT else "-")
    return found


def facts_in(pose: Pose | None) -> PoseFacts:
    """The facts of a pose of the library; of one that it does not know, none."""
    return NOTHING if pose is None else facts_of(pose.name, (*pose.enter, *pose.say))
