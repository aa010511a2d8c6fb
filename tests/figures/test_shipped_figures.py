"""Every figure that is shipped does what its pose says, as kinematics alone tell: nobody needs the solver for that."""

from functools import cache
from math import acos, degrees, dist

import pytest
from examples import FULL
from rows import each_row

from guide.figures import checks, skeleton
from guide.figures.figure import mirrored, shortfalls
from guide.figures.kinematics import Body, centre_of_mass
from guide.figures.shipped_figures import shipped_figures

FIGURES = shipped_figures()


@cache
def body(name: str) -> Body:
    return FIGURES[name].body


def at(name: str, point: str) -> tuple[float, float, float]:
    return body(name).points[point]


def angle(name: str, first: str, corner: str, last: str) -> float:
    """The angle at a corner of three points, in degrees."""
    (a, b, c) = (at(name, point) for point in (first, corner, last))
    one, other = ([x - y for x, y in zip(end, b, strict=True)] for end in (a, c))
    cosine = sum(x * y for x, y in zip(one, other, strict=True)) / dist(a, b) / dist(b, c)
    return degrees(acos(min(max(cosine, -1.0), 1.0)))


def lean(name: str, low: str, high: str) -> float:
    """How far a line is from upright, in degrees."""
    a, b = at(name, low), at(name, high)
    return degrees(acos((b[2] - a[2]) / dist(a, b)))


@each_row("name", sorted(FIGURES))
def test_a_body_does_what_is_said_of_it(name: str) -> None:
    assert [str(short) for short in shortfalls(FIGURES[name])] == []


@each_row("name", sorted(FIGURES))
def test_limbs_are_as_long_as_they_are(name: str) -> None:
    for side in skeleton.SIDES:
        for start, end, length in (
            ("hip", "knee", skeleton.THIGH),
            ("knee", "ankle", skeleton.SHIN),
            ("shoulder", "elbow", skeleton.UPPER_ARM),
            ("elbow", "wrist", skeleton.FOREARM),
        ):
            assert dist(at(name, f"{side} {start}"), at(name, f"{side} {end}")) == pytest.approx(length)


@each_row("name", [*sorted(FIGURES)[:: 1 if FULL else 6], "side plank", "half moon", "side-lying rest"])
def test_the_other_side_is_the_mirror_image(name: str) -> None:
    figure = FIGURES[name]
    assert shortfalls(mirrored(figure)) == ()
    other = mirrored(figure).body.points
    for point, (x, y, z) in body(name).points.items():
        swapped = {"left": "right", "right": "left"}.get(point.split(" ")[0])
        twin = point if swapped is None else f"{swapped} {point.split(' ', 1)[1]}"
        assert other[twin] == pytest.approx((x, -y, z), abs=1e-9), point
    assert max(checks.under_floor(mirrored(figure).body)) == pytest.approx(max(checks.under_floor(body(name))))


def test_masses_are_those_of_a_whole_body() -> None:
    assert sum(mass for _, _, mass, _ in skeleton.MASSES) == pytest.approx(1.0)
    standing = centre_of_mass(body("mountain"))
    assert 0.53 < standing[2] < 0.6, "a little above the hips (Winter: 0.55 to 0.58 of the height)"


# Common practice, no source, from here on.


def test_mountain_has_ear_shoulder_hip_and_ankle_in_one_line() -> None:
    ahead = [at("mountain", f"right {point}")[0] for point in ("ear", "shoulder", "hip", "ankle")]
    assert max(ahead) - min(ahead) < 0.05


def test_warrior_two_has_its_front_knee_at_a_right_angle_over_the_heel() -> None:
    assert angle("warrior two", "right hip", "right knee", "right ankle") == pytest.approx(90, abs=8)
    knee, heel = at("warrior two", "right knee"), at("warrior two", "right heel")
    assert dist(knee[:2], heel[:2]) < 0.07
    wrists = [at("warrior two", f"{side} wrist")[2] for side in skeleton.SIDES]
    assert max(wrists) - min(wrists) < 0.03


def test_warrior_one_bends_the_front_leg_and_stretches_the_back_one() -> None:
    assert angle("warrior one", "right hip", "right knee", "right ankle") < 115
    assert angle("warrior one", "left hip", "left knee", "left ankle") > 165
    assert at("warrior one", "left ankle")[0] < at("warrior one", "right ankle")[0] - 0.4


def test_warrior_three_is_level_from_heel_to_head() -> None:
    heights = [at("warrior three", point)[2] for point in ("left ankle", "left hip", "neck")]
    assert max(heights) - min(heights) < 0.12


@each_row("name", ["triangle", "half moon"])
def test_arms_are_one_line_from_hand_to_hand(name: str) -> None:
    assert angle(name, "left wrist", "left shoulder", "right wrist") > 150
    assert lean(name, "right wrist", "left wrist") < 20


@each_row("name", ["triangle", "wide-legged forward fold", "downward dog", "staff", "plank", "seated forward fold"])
def test_legs_are_straight(name: str) -> None:
    for side in skeleton.SIDES:
        assert angle(name, f"{side} hip", f"{side} knee", f"{side} ankle") > 165


def test_downward_dog_has_its_hips_highest() -> None:
    hips = at("downward dog", "pelvis")[2]
    others = (z for point, (_, _, z) in body("downward dog").points.items() if "hip" not in point and point != "pelvis")
    assert hips + 0.03 > max(others)
    assert at("downward dog", "right wrist")[0] - at("downward dog", "right heel")[0] > 0.5


def test_plank_is_a_straight_line_over_its_hands() -> None:
    assert angle("plank", "right shoulder", "right hip", "right ankle") > 168
    assert abs(at("plank", "right shoulder")[0] - at("plank", "right wrist")[0]) < 0.06


