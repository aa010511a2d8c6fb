"""Words of the library that were wrong about bodies once, each with what must be so instead."""

import re

from rows import each_row

from guide.sequence.poses.pose import Pose
from guide.sequence.poses.shipped_library import shipped


def said(name: str) -> str:
    """All that is said in a pose, on one line."""
    pose = found(name)
    return " ".join((*pose.enter, *pose.say, *pose.leave))


def found(name: str) -> Pose:
    pose = shipped().find(name)
    assert pose is not None, name
    return pose


#: Pose, what its words hold, and what they do not (both patterns).
MUST_AND_MUST_NOT = [
    ("standing side bend", "lean to the <side>", r"and lean\."),
    ("big toe fold", "first two fingers of each hand", "with two fingers"),
    ("chair", "shoulder blades turn up", "shoulders slide down"),
    ("extended side angle", "in line with its toes", "against your arm"),
    ("revolved triangle", "from your ribs", "from the belly"),
    ("pyramid", "a long walking step", "a short way"),
    ("horse stance", "Keep your knees bent", "Stand straight"),
    ("revolved half moon", "<other side> hand on the floor", "that same hand"),
    ("eagle arms", "the <side> arm below", "<side> arm over"),
    ("eagle", "the <side> arm below", "<side> arm over"),
    ("side plank", "outer edge of your <side> foot", "that foot"),
    ("downward dog", "bases of your fingers", "roots"),
    ("low lunge", "straight down", "forward and down"),
    ("pigeon", "the heel in front of your <other side> hip", "shin across"),
    ("accomplished seat", "heel above heel", "in front of it"),
    ("easy seat", "the other way", "(?!)"),
    ("lotus", "<other side> foot onto the <side> thigh", "one foot"),
    ("seated twist", "<side> hand on the floor behind you", "(?!)"),
    ("half lord of the fishes", "from your ribs", "belly first"),
    ("cow face", "that foot beside the <other side> hip", "(?!)"),
    ("heron", "folded back beside that hip", "leg folded,"),
    ("tortoise", "stop at once if an elbow feels it", "never against"),
    ("side-lying rest", "whichever side you like", "onto one side"),
    ("cooling breath", "tongue into a tube", "teeth"),
    ("alternate nostril breath", "right hand.*thumb by the right nostril.*in through the left", "one nostril"),
]


@each_row("name, must, must_not", MUST_AND_MUST_NOT)
def test_the_words_are_right_about_bodies(name: str, must: str, must_not: str) -> None:
    assert re.search(must, said(name))
    assert not re.search(must_not, said(name))


SANSKRIT = [
    ("standing backbend", "anuvittāsana"),
    ("standing side bend", "pārśvordhva hastāsana"),
    ("dolphin", "ardha piñcha mayūrāsana"),
    ("forearm plank", "makarādho mukha śvānāsana"),
    ("bird dog", "daṇḍāyamāna bharmanāsana"),
    ("cow", "biṭilāsana"),
    ("puppy", "uttāna śiśvāsana"),
    ("lizard", "utthāna pṛṣṭhāsana"),
    ("twisting low lunge", "parivṛttāñjaneyāsana"),
    ("marichi's twist", "marīcyāsana III"),
    ("leg lifts", "ūrdhva prasārita pādāsana"),
    ("forearm stand", "piñcha mayūrāsana"),
    ("three-part breath", "dīrgha prāṇāyāma"),
]


@each_row("name, sanskrit", SANSKRIT)
def test_a_name_in_sanskrit_is_that_of_the_pose(name: str, sanskrit: str) -> None:
    assert found(name).sanskrit == sanskrit


def test_raised_arms_are_called_so_and_by_the_old_name_still() -> None:
    assert found("hands raised salute").name == "raised-arms salute"


def test_bellows_breath_and_the_dead_bug_are_no_other_pose() -> None:
    assert found("bellows-like breath").name == found("bhastrika").name == "bellows breath"
    assert shipped().find("dead bug stretch") is None


def test_fish_may_come_after_what_it_rests_from() -> None:
    assert {"shoulderstand", "plough", "wheel"} <= set(found("fish").after)


def test_two_straight_legs_lowered_to_the_side_are_strong() -> None:
    assert found("belly twist").strength.value == "strong"
