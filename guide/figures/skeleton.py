"""One skeleton in three dimensions: lengths, masses and ranges of motion.

Lengths are fractions of the body's height. Source, from memory: Drillis and Contini 1966, as in Winter, Biomechanics
and Motor Control of Human Movement, 4th edition, figure 4.1. Where the joints of the spine, the hips and the head lie
between its marks is our own choice, and so are all thicknesses.

Angles are in degrees. A joint's name is `left knee bend`: the side where there are two, the joint, the turn.
"""

from dataclasses import dataclass

SIDES = ("left", "right")

THIGH = 0.245
SHIN = 0.246
ANKLE_HEIGHT = 0.039
HEEL_BACK = 0.035
BALL_AHEAD = 0.075
TOE = 0.042
UPPER_ARM = 0.186
FOREARM = 0.146
PALM = 0.055
FINGERS = 0.053
SHOULDER_OUT = 0.115
#: Half of the distance between the hip joints; the outer breadth of 0.191 is the thighs' too.
HIP_OUT = 0.048
SACRUM = 0.045
SPINE_PART = 0.085
NECK = 0.055
SKULL = 0.05


@dataclass(frozen=True, slots=True)
class Joint:
    """One turn of a joint, with how far it goes each way, in degrees, and where it rests."""

    name: str
    least: float
    most: float
    rest: float = 0.0


#: Source, from memory: American Academy of Orthopaedic Surgeons, Joint Motion, 1965, as in Norkin and White,
#: Measurement of Joint Motion. Under the body's own weight some go further than when they are moved actively: the knee
#: to 160 (kneeling, Hefzy et al. 1998), the wrist to 95, the ankle to 40 and 75, the hip to 140,
#: toes to 85. The parts of the
#: spine share its 80 forward, 30 back, 40 to each side and 45 round.
_SPINE = (
    ("lower back", 40, -22, 14, 8),
    ("middle back", 28, -12, 14, 18),
    ("upper back", 22, -8, 14, 20),
    ("neck", 40, -40, 35, 55),
    ("head", 20, -22, 10, 10),
)
_LIMBS = (
    ("shoulder blade lift", -8, 35, 0),
    ("shoulder blade forward", -25, 30, 0),
    ("shoulder plane", -60, 135, 20),
    ("shoulder raise", 0, 180, 8),
    ("shoulder turn", -90, 100, 0),
    ("elbow bend", 0, 150, 6),
    ("forearm turn", -90, 90, 20),
    ("wrist bend", -95, 80, 0),
    ("hip bend", -25, 140, 0),
    ("hip out", -30, 50, 2),
    ("hip turn", -45, 55, 5),
    ("knee bend", 0, 160, 2),
    ("ankle bend", -75, 40, 0),
    ("ankle tilt", -30, 35, 0),
    ("toes bend", -30, 85, 0),
)
ROOT = ("ahead", "to the left", "height")
TURNS = ("body pitch", "body roll", "body yaw")


def _joints() -> tuple[Joint, ...]:
    root = [Joint(name, -180, 180) for name in TURNS]
    spine = [
        joint
        for name, forward, back, side, turn in _SPINE
        for joint in (
            Joint(f"{name} bend", back, forward),
            Joint(f"{name} side", -side, side),
            Joint(f"{name} turn", -turn, turn),
        )
    ]
    limbs = [Joint(f"{side} {name}", least, most, rest) for side in SIDES for name, least, most, rest in _LIMBS]
    return (*root, *spine, *limbs)


JOINTS = {joint.name: joint for joint in _joints()}

#: The share of the body's mass that each part has, between two points, and how far along it lies from the first.
#: Source, from memory: Winter, 4th edition, table 4.1. The trunk's 0.497 is shared out by us over its parts.
MASSES = (
    ("neck", "crown", 0.081, 0.5),
    ("pelvis", "belly", 0.17, 0.4),
    ("belly", "ribs", 0.15, 0.5),
    ("ribs", "neck", 0.177, 0.5),
    *(
        (f"{side} {start}", f"{side} {end}", mass, along)
        for side in SIDES
        for start, end, mass, along in (
            ("hip", "knee", 0.1, 0.433),
            ("knee", "ankle", 0.0465, 0.433),
            ("ankle", "toes", 0.0145, 0.5),
            ("shoulder", "elbow", 0.028, 0.436),
            ("elbow", "wrist", 0.016, 0.43),
            ("wrist", "fingers", 0.006, 0.506),
        )
    ),
)