def test_upward_dog_has_its_legs_off_the_floor_and_its_shoulders_over_its_hands() -> None:
    assert min(at("upward dog", f"right {point}")[2] for point in ("hip", "knee")) > 0.05
    assert lean("upward dog", "right wrist", "right shoulder") < 12


def test_low_plank_has_its_upper_arms_level() -> None:
    assert abs(at("low plank", "right shoulder")[2] - at("low plank", "right elbow")[2]) < 0.06


def test_bridge_has_upright_shins_and_hips_above_shoulders() -> None:
    assert lean("bridge", "right ankle", "right knee") < 10
    assert at("bridge", "pelvis")[2] > at("bridge", "right shoulder")[2] + 0.1


def test_hands_and_knees_has_shoulders_over_wrists_and_hips_over_knees() -> None:
    assert lean("hands and knees", "right wrist", "right shoulder") < 8
    assert lean("hands and knees", "right knee", "right hip") < 8


def test_cat_rounds_and_cow_hollows_the_back() -> None:
    middle = {name: at(name, "belly")[2] - (at(name, "pelvis")[2] + at(name, "neck")[2]) / 2 for name in ("cat", "cow")}
    assert middle["cat"] > 0.02 > -0.02 > middle["cow"]


def test_childs_pose_has_seat_on_heels_and_forehead_down() -> None:
    assert at("child's pose", "forehead")[2] < 0.02
    assert dist(at("child's pose", "right hip"), at("child's pose", "right heel")) < 0.09


@each_row("name", ["cobra", "upward dog", "sphinx", "locust", "bow", "camel"])
def test_backbends_open_the_front(name: str) -> None:
    bends = sum(FIGURES[name].angles[f"{part} bend"] for part in ("lower back", "middle back", "upper back"))
    assert bends < -20


@each_row("name", ["headstand", "handstand", "shoulderstand"])
def test_inversions_have_their_feet_straight_above(name: str) -> None:
    assert lean(name, "right hip", "right ankle") < 14
    assert at(name, "right ankle")[2] > at(name, "pelvis")[2] > at(name, "head")[2]


def test_tree_stands_on_one_leg_with_the_other_foot_on_the_thigh() -> None:
    assert dist(at("tree", "right sole"), at("tree", "left mid thigh")) < 0.07
    assert at("tree", "right knee")[1] < at("tree", "right hip")[1] - 0.1


def test_final_rest_lies_flat() -> None:
    assert max(z for _, _, z in body("final rest").points.values()) < 0.2


def test_standing_forward_fold_hangs_from_the_hips() -> None:
    assert at("standing forward fold", "crown")[2] < at("standing forward fold", "right knee")[2]
    assert lean("standing forward fold", "right ankle", "right hip") < 12


def test_chair_sits_back_with_its_arms_up() -> None:
    assert at("chair", "pelvis")[0] < at("chair", "right heel")[0]
    assert at("chair", "right wrist")[2] > at("chair", "crown")[2]


def test_low_lunge_has_its_front_knee_over_its_ankle_and_its_back_knee_down() -> None:
    assert lean("low lunge", "right ankle", "right knee") < 8
    assert at("low lunge", "left knee")[2] < 0.05


@each_row("name", ["easy seat", "half lotus", "lotus", "accomplished seat", "thunderbolt", "hero"])
def test_seats_have_their_trunk_upright_and_their_knees_no_higher_than_their_hips(name: str) -> None:
    assert lean(name, "pelvis", "neck") < 14
    assert max(at(name, f"{side} knee")[2] for side in skeleton.SIDES) < at(name, "right hip")[2] + 0.03


@each_row("name", ["seated twist", "easy twist", "half lord of the fishes", "marichi's twist", "bharadvaja's twist"])
def test_twists_turn_the_chest_and_not_the_seat(name: str) -> None:
    turned = sum(FIGURES[name].angles[f"{part} turn"] for part in ("lower back", "middle back", "upper back"))
    assert -55 < turned < -25, "to the right"


@each_row("name", ["shoulderstand", "plough", "half shoulderstand", "snail", "ear pressure"])
def test_on_the_shoulders_the_neck_bends_forward_and_the_face_looks_up(name: str) -> None:
    assert FIGURES[name].angles["neck bend"] > 0
    assert at(name, "chin")[2] > at(name, "crown")[2]


def test_legs_up_the_wall_are_straight_up_with_the_back_on_the_floor() -> None:
    assert lean("legs up the wall", "right hip", "right ankle") < 14
    assert at("legs up the wall", "neck")[2] < 0.1


def test_camel_has_its_thighs_upright_and_its_hands_at_its_heels() -> None:
    assert lean("camel", "right knee", "right hip") < 14
    assert dist(at("camel", "right palm"), at("camel", "right heel")) < 0.03


def test_pigeon_has_its_front_knee_outward_and_its_back_leg_straight_behind() -> None:
    assert at("pigeon", "right knee")[1] < at("pigeon", "right hip")[1]
    assert angle("pigeon", "left hip", "left knee", "left ankle") > 165
    assert at("pigeon", "left ankle")[0] < at("pigeon", "left hip")[0] - 0.4


def test_wheel_has_hands_and_feet_down_and_its_hips_high() -> None:
    assert at("wheel", "pelvis")[2] > max(at("wheel", "right knee")[2], at("wheel", "neck")[2])
    assert max(at("wheel", point)[2] for point in ("right wrist", "right heel")) < 0.03


def test_boat_is_a_v() -> None:
    assert angle("boat", "neck", "pelvis", "right ankle") == pytest.approx(90, abs=20)
