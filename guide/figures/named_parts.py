"""The parts of a body by their names in a description: what points or faces somewhere, and what touches."""

from dataclasses import dataclass

from guide.figures.skeleton import SIDES

#: What points from one point to another. Those of a limb have a side.
MID_SEGMENTS = {"trunk": ("pelvis", "neck"), "head": ("skull", "crown"), "neck": ("neck", "skull")}
LIMB_SEGMENTS = {
    "thigh": ("hip", "knee"),
    "shin": ("knee", "ankle"),
    "leg": ("hip", "ankle"),
    "foot": ("heel", "ball"),
    "upper arm": ("shoulder", "elbow"),
    "forearm": ("elbow", "wrist"),
    "arm": ("shoulder", "wrist"),
    "hand": ("wrist", "fingers"),
}

#: What faces somewhere: the frame of a part, whose front it is.
MID_FACINGS = {"hips": "pelvis", "chest": "upper back", "face": "head"}
LIMB_FACINGS = {"palm": "hand", "kneecap": "thigh", "sole": "foot"}


@dataclass(frozen=True, slots=True)
class Contact:
    """What touches: its points, each with how far the skin is from it; `flat` names the frame that then lies level."""

    points: tuple[tuple[str, float], ...]
    flat: str = ""


MID_PLACES = {
    "seat": Contact((("left hip", 0.056), ("right hip", 0.056))),
    "back": Contact((("pelvis", 0.056), ("chest", 0.066))),
    "head": Contact((("head", 0.062),)),
    "crown": Contact((("crown", 0.0),)),
    "forehead": Contact((("forehead", 0.0),)),
    "chin": Contact((("chin", 0.006),)),
    "belly": Contact((("belly", 0.05),)),
    "waist": Contact((("waist", 0.055),)),
    "chest": Contact((("chest", 0.066),)),
    "breastbone": Contact((("breastbone", 0.006),)),
    "hips": Contact((("pelvis", 0.056),)),
}
LIMB_PLACES = {
    "foot": Contact((("heel", 0.0), ("ball", 0.0)), "foot"),
    "sole": Contact((("sole", 0.0),)),
    "heel": Contact((("heel", 0.0),)),
    "toes": Contact((("ball", 0.004), ("toes", 0.004))),
    "instep": Contact((("ankle", 0.03), ("toes", 0.01))),
    "ankle": Contact((("ankle", 0.03),)),
    "knee": Contact((("knee", 0.032),)),
    "mid shin": Contact((("mid shin", 0.034),)),
    "mid thigh": Contact((("mid thigh", 0.045),)),
    "shin": Contact((("knee", 0.032), ("ankle", 0.03), ("toes", 0.01))),
    "thigh": Contact((("hip", 0.056), ("knee", 0.032))),
    "hip": Contact((("hip", 0.056),)),
    "hip bone": Contact((("hip bone", 0.004),)),
    "flank": Contact((("flank", 0.045),)),
    "hand": Contact((("wrist", 0.016), ("knuckles", 0.012), ("fingers", 0.006)), "hand"),
    "palm": Contact((("palm", 0.014),)),
    "fingers": Contact((("fingers", 0.004),)),
    "wrist": Contact((("wrist", 0.016),)),
    "forearm": Contact((("elbow", 0.024), ("wrist", 0.018))),
    "elbow": Contact((("elbow", 0.024),)),
    "upper arm": Contact((("shoulder", 0.045), ("elbow", 0.024))),
    "shoulder": Contact((("shoulder", 0.045),)),
    "ear": Contact((("ear", 0.004),)),
}

PLURALS = {"feet": "foot", "toes": "toes", "hands": "hand", "thighs": "thigh", "fingers": "fingers"}


def sides_of(word: str) -> tuple[str, tuple[str, ...]]:
    """What a word for parts means: the part without its side, and the sides that are meant; none for what is single.

    `right knee` is one, `knees` both, `trunk` neither.
    """
    for side in SIDES:
        if word.startswith(f"{side} "):
            return word.removeprefix(f"{side} "), (side,)
    known = {*LIMB_SEGMENTS, *LIMB_FACINGS, *LIMB_PLACES}
    if word in PLURALS:
        return PLURALS[word], SIDES
    if word not in _single() and word.endswith("s") and word[:-1] in known:
        return word[:-1], SIDES
    return word, ()


def _single() -> frozenset[str]:
    return frozenset({*MID_SEGMENTS, *MID_FACINGS, *MID_PLACES})
